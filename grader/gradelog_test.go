package grader

import (
	"reflect"
	"strings"
	"testing"
)

// What is read of a log of marks is written back as it was, and nothing in it can do harm.
func FuzzNotes(f *testing.F) {
	credit, percent := 0.5, 71.4
	for _, n := range []Noted{
		{At: "2026-11-25T22:00:00Z", Head: "ab", Student: "anna", Comment: &Comment{4, "calm"}},
		{At: "2026-11-25T22:00:00Z", Head: "ab", Student: "=1", Decided: &Decided{"ceiling", &credit, "seen"}},
		{At: "2026-11-25T22:00:00Z", Head: "ab", Decided: &Decided{"ceiling", nil, "taken back"}},
		{At: "2026-11-25T22:00:00Z", Head: "cd", Given: &Given{"four-band", "00", &percent, false, 1}},
	} {
		raw, err := EncodeNoted(n)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(raw) + "\n")
		f.Add(string(raw) + "\n" + string(raw))
	}
	f.Add("{}\n")
	f.Add("\n\n")
	f.Fuzz(func(t *testing.T, data string) {
		notes, err := DecodeNotes([]byte(data))
		Histories(notes)
		if err != nil {
			return
		}
		var again strings.Builder
		for _, n := range notes {
			raw, err := EncodeNoted(n)
			if err != nil {
				t.Fatalf("read, but cannot be written: %v", err)
			}
			again.Write(append(raw, '\n'))
		}
		second, err := DecodeNotes([]byte(again.String()))
		if err != nil || !reflect.DeepEqual(notes, second) {
			t.Errorf("%+v was read back as %+v, %v", notes, second, err)
		}
	})
}

// The later note stands over the earlier; a decision taken back is none; other attempts are not touched.
func TestHistories(t *testing.T) {
	half, one := 0.5, 1.0
	notes := []Noted{
		{Head: "a", Decided: &Decided{"ceiling", &half, "first"}},
		{Head: "a", Decided: &Decided{"screen-health", &one, "kept"}},
		{Head: "a", Decided: &Decided{"ceiling", &one, "second"}},
		{Head: "b", Decided: &Decided{"ceiling", &half, "other"}},
		{Head: "b", Decided: &Decided{"ceiling", nil, "back"}},
		{Head: "a", Comment: &Comment{2, "x"}}, {Head: "a", Comment: &Comment{3, "y"}},
	}
	all := Histories(notes)
	want := []Override{{"screen-health", 1, "kept"}, {"ceiling", 1, "second"}} // in the order of the rules
	if got := all["a"].Decided; !reflect.DeepEqual(got, want) {
		t.Errorf("decided %v, want %v", got, want)
	}
	if got := all["a"].Comment; got == nil || got.Mark != 3 {
		t.Errorf("comment %v", got)
	}
	if got := all["b"].Decided; len(got) != 0 {
		t.Errorf("taken back, but %v", got)
	}
}
