package grader

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// A handmade attempt is written event by event, so that each number on its sheet is known. Stage 1 always stands before the stages given.
type handmade struct {
	book   Rulebook
	clock  int
	events []exercises.Event
	items  int
	sex    string
	age    int
	stages []handStage
	closed *exercises.HandedIn
}

// A handStage is one stage: its work rate and the heart rates written of its minutes.
type handStage struct {
	workRate float64
	minutes  []float64 // 0: not counted
}

// handStages reads "300:112 450:127": both last minutes at that rate.
func handStages(text string) (all []handStage) {
	for _, pair := range strings.Fields(text) {
		w, hr, _ := strings.Cut(pair, ":")
		rate := parsed(hr)
		all = append(all, handStage{parsed(w), []float64{rate - 3, rate, rate}})
	}
	return all
}

func (h *handmade) add(f exercises.Fact) {
	h.events = append(h.events, exercises.Event{AtS: h.clock, Fact: f})
}

func (h *handmade) write(key exercises.Key, text string, stage, minute int) {
	h.items++
	h.add(exercises.Written{Item: h.items, Key: key, Text: text, Stage: stage, Minute: minute})
}

// ride plays the stages, with a 15-s count before each minute mark, written at the mark, and ends the test.
func (h *handmade) ride(mass float64) {
	h.clock = 600
	h.write(exercises.KeyMass, plainNumber(mass), 0, 0)
	h.add(exercises.PedallingStarted{})
	h.clock += h.book.WarmUpS
	for i, s := range h.stages {
		from := h.clock
		h.add(exercises.StageStarted{Stage: i + 1, ResistanceKp: s.workRate / 300}) // 50 rpm of 6 m
		for m, hr := range s.minutes {
			h.clock = from + 60*(m+1)
			if hr == 0 {
				continue
			}
			h.add(exercises.PulseFelt{Site: "wrist", FromS: h.clock - 15, Seconds: 15, Tenths: make([]int, int(hr/4))})
			h.write(exercises.KeyHR, plainNumber(hr), i+1, m+1)
		}
	}
	h.add(exercises.TestEnded{How: exercises.CoolDown, ResistanceKp: 0.5})
	h.clock += 300
}

// calculate writes boxes of the calculation, in the order of the sheet.
func (h *handmade) calculate(boxes map[exercises.Key]string) {
	for _, key := range exercises.Keys() {
		if text, ok := boxes[key]; ok && text != "" {
			h.write(key, text, 0, 0)
		}
	}
}

func (h *handmade) handIn(truth float64, minutes ...exercises.MinuteTruth) {
	h.closed = &exercises.HandedIn{Truth: scenarios.Truth{VO2MaxRel: truth}, Minutes: minutes}
	h.add(*h.closed)
}

func (h *handmade) course(t *testing.T) *Course {
	t.Helper()
	head := exercises.Header{Format: exercises.Format, Rulebook: h.book.JSON(), RulebookHash: h.book.Hash(), Mode: "drill",
		Subject: exercises.Subject{Sex: h.sex, AgeY: h.age}}
	var lines []exercises.Line
	for _, e := range h.events {
		lines = append(lines, exercises.Line{AtS: e.AtS, Events: []exercises.Event{e}})
	}
	c, err := Read(head, lines)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// example is a row of the table of values from outside.
func example(t *testing.T, id string) map[string]string {
	t.Helper()
	f, err := os.Open("../testdata/worked_examples.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range rows[1:] {
		if r[0] != id {
			continue
		}
		m := map[string]string{}
		for i, head := range rows[0] {
			m[head] = r[i]
		}
		for _, p := range strings.Split(m["inputs"], ";") {
			k, v, _ := strings.Cut(strings.TrimSpace(p), "=")
			m["in "+k] = v
		}
		return m
	}
	t.Fatalf("no worked example %s", id)
	return nil
}

// TestWorkedSheets: the published and constructed sheets, written as a student writes them, give the table's values.
func TestWorkedSheets(t *testing.T) {
	for _, id := range []string{"W048", "W049", "W050", "W051", "W052"} {
		t.Run(id, func(t *testing.T) {
			row := example(t, id)
			book := Default()
			if err := book.SetAll([]string{"max_hr=" + row["in max_hr"], "fit=" + row["in fit"]}); err != nil {
				t.Fatal(err)
			}
			h := &handmade{book: book, sex: "M", age: int(parsed(row["in age_y"]))}
			h.stages = append(handStages("150:98"), handStages(row["in stages_kgm_min"])...)
			h.ride(parsed(row["in mass_kg"]))
			a := WorkSheet(book, h.course(t))
			if !a.Estimable {
				t.Fatal(a.WhyNot)
			}
			got := map[string]float64{"max_work_rate_kgm_min": float64(a.MaxWorkRate), "vo2max_ml_kg_min": float64(a.VO2Rel), "mets": float64(a.METs)}[row["in want"]]
			want, tolerance := parsed(row["expected"]), parsed(row["tolerance"])
			if !(got >= want-tolerance && got <= want+tolerance) {
				t.Errorf("%s is %s, want %s ± %s", row["in want"], strconv.FormatFloat(got, 'g', -1, 64), row["expected"], row["tolerance"])
			}
		})
	}
}
