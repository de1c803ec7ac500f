package scenarios

import (
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"kilopond/physiology/body"
)

// A pair is a mechanism with a case that shows it and one that looks like it and must neither be stopped nor sent home.
type pair struct{ shows, alike string }

// pairs are by the key under which the mechanism stands in a case.
var pairs = map[string]pair{
	"angina":              {"thursday-three", "monday-six"},
	"pressure_fall":       {"friday-nine", "tuesday-eight"},
	"pressor":             {"monday-eleven", "thursday-one"},
	"diastolic_rise":      {"friday-two", "sunday-five"},
	"premature_beats":     {"wednesday-seven", "saturday-ten"},
	"fibrillation":        {"thursday-eight", "friday-six"},
	"rate_limit":          {"sunday-nine", "tuesday-five"},
	"faint":               {"wednesday-eleven", "thursday-six"},
	"drug":                {"saturday-one", "monday-two"},
	"claudication":        {"tuesday-ten", "wednesday-four"},
	"bronchospasm":        {"sunday-three", "friday-eight"},
	"low_sugar":           {"saturday-seven", "monday-nine"},
	"knee":                {"wednesday-nine", "sunday-seven"},
	"caffeine":            {"monday-seven", "friday-eleven"},
	"fever":               {"friday-four", "tuesday-two"},
	"hard_day":            {"saturday-two", "thursday-nine"},
	"heat":                {"tuesday-six", "sunday-two"},
	"enough":              {"monday-eight", "saturday-six"},
	"brake_low":           {"saturday-nine", "tuesday-five"},
	"brake_slips_after_s": {"wednesday-one", "tuesday-five"},
	"brake_drift_per_min": {"sunday-eleven", "tuesday-five"},
	"metronome_off_rpm":   {"thursday-five", "tuesday-four"},
	"cuff_leak_mmhg_s":    {"monday-three", "tuesday-eight"},
	"gauge_zero_mmhg":     {"friday-three", "sunday-five"},
	"arm_cm_below_heart":  {"sunday-eight", "thursday-one"},
}

// lookAlikes are mechanisms that only ever mean nothing.
var lookAlikes = []string{"nuisance", "dip", "nervous"}

// yamlKeys are the keys of a struct whose fields are all pointers.
func yamlKeys(v any) (keys []string) {
	t := reflect.TypeOf(v)
	for i := range t.NumField() {
		if t.Field(i).Type.Kind() == reflect.Pointer {
			keys = append(keys, strings.Split(t.Field(i).Tag.Get("yaml"), ",")[0])
		}
	}
	return keys
}

// uses are what is wrong in a case.
func uses(c Case) (keys []string) {
	for _, i := range c.Ills {
		keys = append(keys, i.Name())
	}
	if c.Room != nil {
		for _, s := range c.Room.spans() {
			if s.r != nil {
				keys = append(keys, s.key)
			}
		}
	}
	return keys
}

func TestEveryMechanismHasACaseAndALookAlike(t *testing.T) {
	byID := map[string]Case{}
	for _, c := range cases(t) {
		byID[c.ID] = c
	}
	all := append(yamlKeys(body.Ill{}), yamlKeys(Room{})...)
	if len(all) < 20 {
		t.Fatalf("only %v", all)
	}
	for _, key := range all {
		if slices.Contains(lookAlikes, key) {
			if !slices.ContainsFunc(cases(t), func(c Case) bool { return slices.Contains(uses(c), key) }) {
				t.Errorf("%s is in no case", key)
			}
			continue
		}
		p, ok := pairs[key]
		if !ok {
			t.Errorf("%s has no pair of cases", key)
			continue
		}
		shows, alike := byID[p.shows], byID[p.alike]
		if !slices.Contains(uses(shows), key) {
			t.Errorf("%s: case %q does not show it", key, p.shows)
		}
		// Early beats are their own look-alike when they are rare.
		same := slices.Contains(uses(alike), key) && key != "premature_beats"
		if alike.ID == "" || same || alike.RightAct != RunToEnd && alike.RightAct != VerifyThenGo {
			t.Errorf("%s: case %q, right act %q, is no look-alike that goes on", key, p.alike, alike.RightAct)
		}
		for _, u := range uses(alike) {
			if !slices.Contains(lookAlikes, u) && u != key && u != "premature_beats" {
				t.Errorf("%s: in the look-alike %s there is %s", key, p.alike, u)
			}
		}
	}
	for key := range pairs {
		if !slices.Contains(all, key) {
			t.Errorf("the pair of %s is for nothing", key)
		}
	}
}

