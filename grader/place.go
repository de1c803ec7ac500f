package grader

import (
	"fmt"
	"math"
	"sort"

	"kilopond/exercises"
	"kilopond/physiology/unit"
)

// clock prints whole seconds as minutes and seconds, "2:45".
func clock(s int) string { return fmt.Sprintf("%d:%02d", s/60, s%60) }

// where names a second as a student would: "stage 2, 2:45".
func where(c *Course, at int) string {
	if c.EndedAtS >= 0 && at >= c.EndedAtS {
		return "recovery, " + clock(at-c.EndedAtS)
	}
	for i := len(c.Stages) - 1; i >= 0; i-- {
		if at >= c.Stages[i].FromS {
			return fmt.Sprintf("stage %d, %s", c.Stages[i].Number, clock(at-c.Stages[i].FromS))
		}
	}
	if c.PedalAtS >= 0 && at >= c.PedalAtS {
		return "warm-up, " + clock(at-c.PedalAtS)
	}
	return "before the test, " + clock(at)
}

// begun says whether the person ever pedalled.
func begun(c *Course) bool { return c.PedalAtS >= 0 }

// lastSecond is the second at which the attempt stands or was handed in.
func lastSecond(c *Course) int {
	if c.State == nil {
		return 0
	}
	return c.State.ClockS
}

// firstStep is the second at which the step was first done, −1 when never. An empty what takes any.
func firstStep(steps []Step, act exercises.Act, what string) int {
	for _, s := range steps {
		if s.Act == act && (what == "" || s.What == what) {
			return s.AtS
		}
	}
	return -1
}

// askedFirst is the second at which a thing was first asked, −1 when never.
func askedFirst(c *Course, what string) int {
	if at := firstStep(c.Asked, exercises.Ask, what); at >= 0 {
		return at
	}
	return firstStep(c.Prepared, exercises.Ask, what)
}

// before says whether something happened, and before the person pedalled.
func before(c *Course, at int) bool { return at >= 0 && (!begun(c) || at <= c.PedalAtS) }

// A minuteReading is the pulse that stands for one minute of a stage on the student's own path: the last that was counted for it.
type minuteReading struct {
	Minute int
	AtS    int // when the count was known
	HR     unit.HR
	Count  Count
}

// minuteOf says which minute mark of a stage a reading belongs to: the mark nearest to its middle, and never before the first.
func minuteOf(stageFrom, from, to int) int {
	mid := float64(from+to)/2 - float64(stageFrom)
	return max(1, int(math.Round(mid/60)))
}

// whole says whether a count can be used: finished, or long enough before it was cut short. Source: [CHOICE-CUT-COUNT].
func whole(k Count) bool { return k.HR > 0 && !k.CutShort }

// readings are the pulse readings of one stage by minute, in order, that were done by the second until.
func readings(c *Course, stage StageRun, until int) []minuteReading {
	byMinute := map[int]minuteReading{}
	for _, k := range c.Counts {
		if !whole(k) || k.FromS < stage.FromS || k.ToS > until || k.FromS >= stage.ToS {
			continue
		}
		m := minuteOf(stage.FromS, k.FromS, k.ToS)
		byMinute[m] = minuteReading{Minute: m, AtS: k.KnownS, HR: k.Reading(), Count: k}
	}
	list := make([]minuteReading, 0, len(byMinute))
	for _, r := range byMinute {
		list = append(list, r)
	}
	sort.Slice(list, func(i, j int) bool { return list[i].Minute < list[j].Minute })
	return list
}

// lastTwo are the readings of the last two minutes of a stage; ok is false when they are not two minutes in a row.
func lastTwo(list []minuteReading) (earlier, later minuteReading, ok bool) {
	if len(list) < 2 {
		return
	}
	earlier, later = list[len(list)-2], list[len(list)-1]
	return earlier, later, later.Minute == earlier.Minute+1
}

// rates are the heart rates of the readings.
func rates(list []minuteReading) []unit.HR {
	hrs := make([]unit.HR, len(list))
	for i, r := range list {
		hrs[i] = r.HR
	}
	return hrs
}

// cuffsIn are the pressures begun in [from, to).
func cuffsIn(c *Course, from, to int) []CuffTake {
	var list []CuffTake
	for _, k := range c.Cuffs {
		if k.FromS >= from && k.FromS < to {
			list = append(list, k)
		}
	}
	return list
}

