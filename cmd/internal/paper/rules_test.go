package paper

import (
	"bytes"
	"strings"
	"testing"

	"kilopond/grader"
)

// The rules of every house that ships stand on the two sides of one leaf, word for word and by name, also where a pack's terms stand above them.
func TestRulesStandOnOneLeaf(t *testing.T) {
	for _, preset := range grader.Presets() {
		for _, size := range Sizes() {
			p := RulesPage{Title: "Week 9", Subject: "rulebook " + preset.Name, Caution: "For teaching.", Note: "No finding rests on another rule."}
			p.Asked = [][2]string{
				{"opens", "Fri 27 Nov 2026 10:07 UTC"}, {"closes", "Fri 4 Dec 2026 23:59 UTC"}, {"after that", "12.5 % off for each day begun"},
				{"attempts", "2 at each place, each further one with another person; the last counts"},
				{"time", "90 minutes for one person; nothing is cut off, going over is named"}, {"first", "show the short skills stop, pulse, cuff, ceiling"},
				{"coach", "may be asked for with --coach"}, {"report", "when the window has closed"}, {"kept", "every command with the time of the computer's clock"},
			}
			book, err := grader.Preset(preset.Name)
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range book.Describe() {
				name, asks := strings.CutPrefix(r.Path, "points.")
				switch {
				case asks:
					p.Rules = append(p.Rules, Rule{r.Meaning, name})
				case !strings.HasPrefix(r.Path, "tolerances.") && !strings.HasPrefix(r.Path, "weights."):
					p.Rules = append(p.Rules, Rule{r.Meaning + ": " + r.Value, r.Path})
				}
			}
			var b bytes.Buffer
			if err := WriteRules(&b, p, size); err != nil {
				t.Fatal(err)
			}
			if n := bytes.Count(b.Bytes(), []byte("/Type /Page\n")); n > 2 {
				t.Errorf("%s on %s: %d pages", preset.Name, size, n)
			}
			text := strings.Join(strings.Fields(words(t, b.Bytes())), " ")
			for i, r := range p.Rules {
				if !strings.Contains(text, strings.Join(strings.Fields(r.Text), " ")) || !strings.Contains(text, r.Name) {
					t.Errorf("%s on %s: rule %d is not there whole: %s", preset.Name, size, i+1, r.Text)
				}
			}
		}
	}
	long := RulesPage{Title: "A long list", Subject: "of rules", Rules: make([]Rule, 600)}
	for i := range long.Rules {
		long.Rules[i] = Rule{strings.Repeat("many words of a long rule ", 4), "a.name.of.it"}
	}
	var b bytes.Buffer
	if err := WriteRules(&b, long, "a4"); err != nil {
		t.Fatal(err)
	}
	if text := words(t, b.Bytes()); strings.Count(text, "a.name.of.it") != 600 || !strings.Contains(text, "600\n") {
		t.Error("a rule of a long list is lost")
	}
}

// Nine in ten partner's cards, and the examiner's checklist, stand on one leaf; whatever is longer says at the head of each page what goes on.
func TestCardsStandOnALeaf(t *testing.T) {
	s := everybody(t)
	for _, size := range Sizes() {
		cards, err := emptyFolio(size, "", "")
		if err != nil {
			t.Fatal(err)
		}
		longer := 0
		for _, one := range s.Sheets {
			before := cards.pdf.PageNo()
			cards.partnerCard(s, one)
			if cards.pdf.PageNo() > before+2 {
				longer++
			}
		}
		t.Logf("%s: %d of %d cards take more than a leaf", size, longer, len(s.Sheets))
		if 10*longer > len(s.Sheets) {
			t.Errorf("%s: %d of %d cards take more than a leaf", size, longer, len(s.Sheets))
		}
		f, err := emptyFolio(size, "", "")
		if err != nil {
			t.Fatal(err)
		}
		if f.checklist(s); f.pdf.PageNo() != 2 {
			t.Errorf("%s: the checklist takes %d pages", size, f.pdf.PageNo())
		}
	}
}