// Neither name nor title of a case, nor the day of the week in it, gives away what to do.
func TestNamesOfCasesGiveNothingAway(t *testing.T) {
	form := regexp.MustCompile(`^(mon|tues|wednes|thurs|fri|satur|sun)day-(one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|noon)$`)
	title := ""
	byDay := map[string]map[bool]bool{}
	for _, c := range cases(t) {
		if c.ID == "uneventful" {
			continue
		}
		if !form.MatchString(c.ID) {
			t.Errorf("%s: a case is called by a day and an hour", c.ID)
		}
		if title == "" {
			title = c.Title
		}
		if c.Title != title {
			t.Errorf("%s: the title %q differs from the others", c.ID, c.Title)
		}
		day, _, _ := strings.Cut(c.ID, "-")
		if byDay[day] == nil {
			byDay[day] = map[bool]bool{}
		}
		byDay[day][c.RightAct == RunToEnd || c.RightAct == VerifyThenGo] = true
	}
	for day, goes := range byDay {
		if len(goes) != 2 {
			t.Errorf("%s: all cases of the day go on, or none does", day)
		}
	}
}

// Nobody comes in two cases, but who comes again after some weeks, and of every case people of several first names come.
func TestNobodyComesTwice(t *testing.T) {
	owner := map[string]string{}
	person := map[string]string{}
	for _, c := range cases(t) {
		person[c.ID] = c.Person
		for _, n := range c.Names {
			if other := owner[n.Name]; other != "" && (c.Person == "" || person[other] != c.Person) {
				t.Errorf("%s comes in %s and in %s", n.Name, other, c.ID)
			}
			owner[n.Name] = c.ID
		}
		if len(c.Voice.Greeting) < 2 || len(c.Voice.Consent) < 2 {
			t.Errorf("%s: fewer than two ways to greet or to consent", c.ID)
		}
	}
	t.Logf("%d people in %d cases", len(owner), len(cases(t)))
}

// mostCases is in how many cases a first name, a family name or a sentence may come: more, and a class of thirty knows it.
const (
	mostFirst, mostFamily = 4, 6
	mostSentence          = 6
)

// No name, no work and no sentence of more than a word or two is met again and again.
func TestNothingComesTooOften(t *testing.T) {
	first, family, work, said := map[string][]string{}, map[string][]string{}, map[string][]string{}, map[string][]string{}
	note := func(of map[string][]string, what string, c Case) {
		key := c.ID
		if c.Person != "" {
			key = c.Person
		}
		if !slices.Contains(of[what], key) {
			of[what] = append(of[what], key)
		}
	}
	for _, c := range cases(t) {
		for _, n := range c.Names {
			a, b, _ := strings.Cut(n.Name, " ")
			note(first, a, c)
			note(family, b, c)
			note(work, n.Work, c)
		}
		lines := slices.Concat(c.Voice.Greeting, c.Voice.Consent, c.Voice.Looks, all(c.Voice.Talk), all(c.Voice.Signs))
		for _, a := range c.Health {
			lines = append(lines, a.Says...)
		}
		for _, line := range lines {
			note(said, line, c)
		}
	}
	for _, x := range []struct {
		what string
		of   map[string][]string
		most int
	}{{"first name", first, mostFirst}, {"family name", family, mostFamily}, {"work", work, 1}, {"sentence", said, mostSentence}} {
		for text, ids := range x.of {
			if most := x.most; len(ids) > most {
				t.Errorf("%s %q is in %d cases, want at most %d: %v", x.what, text, len(ids), most, ids)
			}
		}
	}
	// A sentence of three words or more is one person's.
	for line, ids := range said {
		if len(strings.Fields(line)) > 2 && len(ids) > 2 {
			t.Errorf("%q is said in %v", line, ids)
		}
	}
}

// What a case may bring is within what it is about: nobody refuses a slight trouble who has none.
func TestReticenceHasSomethingToHide(t *testing.T) {
	for _, c := range cases(t) {
		if (c.Minimises || c.Disagrees) && len(c.Ills) == 0 {
			t.Errorf("%s: nothing to keep back", c.ID)
		}
		if c.Minimises && c.Disagrees {
			t.Errorf("%s: minimises and disagrees at once", c.ID)
		}
	}
}