// systolic is the systolic pressure that the student went by: as written, else as heard.
func (k CuffTake) systolic() unit.Pressure {
	if k.WroteSystolic != nil {
		return *k.WroteSystolic
	}
	return k.Systolic
}

// diastolic is the diastolic pressure that the student went by.
func (k CuffTake) diastolic() unit.Pressure {
	if k.WroteDiastolic != nil {
		return *k.WroteDiastolic
	}
	return k.Diastolic
}

// read says whether the pressure can be used.
func (k CuffTake) read() bool {
	return k.Sounded && !k.CutShort && k.Systolic-k.Diastolic >= leastPulse && k.Systolic <= unit.Pressure(k.Top)-leastAbove
}

// leastAbove is how far above the first sound the cuff must have been pumped, in mmHg: closer, the first sounds may have been missed.
// Source: [CHOICE-PLAN].
const leastAbove = 6

// leastPulse is the least distance of systolic and diastolic that is not taken for a lost sound, in mmHg. Source: [CHOICE-PLAN].
const leastPulse = 16

// stageAt is the stage that was running at a second.
func stageAt(c *Course, at int) (StageRun, bool) {
	for _, s := range c.Stages {
		if at >= s.FromS && at < s.ToS {
			return s, true
		}
	}
	return StageRun{}, false
}

// raisedAfter is the first second after at at which the load was turned up while the test went on; −1 when never.
func raisedAfter(c *Course, at int) int {
	last := unit.Resistance(0)
	for _, s := range c.Stages {
		for _, l := range append([]LoadChange{{AtS: s.FromS, Resistance: s.Resistance}}, s.Changes...) {
			if l.AtS > at && l.Resistance > last && (c.EndedAtS < 0 || l.AtS <= c.EndedAtS) {
				return l.AtS
			}
			last = l.Resistance
		}
	}
	return -1
}

// endOr is the second at which the test ended, or the attempt's last second when it never did.
func endOr(c *Course) int {
	if c.EndedAtS >= 0 {
		return c.EndedAtS
	}
	return lastSecond(c)
}

// written are the entries on the sheet that were not struck out, of one key.
func written(c *Course, key exercises.Key) []exercises.Item {
	var list []exercises.Item
	if c.State == nil {
		return nil
	}
	for _, i := range c.State.Items {
		if i.Key == key && !i.Struck {
			list = append(list, i)
		}
	}
	return list
}

// wroteFor is the last entry of a key for one stage; ok is false when there is none.
func wroteFor(c *Course, key exercises.Key, stage int) (item exercises.Item, ok bool) {
	for _, i := range written(c, key) {
		if i.Stage == stage {
			item, ok = i, true
		}
	}
	return item, ok
}

// measured is the last value that was read of a thing before a second; ok is false when it never was.
func measured(c *Course, what string, until int) (value float64, ok bool) {
	if c.State == nil {
		return 0, false
	}
	for _, e := range c.State.Events {
		if m, is := e.Fact.(exercises.Measured); is && m.What == what && e.AtS <= until {
			value, ok = m.Value, true
		}
	}
	return value, ok
}

// share gives full credit within full, none from none on, and a straight line between.
func share(wrong, full, none float64) float64 {
	wrong = math.Abs(wrong)
	switch {
	case wrong <= full:
		return 1
	case wrong >= none:
		return 0
	}
	return (none - wrong) / (none - full)
}

// kept is an opportunity at which the rule was kept.
func kept(at int) Opportunity { return Opportunity{AtS: at, Credit: 1} }

// broken is an opportunity at which it was not: what could be known, what was done, what would have been acceptable.
func broken(at int, credit float64, cause, known, did, should string) Opportunity {
	return Opportunity{AtS: at, Credit: credit, Cause: cause, Finding: &Finding{Known: known, Did: did, Should: should}}
}

// closing closes the gate as well.
func (o Opportunity) closing(why string) Opportunity {
	o.ClosesGate = why
	return o
}

// howMany counts things in words: "no pressure", "1 pressure", "2 pressures".
func howMany(n int, what string) string {
	switch n {
	case 0:
		return "no " + what
	case 1:
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
