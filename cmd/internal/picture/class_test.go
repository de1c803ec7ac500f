package picture

import (
	"fmt"
	"strings"
	"testing"
)

// circles counts the rings that were drawn: each is filled white and stroked, one that the key shows among them.
func circles(n *notebook) int {
	count := 0
	for _, f := range n.filled {
		for _, m := range f {
			if m.Op == 'C' {
				count++
				break
			}
		}
	}
	return count
}

// Peak flow by two meters in 17 people, first readings. Source: [BLAND1986], whose bias is −2.1 and whose limits by 1.96 SD are −78.1 and 73.9.
func TestAgreementPicture(t *testing.T) {
	large := []float64{494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427}
	mini := []float64{512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451}
	low, high := -78.097, 73.862
	a := Agreement{What: "peak flow", Unit: "L/min", Bias: -2.118, LimitLow: &low, High: &high}
	for i := range large {
		a.Pairs = append(a.Pairs, Reading{large[i], mini[i]})
	}
	n := drawn(t, a)
	if got := circles(n); got != 17 {
		t.Errorf("%d rings, want one for each of 17 people", got)
	}
	for _, want := range []string{"bias −2.12", "limits of agreement −78.1 and 73.86"} {
		if _, ok := n.says(want); !ok {
			t.Errorf("the picture does not say %q", want)
		}
	}
	minus := false
	for _, w := range n.words {
		minus = minus || strings.HasPrefix(w.s, "−")
		if strings.HasPrefix(w.s, "-") {
			t.Errorf("%q has a hyphen for a minus", w.s)
		}
	}
	if !minus {
		t.Error("no number below 0 stands at the axis")
	}
	for _, want := range []string{"17 pairs", "Bias −2.12", "−78.1 to 73.86"} {
		if !strings.Contains(a.Text(), want) {
			t.Errorf("%q: nothing of %q", a.Text(), want)
		}
	}
	one := Agreement{What: "x", Unit: "bpm", Pairs: a.Pairs[:1], Bias: -18}
	if n := drawn(t, one); circles(n) != 1 || strings.Contains(one.Text(), "19 of 20") {
		t.Errorf("one pair has no limits: %s", one.Text())
	}
	many := Agreement{What: "x", Unit: "bpm"}
	for i := range 5000 {
		many.Pairs = append(many.Pairs, Reading{float64(100 + i%60), 120})
	}
	if n := drawn(t, many); circles(n) > mostDots || circles(n) < mostDots/2 || !strings.Contains(many.Text(), "one in 3 drawn") {
		t.Errorf("%d rings; %s", circles(n), many.Text())
	}
}

func TestMarginsPicture(t *testing.T) {
	m := Margins{Which: "M", Students: []StudentMargins{{"anna", []float64{-1, 3}}, {"bo", nil}, {"carl", []float64{14.9}}}}
	n := drawn(t, m)
	if got := circles(n); got != 3+1 { // and that of the key
		t.Errorf("%d rings", got)
	}
	anna, ok1 := n.says("anna")
	carl, ok2 := n.says("carl")
	if !ok1 || !ok2 || anna.y >= carl.y {
		t.Error("the first student does not stand at the top")
	}
	for _, want := range []string{"anna: 2, from −1 to 3, mean 1.", "bo: none can be estimated."} {
		if !strings.Contains(m.Text(), want) {
			t.Errorf("%q: nothing of %q", m.Text(), want)
		}
	}
	drawn(t, Margins{Which: "M"})
	var class Margins
	for s := range 300 {
		class.Students = append(class.Students, StudentMargins{fmt.Sprintf("student-%03d", s), []float64{float64(s%7) - 3}})
	}
	drawn(t, class)
}

func TestDecisionsPicture(t *testing.T) {
	d := Decisions{Rules: []RuleCredit{{"ceiling", 1, 40}, {"branch-column", 0.62, 40}, {"pulse-timing", 0.35, 38}}}
	n := drawn(t, d)
	first, ok1 := n.says("pulse-timing")
	second, ok2 := n.says("branch-column")
	if !ok1 || !ok2 || first.y >= second.y {
		t.Error("the costliest does not stand at the top")
	}
	if _, ok := n.says("ceiling"); ok {
		t.Error("a rule that everybody kept is drawn")
	}
	if _, ok := n.says("35 (n 38)"); !ok {
		t.Error("a bar does not say its number")
	}
	if !strings.Contains(d.Text(), "pulse-timing: 35 % of the credit, 38 students.") || !strings.Contains(d.Text(), "1 other rules") {
		t.Error(d.Text())
	}
	drawn(t, Decisions{})
	var all Decisions
	for i := range 60 {
		all.Rules = append(all.Rules, RuleCredit{fmt.Sprintf("rule-%d", i), float64(i) / 60, 10})
	}
	if got := len(all.shown()); got != mostDecisions {
		t.Errorf("%d rules shown", got)
	}
	drawn(t, all)
}

func TestCloudPicture(t *testing.T) {
	c := Cloud{Stages: []Reach{{150, 90}, {150, 90}, {150, 100}, {450, 122}, {450, 130}, {1350, 160}}}
	n := drawn(t, c)
	if got := circles(n); got != 6+1 {
		t.Errorf("%d rings, want six and that of the key", got)
	}
	if !strings.Contains(c.Text(), "Middle heart rate at 150 kg·m/min: 90 bpm.") || !strings.Contains(c.Text(), "at 450 kg·m/min: 126 bpm.") {
		t.Error(c.Text())
	}
	drawn(t, Cloud{})
}
