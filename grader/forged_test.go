package grader

import (
	"encoding/json"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"

	"kilopond/exercises"
)

// forge puts another value in the place of the nth number or text of a line's events, as somebody could who wrote the file anew.
func forge(t *testing.T, l exercises.Line, nth int, number int64, text string) (exercises.Line, bool) {
	t.Helper()
	raw, err := exercises.EncodeLine(l)
	if err != nil {
		t.Fatal(err)
	}
	var whole map[string]any
	if err := json.Unmarshal(raw, &whole); err != nil {
		t.Fatal(err)
	}
	var change func(v any) any
	change = func(v any) any {
		switch v := v.(type) {
		case map[string]any:
			for _, k := range slices.Sorted(maps.Keys(v)) {
				v[k] = change(v[k])
			}
		case []any:
			for i := range v {
				v[i] = change(v[i])
			}
		case float64:
			if nth--; nth == -1 {
				return number
			}
		case string:
			if nth--; nth == -1 {
				return text
			}
		}
		return v
	}
	whole["events"] = change(whole["events"])
	if raw, err = json.Marshal(whole); err != nil {
		t.Fatal(err)
	}
	forged, err := exercises.DecodeLine(raw)
	return forged, err == nil && nth < 0
}

// withHelpers puts helpers' reports in the place of what the proctor, who needs nobody, measured.
func withHelpers(lines []exercises.Line) {
	for _, l := range lines {
		for i, e := range l.Events {
			switch x := e.Fact.(type) {
			case exercises.PulseFelt:
				l.Events[i].Fact = exercises.HelperReported{Task: exercises.HelperPulse, FromS: x.FromS, ToS: x.FromS + x.Seconds, Words: "done", Beats: len(x.Tenths), Seconds: x.Seconds}
			case exercises.CuffFell:
				l.Events[i].Fact = exercises.HelperReported{Task: exercises.HelperPressure, FromS: x.FromS, ToS: e.AtS, Words: "done", TopMmHg: x.TopMmHg, Systolic: 150, Diastolic: 70}
			}
		}
	}
}

// A forged attempt of an older model is not played again, so any number may stand in it. Whatever the lines that follow one another hold is graded,
// and the report can be written.
func TestForgedAttemptsAreGraded(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for _, way := range []struct {
		id      caseID
		helpers bool
	}{{well, true}, {falls, false}, {chest, false}} {
		book := Default()
		st := play(t, book, mustCase(t, string(way.id)), 4, nil)
		if way.helpers {
			withHelpers(st.lines)
		}
		graded := 0
		for i := range st.lines {
			for _, number := range []int64{0, -1, 1 << 40} {
				forged, ok := forge(t, st.lines[i], r.IntN(8), number, "t\u202e")
				if !ok {
					continue
				}
				lines := slices.Clone(st.lines)
				lines[i] = forged
				course, err := Read(st.header, lines)
				if err != nil {
					continue // it does not follow
				}
				graded++
				if _, err := json.Marshal(Grade(book, course)); err != nil {
					t.Errorf("%s, line %d with %d: %v", way.id, i+2, number, err)
				}
			}
		}
		if graded < 50 {
			t.Errorf("%s: only %d forged attempts could be graded", way.id, graded)
		}
	}
}
