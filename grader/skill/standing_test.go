package skill

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// Gaps by print. Source: Cepeda and others 2008: the best gap is 20–40 % of a week, 5–10 % of a year.
func TestGaps(t *testing.T) {
	week, year := 7*day, 365*day
	if g := float64(Gap(week)) / float64(week); g < 0.2 || g > 0.4 {
		t.Errorf("gap of a week is %.3f of it, want 0.2–0.4", g)
	}
	if g := float64(Gap(year)) / float64(year); g < 0.05 || g > 0.1 {
		t.Errorf("gap of a year is %.3f of it, want 0.05–0.1", g)
	}
	last, share := time.Duration(0), 1.0
	for h := day; h <= 400*day; h += day {
		g := Gap(h)
		if g <= last {
			t.Fatalf("gap of %v is %v, not above that of a day less, %v", h, g, last)
		}
		if s := float64(g) / float64(h); s > share+1e-9 {
			t.Fatalf("share of %v is %.4f, above that of a day less, %.4f", h, s, share)
		} else {
			share = s
		}
		last = g
	}
}

func given(at time.Time, seed scenarios.Seed, level int, right bool) exercises.Answered {
	return exercises.Answered{At: at, Sitting: at, Skill: string(Steady), Seed: seed, Level: level, Kind: "steady", Rulebook: "r", Answer: "next", Right: right}
}

func steadyStanding(answers []exercises.Answered) Standing {
	for _, s := range Fold(answers) {
		if s.Skill == Steady {
			return s
		}
	}
	panic("skill: no steady")
}

func TestSpacingOfSittings(t *testing.T) {
	start := time.Date(2026, 3, 2, 18, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		name    string
		hours   []float64 // of each answer
		right   []bool
		dueDays float64 // after the last
		sat     int
	}{
		{"once", []float64{0, 0.01}, []bool{true, true}, 1.82, 1},
		{"twice on a day is once", []float64{0, 5}, []bool{true, true}, 1.82, 1},
		{"in time", []float64{0, 44}, []bool{true, true}, 2.93, 2},
		{"much too soon lengthens nothing", []float64{0, 12}, []bool{true, true}, 1.82, 2},
		{"three in time", []float64{0, 44, 44 + 71}, []bool{true, true, true}, 4.71, 3},
		{"went badly", []float64{0, 44, 44 + 71}, []bool{true, true, false}, 1, 3},
		{"after going badly it begins again", []float64{0, 44, 44 + 71, 44 + 71 + 24}, []bool{true, true, false, true}, 1.82, 4},
		{"after a year", []float64{0, 24 * 365}, []bool{true, true}, 2.93, 2},
	} {
		var list []exercises.Answered
		for i, h := range c.hours {
			list = append(list, given(start.Add(time.Duration(h*float64(time.Hour))), scenarios.Seed(i), 1, c.right[i]))
		}
		s := steadyStanding(list)
		if got := s.Due.Sub(s.Last).Hours() / 24; math.Abs(got-c.dueDays) > 0.01 || s.Sittings != c.sat {
			t.Errorf("%s: due %.2f days after, %d sittings; want %.2f, %d", c.name, got, s.Sittings, c.dueDays, c.sat)
		}
	}
	if s := steadyStanding(nil); !s.DueAt(start) || s.Level != 1 || s.At.Interval != nil {
		t.Errorf("never sat: %+v", s)
	}
}

// The same question answered again says nothing new; answers of another level move nothing; order is by time.
func TestFoldLeavesOut(t *testing.T) {
	at := time.Date(2026, 3, 2, 18, 0, 0, 0, time.UTC)
	var list []exercises.Answered
	for i := range 30 {
		list = append(list, given(at.Add(time.Duration(i)*time.Second), 5, 1, true))
	}
	if s := steadyStanding(list); s.All.N != 1 || s.Level != 1 {
		t.Errorf("one question thirty times: %+v", s)
	}
	list = nil
	for i := range 30 {
		list = append(list, given(at.Add(time.Duration(i)*time.Second), scenarios.Seed(i), 3, true))
	}
	if s := steadyStanding(list); s.Level != 1 || s.All.N != 30 || s.At.N != 0 {
		t.Errorf("thirty of level 3: %+v", s)
	}
}

