package skill

import (
	"fmt"
	"slices"
	"strings"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/physiology/instrument"
	"kilopond/scenarios"
)

func cuffSkill() Skill {
	return Skill{
		Name: Cuff, Asks: "Read a pressure from the sounds of a falling cuff.", N: 3,
		Levels: [Levels]string{"at rest", "at rest and at light work", "at work, and sounds that run on", "at hard work, silent gaps, and cuffs pumped too little"},
		kinds: [Levels][]share{
			{{"at rest", 1}}, {{"at rest", 1}, {"first stages", 1}}, {{"first stages", 1}, {"later stages", 1}, {runsOn, 1}}, {{"later stages", 2}, {silentGap, 1}, {tooLow, 1}},
		},
		draw: (*Maker).cuff,
	}
}

// The kinds that are not of every arm.
const (
	tooLow    = "pumped too little"  // up into the sounds: where they began cannot be known
	runsOn    = "sounds that run on" // to nothing, so that three numbers are written
	silentGap = "a silent gap"       // within the sounds
)

// leastGap is the width from which a silence within the sounds is told as a gap, in mmHg: beats that make no sound leave less. Source: [CHOICE-ARTERY].
const leastGap = 14

// gapIn is the widest stretch within the sounds in which nothing of the artery is heard, by its marks; ok is false when it is no gap.
func gapIn(f exercises.CuffFell, s instrument.Sounds) (from, to int, ok bool) {
	last := int(s.Systolic)
	for i, sound := range []byte(f.Heard) {
		mark := f.TopMmHg - (i+1)*instrument.GaugeStep
		if mark > int(s.Systolic) || sound == instrument.Silence || sound == instrument.Creak {
			continue
		}
		if last-mark >= leastGap && last-mark > from-to {
			from, to, ok = last, mark, true
		}
		last = mark
	}
	return from, to, ok
}

// A heardCuff is one pressure of a test.
type heardCuff struct {
	fell          exercises.CuffFell
	toS           int
	line          int // of the test
	stage, minute int
	stageS        int
	truth         truth
}

// cuff takes one deflation of a test: a cuff on a body, as in a test.
func (m *Maker) cuff(it *Item) error {
	r := it.stream("draw")
	fits := func(c scenarios.Case) bool {
		return c.Room == nil && (c.RightAct == scenarios.RunToEnd || c.RightAct == scenarios.VerifyThenGo)
	}
	if it.Kind == silentGap { // too rare to wait for
		fits = func(c scenarios.Case) bool { return c.Room == nil && c.Who.Artery == scenarios.SilentGap }
	}
	return m.meet(r, fits, func(t test) bool {
		all := slices.DeleteFunc(t.cuffs(), func(k heardCuff) bool { return !k.is(it.Kind) })
		if len(all) == 0 {
			return false
		}
		k := all[r.IntN(len(all))]
		if it.Kind == tooLow {
			lower, ok := t.pumpedLess(k, 10+2*r.IntN(10))
			if !ok {
				return false
			}
			k.fell = lower
		}
		m.cuffItem(it, t, k)
		return true
	})
}

// is says whether a pressure is of a kind; one that cannot be read is of none.
func (k heardCuff) is(kind string) bool {
	heard, readable := grader.HeardPressure(k.fell)
	_, _, gap := gapIn(k.fell, heard)
	switch kind {
	case runsOn:
		return readable && heard.Diastolic > heard.Last
	case silentGap:
		return readable && gap
	case "at rest":
		return readable && k.stage == 0
	case "first stages":
		return readable && (k.stage == 1 || k.stage == 2)
	case "later stages":
		return readable && k.stage >= 2
	}
	return readable && k.stage >= 1 // of which tooLow is made
}

// cuffs are the pressures of a test before its end.
func (t test) cuffs() []heardCuff {
	var all []heardCuff
	state := t.begin()
	stageS := 0
	for i, l := range t.played.Lines {
		state.Take(l)
		for _, e := range l.Events {
			switch f := e.Fact.(type) {
			case exercises.StageStarted:
				stageS = e.AtS
			case exercises.CuffFell:
				if state.EndedAtS >= 0 || f.CutShort {
					continue
				}
				k := heardCuff{fell: f, toS: e.AtS, line: i, stageS: stageS}
				k.stage, k.minute = state.PlaceOf(f.FromS, e.AtS)
				for _, c := range t.closing.Cuffs {
					if c.FromS == f.FromS {
						k.truth = truth{systolic: c.SBPmmHg, diastolic: c.DBPmmHg}
					}
				}
				all = append(all, k)
			}
		}
	}
	return all
}

