package exercises

import (
	"strings"
	"testing"
	"time"
)

func TestTermsThatCannotBe(t *testing.T) {
	if err := testTerms().with(func(x *Terms) { x.Assignment = "A" }).Check(); err != nil {
		t.Fatal(err)
	}
	for says, change := range map[string]func(*Terms){
		"no ID":                      func(x *Terms) { x.Assignment = "" },
		"title: one line":            func(x *Terms) { x.Title = "a\nb" },
		"of at most 120":             func(x *Terms) { x.Title = strings.Repeat("x", 121) },
		"rules are missing":          func(x *Terms) { x.Rulebook = nil },
		"0 attempts":                 func(x *Terms) { x.Attempts = 0 },
		"21 attempts":                func(x *Terms) { x.Attempts = 21 },
		"before it begins":           func(x *Terms) { x.Until = x.From.Add(-time.Second) },
		"minutes for one subject":    func(x *Terms) { x.SittingMin = -1 },
		"report \"\"":                func(x *Terms) { x.Report = "" },
		"needs a window that closes": func(x *Terms) { x.Report, x.Until = ReportAfter, time.Time{} },
		"late \"never\"":             func(x *Terms) { x.Late = "never" },
		"above 0, at most 100":       func(x *Terms) { x.Late, x.LatePercent = LateDeduct, 101 },
		"only with the late rule":    func(x *Terms) { x.LatePercent = 5 },
	} {
		err := testTerms().with(func(x *Terms) { x.Assignment = "A"; change(x) }).Check()
		if err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", says, err)
		}
	}
}

func (t Terms) with(change func(*Terms)) Terms {
	change(&t)
	return t
}

// A day begun is a day.
func TestDaysLate(t *testing.T) {
	x := testTerms()
	for after, want := range map[time.Duration]int{-time.Hour: 0, 0: 0, time.Second: 1, 24 * time.Hour: 1, 24*time.Hour + time.Second: 2, 72 * time.Hour: 3} {
		if got := x.DaysLate(x.Until.Add(after)); got != want {
			t.Errorf("%v after: %d, want %d", after, got, want)
		}
	}
	x.Until = time.Time{}
	if x.DaysLate(testClock.AddDate(9, 0, 0)) != 0 {
		t.Error("late for a window that never closes")
	}
}

// A student's own factor lengthens the time, none takes the limit away, and extra attempts bring further people.
func TestWhatAStudentHasOfTheirOwn(t *testing.T) {
	plan := smallPlan(t)
	plan.Terms.SittingMin, plan.Terms.Attempts = 40, 2
	class := testClass(3)
	class[1].TimeFactor, class[1].Extra = 1.25, 1
	class[2].TimeFactor = 0
	a, packs := assign(t, plan, class)
	for i, want := range []struct {
		limit time.Duration
		tries int
	}{{40 * time.Minute, 2}, {50 * time.Minute, 3}, {0, 2}} {
		if packs[i].Limit() != want.limit || packs[i].Tries() != want.tries || a.Students[i].Limit(a.Terms) != want.limit || len(a.Students[i].Subjects[0].Tries) != want.tries {
			t.Errorf("student %d: %v, %d tries", i, packs[i].Limit(), packs[i].Tries())
		}
		seeds := map[any]bool{}
		for _, x := range a.Students[i].Subjects[0].Tries {
			seeds[x.Seed] = true
		}
		if len(seeds) != want.tries {
			t.Errorf("student %d meets the same person again", i)
		}
	}
}