// Difficulty moves up above 90 % and down below 70 %, and settles where about that share is right.
func TestLevelMoves(t *testing.T) {
	at := time.Date(2026, 3, 2, 18, 0, 0, 0, time.UTC)
	after := func(p [Levels]float64, n int, seed uint64) Standing {
		r := rand.New(rand.NewPCG(seed, 1))
		climb := newLadder(Steady)
		var list []exercises.Answered
		for i := range n {
			right := r.Float64() < p[climb.level-1]
			list = append(list, given(at.Add(time.Duration(i)*time.Minute), scenarios.Seed(i), climb.level, right))
			climb.take(outcome{right, 1})
		}
		s := steadyStanding(list)
		if s.Level != climb.level {
			t.Fatalf("folded to level %d, want %d", s.Level, climb.level)
		}
		return s
	}
	if s := after([Levels]float64{1, 1, 1, 1}, placing*(Levels-1), 1); s.Level != Levels {
		t.Errorf("all right: level %d, want %d", s.Level, Levels)
	}
	if s := after([Levels]float64{1, 1, 1, 1}, placing*(Levels-1)-1, 1); s.Level != Levels-1 {
		t.Errorf("all right but one answer less: level %d, want %d", s.Level, Levels-1)
	}
	// By hand: the first wrong answer ends the placing; then more than nine in ten of at least eight are asked for, and fewer than seven in ten move down.
	for _, c := range []struct {
		rights string
		want   int
	}{{"rrr", 1}, {"rrrr", 2}, {"wrrrrrrr", 1}, {"wrrrrrrrrrr", 2}, {"wrrrrrrrrr", 1}, {"rrrrrrrr", 3}, {"rrrrwrrrrrr", 2}, {"rrrrwwrrrrr", 2}, {"rrrrwwwrrrrr", 1}} {
		var list []exercises.Answered
		l := newLadder(Steady)
		for i, r := range c.rights {
			list = append(list, given(at.Add(time.Duration(i)*time.Minute), scenarios.Seed(i), l.level, r == 'r'))
			l.take(outcome{r == 'r', 1})
		}
		if s := steadyStanding(list); s.Level != c.want {
			t.Errorf("answers %s: level %d, want %d", c.rights, s.Level, c.want)
		}
	}
	if s := after([Levels]float64{0, 0, 0, 0}, 100, 1); s.Level != 1 {
		t.Errorf("all wrong: level %d, want 1", s.Level)
	}
	stand := [Levels + 1]int{}
	for seed := range uint64(200) {
		stand[after([Levels]float64{0.98, 0.82, 0.4, 0.3}, 120, seed).Level]++
	}
	if stand[2] < 100 || stand[4] > 0 {
		t.Errorf("200 students who are right 98, 82, 40 and 30 %% of the time stand at levels %v, want most at 2 and none at 4", stand[1:])
	}
}

// Whoever never stops is right three times in four, and is neither moved up nor left alone; whoever is right nine times in ten either way stays.
func TestNeverStoppingIsNoSkill(t *testing.T) {
	s, _ := Find(Stop)
	at := time.Date(2026, 3, 2, 18, 0, 0, 0, time.UTC)
	var list []exercises.Answered
	for i, seed := range s.Seeds(3, 2, block) {
		kind := s.kindOf(seed, 2)
		list = append(list, exercises.Answered{At: at.Add(time.Duration(i) * time.Second), Skill: string(Stop), Seed: seed, Level: 2, Kind: kind, Answer: "go", Right: kind != mustEnd})
	}
	climb := newLadder(Stop)
	climb.level = 2
	for _, a := range list {
		if climb.level == 2 {
			climb.take(outcomeOf(a))
		}
	}
	if climb.level != 1 {
		t.Errorf("after forty moments without a stop the level is %d, want 1", climb.level)
	}
	// Nor does a lucky run of moments that may go on place anybody higher; one that was ended does.
	lucky := newLadder(Stop)
	for range 10 {
		lucky.take(outcome{true, 1})
	}
	if lucky.placed() || lucky.level != 2 { // ten of ten right: the ordinary way up, once
		t.Errorf("after ten moments that might go on the level is %d", lucky.level)
	}
	ended := newLadder(Stop)
	for i := range placing {
		ended.take(outcome{true, 1 + (stopWeight-1)*float64(i/(placing-1))})
	}
	if ended.level != 2 {
		t.Errorf("after four right moments, one of them ended, the level is %d, want 2", ended.level)
	}
	for _, x := range Fold(list) {
		if x.Skill == Stop && x.Due.Sub(x.Last) != day {
			t.Errorf("after forty moments without a stop it is due in %v, want a day", x.Due.Sub(x.Last))
		}
	}
}

// The interval shown at a level covers the share that is true there about 95 times in 100, though the level moves with the answers, which ends a run
// at a level when it goes well or badly.
func TestIntervalAtALevelCovers(t *testing.T) {
	at := time.Date(2026, 3, 2, 18, 0, 0, 0, time.UTC)
	for k, p := range [][Levels]float64{{0.98, 0.85, 0.6, 0.5}, {0.8, 0.75, 0.7, 0.6}, {0.99, 0.97, 0.9, 0.8}, {0.6, 0.5, 0.4, 0.3}} {
		covered, n := 0, 0
		for who := range 800 {
			r := rand.New(rand.NewPCG(uint64(k), uint64(who)))
			climb := newLadder(Steady)
			var list []exercises.Answered
			for i := range 120 {
				right := r.Float64() < p[climb.level-1]
				list = append(list, given(at.Add(time.Duration(i)*time.Minute), scenarios.Seed(i), climb.level, right))
				climb.take(outcome{right, 1})
			}
			s := steadyStanding(list)
			if s.At.N < 10 { // at a level where one has only just come
				continue
			}
			n++
			if w := s.At.Interval; w[0] <= p[s.Level-1] && p[s.Level-1] <= w[1] {
				covered++
			}
		}
		// 4 SD of a share from so many students is 3 %.
		if share := float64(covered) / float64(n); share < 0.92 || share > 0.98 {
			t.Errorf("students right %v of the time: the interval covers in %.3f of %d", p, share, n)
		}
	}
}