// pumpedLess takes the same pressure again on the same body, pumped so far below the systolic that was read; ok is false when it did not come to that.
func (t test) pumpedLess(k heardCuff, below int) (exercises.CuffFell, bool) {
	s := instrument.ReadSounds(k.fell.TopMmHg, k.fell.ValveMmHgS, k.fell.Heard)
	l, err := t.again(k.line).Do(exercises.Command{Act: exercises.Pressure, PumpMmHg: int(s.Systolic) - below, ValveMmHgS: k.fell.ValveMmHgS})
	if err != nil {
		return exercises.CuffFell{}, false
	}
	for _, e := range l.Events {
		if f, ok := e.Fact.(exercises.CuffFell); ok && !f.CutShort {
			heard := instrument.ReadSounds(f.TopMmHg, f.ValveMmHgS, f.Heard)
			return f, heard.Any && heard.HeardAtOnce
		}
	}
	return exercises.CuffFell{}, false
}

func (m *Maker) cuffItem(it *Item, t test, k heardCuff) {
	p := &paper{book: m.book, subject: t.begin().Header.Subject, clock: k.stageS}
	place := "At rest"
	if k.stage > 0 {
		place = fmt.Sprintf("Stage %d, minute %d", k.stage, k.minute)
		p.add(exercises.PedallingStarted{})
		p.stage(k.stage, 0)
	}
	p.clock = k.toS
	p.add(k.fell)
	it.truth = k.truth
	fell := k.fell
	it.Facts = []Fact{text(who(p.subject)), text(place + ". Each mark of the gauge with what was heard as the needle passed it."), {Cuff: &fell}}
	it.Ask = "What is the pressure, systolic and diastolic?"
	it.Boxes = []Box{{"systolic", "mmHg"}, {"diastolic", "mmHg"}}
	it.None = "it cannot be read from these sounds"
	heard := instrument.ReadSounds(fell.TopMmHg, fell.ValveMmHgS, fell.Heard)
	known := fmt.Sprintf("The first of two sounds in a row is at %.0f, the last sound at %.0f.", heard.Systolic, heard.Last)
	if heard.Diastolic > heard.Last {
		known = fmt.Sprintf("The first of two sounds in a row is at %.0f; the sounds run on to %.0f, and are muffled from %.0f on.", heard.Systolic, heard.Last, heard.Diastolic)
	}
	if from, to, gap := gapIn(fell, heard); gap {
		known += fmt.Sprintf(" Between %d and %d nothing is heard: a silent gap. What is heard before it counts, and a cuff pumped only into it would read far too low.", from, to)
	}
	should := "So " + heard.String() + " mmHg."
	it.More = 1 // where the sounds run on, both are written: 178/70/0
	rule := m.rules["pressure-accuracy"]
	if heard.HeardAtOnce {
		known = fmt.Sprintf("There are sounds from the first mark on: the cuff was pumped to %d, below the systolic.", fell.TopMmHg)
		should = "It cannot be read: type " + noneWord + ", and in a test pump higher and take it again."
		rule = m.rules["pressure-inflation"]
	}
	it.judge = func(a Answer) Verdict {
		v := Verdict{Known: known, Should: should, Why: rule.WhyIn(m.book), Source: rule.Sources}
		switch {
		case heard.HeardAtOnce && a.None:
			v.Right, v.Credit = true, 1
		case heard.HeardAtOnce:
			v.Did = fmt.Sprintf("You read %s/%s mmHg.", plain(a.Numbers[0]), plain(a.Numbers[1]))
		case a.None:
			v.Did = "You read nothing."
		default:
			p := p.copy()
			p.write(exercises.KeyBP, strings.ReplaceAll(a.String(), " ", "/"), k.stage, k.minute)
			v = verdict(m.asked(p.state(), 0, "pressure-accuracy"), v)
			v.Known, v.Should = known, should
			if read := [2]float64{float64(heard.Systolic), float64(heard.Diastolic)}; v.Right && [2]float64(a.Numbers[:2]) != read {
				v.Known = fmt.Sprintf("You read %s/%s: within what is allowed. ", plain(a.Numbers[0]), plain(a.Numbers[1])) + known
			}
		}
		return v
	}
}
