package scenarios

import (
	"slices"
	"testing"

	"kilopond/physiology"
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
		"tuesday-nine", "monday-twelve", "saturday-noon"},
	screening: {"friday-four", "friday-twelve", "monday-four", "saturday-one", "thursday-eleven", "tuesday-noon", "thursday-one", "wednesday-twelve", "thursday-twelve",
		"saturday-eleven", "sunday-ten", "friday-noon", "monday-noon", "sunday-twelve"},
	bandEdge: {"monday-one", "friday-one", "tuesday-one", "sunday-one", "wednesday-three", "thursday-four", "saturday-three", "friday-five",
		"monday-five", "tuesday-three"},
	plainStop: {"sunday-three", "thursday-three", "tuesday-six", "tuesday-ten", "wednesday-nine", "monday-eight", "tuesday-twelve", "sunday-noon", "thursday-noon",
		"saturday-twelve"},
	subtleStop: {"friday-nine", "friday-two", "monday-eleven", "saturday-four", "saturday-seven", "sunday-nine", "thursday-eight", "thursday-two",
		"wednesday-seven", "wednesday-two"},
	lookAlike: {"friday-eight", "friday-eleven", "friday-six", "monday-nine", "monday-six", "monday-two", "saturday-ten", "sunday-five", "sunday-seven",
		"sunday-two", "thursday-nine", "thursday-six", "tuesday-eight", "tuesday-five", "tuesday-four", "tuesday-two", "wednesday-four", "saturday-six", "wednesday-noon",
		"wednesday-ten"},
	inEquipment: {"friday-three", "monday-three", "saturday-nine", "sunday-eight", "sunday-eleven", "thursday-five", "wednesday-one"},
}

// least is how many of each kind the library has at least.
var least = map[kind]int{uneventful: 14, screening: 10, bandEdge: 10, plainStop: 9, subtleStop: 9, lookAlike: 12, inEquipment: 6}

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

// carriers are what the library must hold among its cases, with the case that carries each, and what must be so of that case; nil where only its
// words can be.
var carriers = []struct {
	what, id string
	is       func(Case) bool
}{
	{"every band, all levels of fitness", "uneventful", func(c Case) bool { return c.Who.FitnessZ == nil && c.Who.FirstStage == nil }},
	{"below 80", "monday-one", firstStage(60, 80)}, {"80 and just above", "friday-one", firstStage(80, 90)},
	{"below 90", "tuesday-one", firstStage(80, 90)}, {"90 and just above", "sunday-one", firstStage(90, 100)},
	{"100 and below", "wednesday-three", firstStage(90, 100)}, {"above 100", "thursday-four", firstStage(100, 110)},
	{"on 80", "saturday-three", around(80)}, {"on 90", "friday-five", around(90)}, {"on 100", "monday-five", around(100)},
	{"steady", "uneventful", func(c Case) bool { return len(c.Ills) == 0 }},
	{"slowly steady", "friday-seven", func(c Case) bool { return c.Who.SettlingZ != nil && c.Who.SettlingZ.Low >= 1.5 }},
	{"never steady", "saturday-noon", func(c Case) bool { return c.Who.Drift != nil && c.Who.Drift.Low >= 5 }},
	{"first stage above 110", "saturday-five", firstStage(110, 130)},
	{"ceiling in the second stage", "monday-ten", firstStage(105, 120)},
	{"the next stage sure to pass the ceiling with one point in hand", "wednesday-five", firstStage(90, 100)},
	{"nerves at the start", "tuesday-three", func(c Case) bool { return c.Who.NervesBpm != nil && c.Who.NervesBpm.Low >= 15 }},
	{"fit before 30", "friday-six", fitness(+1, 18, 29)}, {"unfit before 30", "tuesday-seven", fitness(-1, 18, 29)},
	{"fit at 30–45", "tuesday-five", fitness(+1, 20, 45)}, {"unfit at 30–50", "saturday-five", fitness(-1, 28, 50)},
	{"fit at 45–60", "monday-one", fitness(+1, 45, 60)}, {"unfit at 50–65", "wednesday-five", fitness(-1, 50, 65)},
	{"fit past 60", "sunday-four", fitness(+1, 60, 79)}, {"unfit past 60", "monday-ten", fitness(-1, 60, 79)},
	{"true maximum 20 above prediction", "sunday-four", func(c Case) bool { return c.Who.MaxHRAbove != nil && c.Who.MaxHRAbove.Low >= 15 }},
	{"true maximum 20 below prediction", "thursday-seven", func(c Case) bool { return c.Who.MaxHRAbove != nil && c.Who.MaxHRAbove.High <= -15 }},
	{"must be refused", "tuesday-noon", func(c Case) bool { return c.RightAct == DoNotTest }},
	{"must rest, be measured again, and may then be tested", "thursday-one", func(c Case) bool { return c.RightAct == VerifyThenGo && c.Ills[0].Nervous != nil }},
	{"active with a known disease", "monday-noon", func(c Case) bool { return c.Who.Active != nil && *c.Who.Active && goesOn(c) }},
	{"not active with a known disease", "sunday-twelve", flags("condition")},
	{"pregnancy", "wednesday-twelve", flags("condition")}, {"pacemaker", "thursday-twelve", flags("heart")},
	{"infection last week", "saturday-eleven", flags("ill")}, {"fever", "friday-four", flags("ill")},
	{"fasting with insulin", "thursday-eleven", func(c Case) bool { return flags("condition")(c) && flags("today")(c) }},
	{"a rate-slowing drug", "saturday-one", func(c Case) bool { return flags("medicines")(c) && c.Ills[0].Drug != nil }},
	{"the same as eye drops", "sunday-ten", func(c Case) bool { return flags("medicines")(c) && c.Ills[0].Drug != nil }},
	{"a drug that only sounds like one", "monday-two", func(c Case) bool { return goesOn(c) && len(c.Ills) == 0 }},
	{"a monitor that drops out", "thursday-five", func(c Case) bool { return c.Room != nil && c.Room.Monitor }},
	{"known fibrillation", "monday-four", func(c Case) bool { return flags("heart")(c) && c.Ills[0].Fibrillation != nil }},
	{"inhaler", "saturday-eight", goesOn}, {"coffee", "monday-seven", func(c Case) bool { return c.Ills[0].Caffeine != nil }},
	{"cigarette", "tuesday-seven", func(c Case) bool { return c.Ills[0].Drug != nil }},
	{"hard training yesterday", "saturday-two", func(c Case) bool { return c.Ills[0].HardDay != nil }},
	{"small arms", "thursday-four", arm(19, 26.5)}, {"large arms", "monday-five", arm(34.5, 44.5)}, {"very large arms", "tuesday-one", arm(44.5, 53)},
	{"gap-ridden pressures", "wednesday-noon", func(c Case) bool { return c.Who.Artery == SilentGap }},
	{"hard-to-hear pressures", "wednesday-ten", func(c Case) bool { return c.Who.Artery == SoundsToZero }},
	{"hard of hearing", "sunday-one", nil}, {"little shared language", "friday-five", nil},
	{"a minimiser", "wednesday-two", func(c Case) bool { return c.Minimises }},
	{"form and speech disagree", "friday-noon", flags("chest")},
	{"speech and look disagree", "saturday-four", func(c Case) bool { return c.Disagrees }},
	{"asks to stop", "monday-eight", func(c Case) bool { return c.Ills[0].Enough != nil && c.RightAct == EndTest }},
	{"insists on going on", "tuesday-twelve", func(c Case) bool { return c.RightAct == EndTest }},
	{"wants to leave early", "saturday-three", func(c Case) bool { return c.Ills[0].Nuisance != nil && c.Ills[0].Nuisance.AfterStop != nil }},
	{"talks through the count", "wednesday-three", func(c Case) bool { return c.Ills[0].Nuisance != nil && c.Ills[0].Nuisance.EveryS > 0 }},
	{"trouble only in recovery", "wednesday-eleven", func(c Case) bool { return c.Ills[0].Faint != nil }},
	{"the same person, much fitter", "friday-ten", comesAgain(10, 40)},
	{"the same person, hardly fitter", "thursday-ten", comesAgain(1, 6)},
	{"the same person, no fitter, on a bad day", "monday-twelve", comesAgain(-2, 2)},
}

