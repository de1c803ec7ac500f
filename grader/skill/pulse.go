package skill

import (
	"fmt"
	"slices"

	"kilopond/exercises"
	"kilopond/physiology/body"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

func pulseSkill() Skill {
	return Skill{
		Name: Pulse, Asks: "Count the beats of a strip and multiply to beats a minute.", N: 3,
		Levels: [Levels]string{"at rest and at light work", "light work and harder", "harder and fast", "fast, and pulses without order"},
		kinds: [Levels][]share{
			{{"at rest", 1}, {"below 110", 1}}, {{"below 110", 1}, {"110 to 129", 1}},
			{{"110 to 129", 1}, {"130 and more", 1}}, {{"130 and more", 1}, {"without order", 1}},
		},
		draw: (*Maker).pulse,
	}
}

// pulse takes one count of a test: fingers on a body, as in a test.
func (m *Maker) pulse(it *Item) error {
	r := it.stream("draw")
	fits := func(c scenarios.Case) bool { return c.RightAct == scenarios.RunToEnd }
	if it.Kind == "without order" {
		fits = func(c scenarios.Case) bool {
			return slices.ContainsFunc(c.Ills, func(i body.Ill) bool { return i.PrematureBeats != nil || i.Fibrillation != nil })
		}
	}
	return m.meet(r, fits, func(t test) bool {
		counts := m.counts(t, it.Kind)
		if len(counts) == 0 {
			return false
		}
		m.pulseItem(it, t, counts[r.IntN(len(counts))])
		return true
	})
}

// A taken is one count of a test with where it was taken.
type taken struct {
	count         exercises.PulseFelt
	stage, minute int
	stageS        int
	place         string
}

// counts are the counts of a test that are of the kind.
func (m *Maker) counts(t test, kind string) []taken {
	var all []taken
	state := t.played.Session.State()
	stage, from, ended := 0, 0, false
	for _, e := range state.Events {
		switch f := e.Fact.(type) {
		case exercises.PedallingStarted:
			from = e.AtS
		case exercises.StageStarted:
			stage, from = f.Stage, e.AtS
		case exercises.TestEnded:
			ended = true
		case exercises.PulseFelt:
			if ended || f.CutShort || len(f.Tenths) == 0 || f.FromS < from {
				continue
			}
			hr := unit.HR(len(f.Tenths)) * 60 / unit.HR(f.Seconds)
			uneven := slices.ContainsFunc(t.closing.Signs, func(s exercises.SignSpan) bool {
				return s.Sign == string(body.IrregularPulse) && s.FromS < f.FromS+f.Seconds && s.ToS > f.FromS
			})
			is := map[string]bool{
				"at rest": stage == 0, "below 110": stage > 0 && hr < 110, "110 to 129": stage > 0 && hr >= 110 && hr < 130,
				"130 and more": stage > 0 && hr >= 130, "without order": uneven,
			}
			if is[kind] && (kind == "without order" || !uneven) {
				s, minute := state.PlaceOf(f.FromS, f.FromS+f.Seconds)
				place := "at rest"
				if stage > 0 {
					place = fmt.Sprintf("stage %d", stage)
				}
				all = append(all, taken{f, s, minute, from, place})
			}
		}
	}
	return all
}

func (m *Maker) pulseItem(it *Item, t test, k taken) {
	p := &paper{book: m.book, subject: t.played.Session.State().Header.Subject, clock: k.count.FromS}
	if k.stage > 0 {
		p.clock = k.stageS
		p.add(exercises.PedallingStarted{})
		p.stage(k.stage, 0)
	}
	seconds, beats := k.count.Seconds, len(k.count.Tenths)
	p.clock = k.count.FromS + seconds
	p.add(k.count)
	for _, c := range t.closing.Counts {
		if c.FromS == k.count.FromS {
			it.truth.hr = c.HRbpm
		}
	}
	count := k.count
	it.Facts = []Fact{
		text(who(p.subject)), text(fmt.Sprintf("A count of %d s, %s. A mark is a beat, a column a tenth of a second.", seconds, k.place)),
		{Pulse: &count, AtS: k.count.FromS - k.stageS},
	}
	it.Ask = "How many beats were felt, and how many is that a minute?"
	it.Boxes = []Box{{"beats", ""}, {"heart rate", "bpm"}}
	it.judge = func(a Answer) Verdict {
		p := p.copy()
		p.write(exercises.KeyBeats, plain(a.Numbers[0]), k.stage, k.minute)
		p.write(exercises.KeyHR, plain(a.Numbers[1]), k.stage, k.minute)
		hr := float64(beats) * 60 / float64(seconds)
		worked := fmt.Sprintf("%d beats in %d s; %d × 60 / %d = %s bpm.", beats, seconds, beats, seconds, plain(unit.Round(hr, 1)))
		v := verdict(m.asked(p.state(), 0, "pulse-accuracy", "sum-heart-rates"), Verdict{})
		v.Should = worked
		if v.Right {
			why := m.rules["pulse-accuracy"]
			v.Known, v.Why, v.Source = worked, why.WhyIn(m.book), why.Sources
			if a.Numbers[0] != float64(beats) {
				v.Known = fmt.Sprintf("You counted %s beats; there are %d. So near is as good as a careful counter gets.", plain(a.Numbers[0]), beats)
			}
		}
		return v
	}
}
