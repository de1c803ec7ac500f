package grader

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"kilopond/physiology/protocol"
)

// The first choice of every question is the rulebook that ships; every other one changes it, and works alone.
func TestRulebookQuestions(t *testing.T) {
	text, err := RulebookFile("ours", nil)
	if err != nil {
		t.Fatal(err)
	}
	plain, err := DecodeRulebook("ours.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	want := Default()
	want.Name = "ours"
	if !reflect.DeepEqual(plain, want) {
		t.Errorf("the first choices change %v", Diff(want, plain))
	}
	questions := RulebookQuestions()
	if len(questions) != 14 {
		t.Errorf("%d questions: fourteen are promised", len(questions))
	}
	for _, q := range questions {
		if len(q.Choices) < 2 {
			t.Errorf("%s: nothing to choose", q.Key)
		}
		for i, c := range q.Choices {
			if c.Says == "" || len(c.Sources) == 0 {
				t.Errorf("%s %s: it says nothing, or not where it was met", q.Key, c.Word)
			}
			text, err := RulebookFile("ours", map[string]string{q.Key: c.Word})
			if err != nil {
				t.Errorf("%s %s: %v", q.Key, c.Word, err)
				continue
			}
			b, err := DecodeRulebook("ours.yaml", []byte(text))
			if err != nil {
				t.Errorf("%s %s: %v", q.Key, c.Word, err)
				continue
			}
			if changed := len(Diff(want, b)) > 0; changed == (i == 0) {
				t.Errorf("%s %s: changed %v", q.Key, c.Word, Diff(want, b))
			}
		}
	}
	// What cannot go together is said with numbers.
	_, err = RulebookFile("ours", map[string]string{"count": "10", "steady": "le5"})
	if err == nil || !strings.Contains(err.Error(), "of perfectly steady subjects would be called unsteady") {
		t.Errorf("10-s counts with a rule of 5 bpm: %v", err)
	}
	if _, err := RulebookFile("ours", map[string]string{"steady": "le7"}); err == nil || !strings.Contains(err.Error(), `steady "le7"`) {
		t.Errorf("le7: %v", err)
	}
}

// All answers at once, each the last of its question, are in the file as they were given.
func TestRulebookOfAllAnswers(t *testing.T) {
	answers := map[string]string{}
	for _, q := range RulebookQuestions() {
		answers[q.Key] = q.Choices[len(q.Choices)-1].Word
	}
	text, err := RulebookFile("ours", answers)
	if err != nil {
		t.Fatal(err)
	}
	b, err := DecodeRulebook("ours.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Bands) != 3 || b.WarmUpS != 0 || b.Count.Seconds != 30 || b.Count.First() != 2 || b.Steady != protocol.WithinOneBeat ||
		b.MaxExtensions != 1 || b.WindowLow != 120 || b.Ceiling.Of != "reserve" || b.Ceiling.Fraction != 0.7 || b.Screening.PostponeSBP != 144 ||
		b.Screening.PostponeDBP != 94 || b.Norms != "norway-treadmill" || b.Name != "ours" {
		t.Errorf("%+v", b.Rules)
	}
	keys := []string{}
	for _, q := range RulebookQuestions() {
		if slices.Contains(keys, q.Key) {
			t.Errorf("%s is asked twice", q.Key)
		}
		keys = append(keys, q.Key)
	}
}

// The texts contradict each other, and both readings can be had: 100 and 105 agree by one and not by the other; 130 and 136 by a third.
func TestBothReadingsOfSteady(t *testing.T) {
	for _, c := range []struct {
		word           string
		five, six, not bool
	}{{"le5", true, false, false}, {"lt5", false, false, false}, {"le6", true, true, false}} {
		text, err := RulebookFile("ours", map[string]string{"steady": c.word, "count": "30"})
		if err != nil {
			t.Fatal(err)
		}
		b, err := DecodeRulebook("ours.yaml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		if steadyPair(b, 100, 105) != c.five || steadyPair(b, 130, 136) != c.six || steadyPair(b, 130, 137) != c.not {
			t.Errorf("%s: 5 apart %v, 6 apart %v, 7 apart %v", c.word, steadyPair(b, 100, 105), steadyPair(b, 130, 136), steadyPair(b, 130, 137))
		}
	}
}