func firstStage(low, high float64) func(Case) bool {
	return func(c Case) bool {
		return c.Who.FirstStage != nil && c.Who.FirstStage.Low >= low && c.Who.FirstStage.High <= high
	}
}

func around(edge float64) func(Case) bool {
	return func(c Case) bool {
		return c.Who.FirstStage != nil && c.Who.FirstStage.Low < edge && c.Who.FirstStage.High > edge && c.Who.FirstStage.High-c.Who.FirstStage.Low <= 3
	}
}

func fitness(sign, young, old float64) func(Case) bool {
	return func(c Case) bool {
		z := c.Who.FitnessZ
		return z != nil && sign*(z.Low+z.High) > 0.8 && c.Who.AgeY.Low >= young && c.Who.AgeY.High <= old
	}
}

func arm(low, high float64) func(Case) bool {
	return func(c Case) bool { return c.Who.ArmCM != nil && c.Who.ArmCM.Low >= low && c.Who.ArmCM.High < high }
}

func flags(question string) func(Case) bool {
	return func(c Case) bool {
		return c.RightAct == DoNotTest && slices.ContainsFunc(c.Health, func(a Answer) bool { return a.Question == question && a.Flag })
	}
}

func comesAgain(low, high float64) func(Case) bool {
	return func(c Case) bool { return c.Since != nil && c.Since.VO2Max.Low >= low && c.Since.VO2Max.High <= high }
}

// What people meet in a laboratory and must have met here is in the library, each in a case of which it can be shown to be so.
func TestCarriers(t *testing.T) {
	for _, x := range carriers {
		c, err := Load(x.id)
		if err != nil {
			t.Errorf("%s: %v", x.what, err)
			continue
		}
		if x.is != nil && !x.is(c) {
			t.Errorf("%s: case %s does not carry it", x.what, x.id)
		}
	}
}

// A teaching point says where it is written, or that it is common practice: our own choice alone is no reason. Only the whole job in good order, which
// keeps its bytes, teaches nothing in particular.
func TestTeachingPointsCite(t *testing.T) {
	for _, c := range cases(t) {
		cited := false
		for _, key := range c.Sources {
			s, ok := physiology.SourceOf(key)
			if !ok {
				t.Errorf("%s: no source %s", c.ID, key)
			}
			cited = cited || ok && s.Known != "choice"
		}
		if !cited && c.ID != "uneventful" {
			t.Errorf("%s cites %v only", c.ID, c.Sources)
		}
	}
}
