package skill

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

// A paper is a test as it stands on a data sheet, made by hand: readings without a body behind them.
type paper struct {
	book    grader.Rulebook
	subject exercises.Subject
	clock   int
	events  []exercises.Event
	items   int
	stageS  int // where the present stage began
}

func (p *paper) add(f exercises.Fact) {
	p.events = append(p.events, exercises.Event{AtS: p.clock, Fact: f})
}

func (p *paper) write(key exercises.Key, text string, stage, minute int) {
	p.items++
	p.add(exercises.Written{Item: p.items, Key: key, Text: text, Stage: stage, Minute: minute})
}

// pedal begins the test: a warm-up has gone by.
func (p *paper) pedal() {
	p.clock += 600
	p.add(exercises.PedallingStarted{})
	p.clock += p.book.WarmUpS
}

// stage begins a stage at a load.
func (p *paper) stage(number int, load unit.Resistance) {
	p.stageS = p.clock
	p.add(exercises.StageStarted{Stage: number, ResistanceKp: float64(load)})
}

// minute lets the clock run to a minute mark of the stage, at which so many beats have been counted and written.
func (p *paper) minute(stage, minute, beats int) {
	p.felt(stage, minute, beats)
	p.write(exercises.KeyBeats, strconv.Itoa(beats), stage, minute)
	p.write(exercises.KeyHR, strconv.FormatFloat(float64(rate(p.book, beats)), 'f', -1, 64), stage, minute)
}

// timed does the same with a rate of thirty timed beats, which may lie between the steps of a count.
func (p *paper) timed(stage, minute int, hr unit.HR) {
	p.felt(stage, minute, int(math.Round(float64(hr)/step(p.book))))
	p.write(exercises.KeyHR, strconv.FormatFloat(float64(hr), 'f', -1, 64), stage, minute)
}

// timedWords say how such rates come about. Source: [WINONA].
const timedWords = "Each rate is from thirty timed beats, 1800 / seconds, so it may lie between the steps of a count."

// felt lets the clock run to a minute mark of the stage and a pulse of so many beats be felt before it.
func (p *paper) felt(stage, minute, beats int) {
	seconds := p.book.Count.Seconds
	p.clock = p.stageS + 60*minute
	even := make([]int, beats) // a pulse in order, so that nothing else asks for a second count
	for i := range even {
		even[i] = (20*i + 10) * seconds / (2 * beats)
	}
	p.add(exercises.PulseFelt{Site: string(instrument.Radial), FromS: p.clock - seconds, Seconds: seconds, Tenths: even})
}

// pressure lets the cuff fall over sounds from one pressure to the other.
func (p *paper) pressure(systolic, diastolic int) {
	top := (systolic+26)/instrument.GaugeStep*instrument.GaugeStep + instrument.GaugeStep
	var heard strings.Builder
	for mark := top - instrument.GaugeStep; mark > diastolic-10; mark -= instrument.GaugeStep {
		if mark <= systolic && mark > diastolic {
			heard.WriteByte(instrument.Tap)
		} else {
			heard.WriteByte(instrument.Silence)
		}
	}
	from := p.clock
	p.clock += (top - diastolic) / 3
	p.add(exercises.CuffFell{FromS: from, TopMmHg: top, ValveMmHgS: p.book.Pressure.ValveHigh, Heard: heard.String()})
}

// state folds what stands. The paper may be written on afterwards.
func (p *paper) state() *exercises.State {
	s, err := exercises.Rebuild(exercises.Header{Subject: p.subject}, nil)
	if err != nil {
		panic("skill: an attempt without lines always folds: " + err.Error())
	}
	s.Take(exercises.Line{AtS: p.clock, Events: p.events})
	return s
}

// copy is a paper on which one answer can be tried.
func (p *paper) copy() *paper {
	c := *p
	c.events = append([]exercises.Event(nil), p.events...)
	return &c
}

// somebody is a person on a data sheet: one of the names of the library, of an age in the range.
func (m *Maker) somebody(r *rand.Rand, youngest, oldest int) (exercises.Subject, error) {
	c, err := m.load(m.ids[r.IntN(len(m.ids))])
	if err != nil {
		return exercises.Subject{}, err
	}
	name := c.Names[r.IntN(len(c.Names))]
	return exercises.Subject{Name: name.Name, Sex: string(name.Sex), AgeY: youngest + r.IntN(oldest-youngest+1), Work: name.Work}, nil
}

// who says who it is in a line.
func who(s exercises.Subject) string {
	sex := "male"
	if s.Sex == string(unit.Female) {
		sex = "female"
	}
	return s.Name + ", " + sex + ", " + strconv.Itoa(s.AgeY) + "."
}

// step is the heart rate of one beat of the house's count, in bpm.
func step(b grader.Rulebook) float64 { return 60 / float64(max(1, b.Count.Seconds)) }

// rate is the heart rate of a count.
func rate(b grader.Rulebook, beats int) unit.HR { return unit.HR(float64(beats) * step(b)) }
