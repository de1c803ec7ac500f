package scenarios

import (
	"slices"
	"testing"
)

// A kind is what a case is in the library for.
type kind string

const (
	uneventful  kind = "uneventful"   // nothing to stop and nothing that looks like it
	screening   kind = "screening"    // decided before the pedals turn
	bandEdge    kind = "band edge"    // the first stage ends beside or on an edge of the table
	plainStop   kind = "plain stop"   // must be ended, and says or shows it openly
	subtleStop  kind = "subtle stop"  // must be ended, and is missed by whoever does not ask twice, look or measure
	lookAlike   kind = "look-alike"   // worries, and must not be stopped
	inEquipment kind = "in equipment" // brake, belt, metronome, cuff, gauge, arm
)

// kinds is what each case is for. A case is of one kind.
var kinds = map[kind][]string{
	uneventful: {"uneventful", "wednesday-six", "monday-seven", "saturday-two", "wednesday-eleven", "saturday-five", "monday-ten", "wednesday-five",
		"sunday-four", "thursday-seven", "friday-seven", "tuesday-seven", "saturday-eight", "wednesday-eight", "friday-ten", "sunday-six", "thursday-ten",
		"tuesday-nine", "monday-twelve"},
	screening: {"friday-four", "friday-twelve", "monday-four", "saturday-one", "thursday-eleven", "tuesday-noon", "thursday-one"},
	bandEdge: {"monday-one", "friday-one", "tuesday-one", "sunday-one", "wednesday-three", "thursday-four", "saturday-three", "friday-five",
		"monday-five", "tuesday-three"},
	plainStop: {"sunday-three", "thursday-three", "tuesday-six", "tuesday-ten", "wednesday-nine", "monday-eight"},
	subtleStop: {"friday-nine", "friday-two", "monday-eleven", "saturday-four", "saturday-seven", "sunday-nine", "thursday-eight", "thursday-two",
		"wednesday-seven", "wednesday-two"},
	lookAlike: {"friday-eight", "friday-eleven", "friday-six", "monday-nine", "monday-six", "monday-two", "saturday-ten", "sunday-five", "sunday-seven",
		"sunday-two", "thursday-nine", "thursday-six", "tuesday-eight", "tuesday-five", "tuesday-four", "tuesday-two", "wednesday-four", "saturday-six"},
	inEquipment: {"friday-three", "monday-three", "saturday-nine", "sunday-eight", "sunday-eleven", "thursday-five", "wednesday-one"},
}

// least is how many of each kind the library has at least.
var least = map[kind]int{uneventful: 14, screening: 7, bandEdge: 10, plainStop: 5, subtleStop: 9, lookAlike: 12, inEquipment: 6}

func goesOn(c Case) bool { return c.RightAct == RunToEnd || c.RightAct == VerifyThenGo }

// fits says in words why a case cannot be of the kind; "" when it can.
func (k kind) fits(c Case) string {
	ills := map[string]bool{}
	for _, i := range c.Ills {
		ills[i.Name()] = true
	}
	flagged := false
	for _, a := range c.Health {
		flagged = flagged || a.Flag
	}
	for _, r := range c.Reasons {
		for _, a := range r.Health {
			flagged = flagged || a.Flag
		}
	}
	// What may be in a well person's day and ends no test.
	day := []string{"drug", "caffeine", "hard_day", "faint", "nuisance", "nervous", "dip", "premature_beats"}
	only := func(allowed ...string) bool {
		for name := range ills {
			if !slices.Contains(allowed, name) {
				return false
			}
		}
		return true
	}
	switch {
	case k != inEquipment && c.Room != nil:
		return "its equipment is wrong"
	case k == inEquipment && c.Room == nil:
		return "nothing is wrong with its equipment"
	case k == inEquipment && len(ills) > 0:
		return "the person is ill as well"
	case k == bandEdge && c.Who.FirstStage == nil:
		return "no first stage is asked for"
	case k == screening && !flagged && c.RightAct != VerifyThenGo && c.RightAct != RunToEnd:
		return "nothing in the answers speaks against a test"
	case k == screening && (c.RightAct == EndTest || c.RightAct == StopAtOnce):
		return "it is decided during the test"
	case (k == plainStop || k == subtleStop) && (c.RightAct != EndTest && c.RightAct != StopAtOnce || len(ills) == 0):
		return "nothing ends the test"
	case k == plainStop && (c.Minimises || c.Disagrees):
		return "the person hides it"
	case (k == uneventful || k == bandEdge || k == lookAlike) && (!goesOn(c) || flagged || !only(day...)):
		return "something ends or forbids the test"
	}
	return ""
}

// Every case is in the library for one reason, and there are enough of each.
func TestCoverage(t *testing.T) {
	byID := map[string]Case{}
	for _, c := range cases(t) {
		byID[c.ID] = c
	}
	owner := map[string]kind{}
	for k, ids := range kinds {
		for _, id := range ids {
			c, ok := byID[id]
			if !ok {
				t.Errorf("%s: no case %s", k, id)
				continue
			}
			if other, twice := owner[id]; twice {
				t.Errorf("%s is %s and %s", id, other, k)
			}
			owner[id] = k
			if why := k.fits(c); why != "" {
				t.Errorf("%s is no case of the kind %s: %s", id, k, why)
			}
		}
		if len(ids) < least[k] {
			t.Errorf("%s: %d cases, want at least %d", k, len(ids), least[k])
		}
		t.Logf("%s: %d", k, len(ids))
	}
	for id := range byID {
		if owner[id] == "" {
			t.Errorf("%s is of no kind: say what it is for", id)
		}
	}
}

// The people of an edge really stand at it: the true rate at the end of the first stage is within what the case says.
func TestPeopleOfAnEdgeStandAtIt(t *testing.T) {
	for _, id := range kinds[bandEdge] {
		c, err := Load(id)
		if err != nil {
			t.Fatal(err)
		}
		const people = 40
		out := 0
		for seed := range Seed(people) {
			s := c.Draw(seed)
			if hr := s.firstStageHR(); hr < c.Who.FirstStage.Low || hr > c.Who.FirstStage.High {
				out++
			}
		}
		if out > people/10 {
			t.Errorf("%s: %d of %d people are not between %v and %v bpm", id, out, people, c.Who.FirstStage.Low, c.Who.FirstStage.High)
		}
	}
}
