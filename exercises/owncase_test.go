package exercises

import (
	"bytes"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"

	"kilopond/scenarios"
)

// ownCase is a case that no program ships, with something of its own in it that must not be read from a pack.
func ownCase(t testing.TB, id, more string) scenarios.Case {
	t.Helper()
	c, err := scenarios.DecodeCase(id+".yaml", []byte(`id: `+id+`
title: Somebody for a fitness test
spoiler: A secret of the house.
teaches: Nothing new.
difficulty: 1
competency: [branch]
right_act: run_to_end
who: {sexes: [M, F], age_y: {low: 22, high: 30}}
names:
  - {name: Ada Quill, sex: F, work: binds books}
  - {name: Ben Quill, sex: M, work: binds books}
health: []
voice:
  greeting: ["Hello."]
  consent: ["Yes."]
  looks: ["Walks in."]
sources: [CHOICE-CASES]
`+more))
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestPacksCarryOwnCases(t *testing.T) {
	own := ownCase(t, "ones-own", "")
	a, packs := assign(t, ownPlan(t), testClass(2))
	for i, p := range packs {
		raw, err := p.Encode()
		if err != nil {
			t.Fatal(err)
		}
		file, _ := json.Marshal(own.File)
		for _, secret := range []string{own.ID, own.Hash, "Quill", string(file)} {
			if bytes.Contains(raw, []byte(secret)) {
				t.Errorf("the pack shows %q", secret)
			}
		}
		in, err := p.Open(a.Students[i].Code)
		if err != nil {
			t.Fatal(err)
		}
		if len(in.Own) != 1 || in.Own[0].Hash != own.Hash || in.Own[0].File != own.File || in.Own[0].ID != own.ID {
			t.Errorf("the pack carries %d cases of one's own, want 1 as it was written", len(in.Own))
		}
	}
	if len(packs[0].Sealed) != len(packs[1].Sealed) {
		t.Error("the length of a pack tells two students apart")
	}
	raw, err := a.Encode()
	if err != nil {
		t.Fatal(err)
	}
	again, err := ReadAssignment(raw)
	if err != nil {
		t.Fatal(err)
	}
	got, err := again.Own()
	if err != nil || len(got) != 1 || got[0].Hash != own.Hash {
		t.Errorf("the instructor's file brings back %v, %v", got, err)
	}
	if i := slices.IndexFunc(a.Cases, func(c CaseRef) bool { return c.ID == "uneventful" }); i < 0 || a.Cases[i].File != "" {
		t.Error("a case that ships is carried too")
	}
	edited := bytes.Replace(raw, []byte("A secret of the house."), []byte("A secret of the horse."), 1)
	if _, err := ReadAssignment(edited); err == nil || !strings.Contains(err.Error(), "its file is not the one that was assigned") {
		t.Errorf("an edited case in the instructor's file: %v", err)
	}
}

func TestOwnCasesThatCannotBeAssigned(t *testing.T) {
	big := "note: " + strings.Repeat("x", 200<<10) + "\n"
	for _, x := range []struct {
		name  string
		cases []scenarios.Case
		want  string
	}{
		{"two of one name", []scenarios.Case{ownCase(t, "ones-own", ""), ownCase(t, "ones-own", "note: other\n")}, "case ones-own is given twice"},
		{"the name of one that ships", []scenarios.Case{ownCase(t, "uneventful", "")}, "case uneventful: a case that ships has this name"},
		{"too large", []scenarios.Case{ownCase(t, "one", big), ownCase(t, "two", big), ownCase(t, "three", big)}, "at most 512"},
	} {
		plan := smallPlan(t)
		plan.Cases = x.cases
		if _, err := NewDraft(plan, testClass(1), [32]byte{1}, testClock); err == nil || !strings.Contains(err.Error(), x.want) {
			t.Errorf("%s: %v, want %q", x.name, err, x.want)
		}
	}
}

// A pack whose cases were put in by somebody else than who made it does not open.
func TestAPackWithAnotherFileForItsCase(t *testing.T) {
	plan := smallPlan(t)
	own := ownCase(t, "ones-own", "")
	plan.Cases = []scenarios.Case{own}
	a, packs := assign(t, plan, testClass(1))
	code := a.Students[0].Code
	in, err := packs[0].Open(code)
	if err != nil {
		t.Fatal(err)
	}
	other := ownCase(t, "ones-own", "note: other\n")
	p, err := packs[0].seal(code, in.People, []CaseRef{{own.ID, own.Hash, other.File}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := p.Open(code); !errors.Is(err, ErrEdited) {
		t.Errorf("another file for the case: %v", err)
	}
	if p, err = packs[0].seal(code, in.People, nil); err != nil {
		t.Fatal(err)
	}
	if in, err = p.Open(code); err != nil || len(in.Own) != 0 {
		t.Errorf("a pack without its case: %v, %d", err, len(in.Own))
	}
}
