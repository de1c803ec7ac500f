package scenarios

import (
	"fmt"
	"math"
	"slices"
)

// A Stratum is what a case asks of the proctor in the end: what a class is balanced by.
type Stratum string

const (
	Uneventful Stratum = "uneventful" // nothing to notice: the test runs to its end
	LookAlike  Stratum = "look_alike" // something to notice or to put right, and the test goes on
	NotTested  Stratum = "not_tested" // must not begin today
	MustStop   Stratum = "must_stop"  // must be ended under way
)

// Strata lists them.
func Strata() []Stratum { return []Stratum{Uneventful, LookAlike, NotTested, MustStop} }

// Stratum returns where the case belongs. A case of difficulty 1 that runs to its end holds nothing to notice. Source: [CHOICE-STRATA].
func (c Case) Stratum() Stratum {
	switch {
	case c.RightAct == DoNotTest:
		return NotTested
	case c.RightAct == EndTest || c.RightAct == StopAtOnce:
		return MustStop
	case c.RightAct == RunToEnd && c.Difficulty == 1:
		return Uneventful
	}
	return LookAlike
}

// A CaseMix says how often something is the matter in a series of subjects.
type CaseMix string

const (
	Natural  CaseMix = "natural"  // about 90 % uneventful
	Teaching CaseMix = "teaching" // 40 % with something to notice: half must be stopped or not begun, half look like it and must not
	Graded   CaseMix = "graded"   // a pack of ten: two scored must-stops, none to two unscored ones, two look-alikes, the rest uneventful
)

// CaseMixes lists them.
func CaseMixes() []CaseMix { return []CaseMix{Natural, Teaching, Graded} }

// gradedSize is a graded pack. Source: [CHOICE-CASEMIX], eight to ten subjects for a decision.
const gradedSize = 10

// Size is how many subjects a series of the mix has when nobody says.
func (m CaseMix) Size() int {
	if m == Natural {
		return 20
	}
	return gradedSize
}

// Most subjects in one series. Source: [CHOICE-CASEMIX].
const mostSubjects = 40

// A Slot is one place in a series of subjects.
type Slot struct {
	Stratum Stratum
	Scored  bool // false: a must-stop that is there so that nobody can count them
}

// Unscored is the largest number of unscored must-stops in a series.
func (m CaseMix) Unscored() int {
	if m == Graded {
		return 2
	}
	return 0
}

// Slots returns the places of a series of n subjects with so many unscored must-stops, in the order of the strata; the caller shuffles. Of the
// people who must be stopped, every second must not even begin, so that both are asked of everybody.
//
// Source: [CHOICE-CASEMIX].
func (m CaseMix) Slots(n, unscored int) ([]Slot, error) {
	switch {
	case !slices.Contains(CaseMixes(), m):
		return nil, fmt.Errorf("mix %q: one of %s", m, words(CaseMixes()))
	case n < 1 || n > mostSubjects:
		return nil, fmt.Errorf("%d subjects: 1 to %d", n, mostSubjects)
	case m == Graded && n != gradedSize:
		return nil, fmt.Errorf("%d subjects: a graded pack has %d", n, gradedSize)
	case unscored < 0 || unscored > m.Unscored():
		return nil, fmt.Errorf("%d unscored must-stops: 0 to %d", unscored, m.Unscored())
	}
	share := 0.4 // Source: [CHOICE-CASEMIX].
	if m == Natural {
		share = 0.1
	}
	notable := int(math.Round(float64(float64(n) * share)))
	stops := notable / 2
	var all []Slot
	for i := range stops {
		all = append(all, Slot{[]Stratum{MustStop, NotTested}[i%2], true})
	}
	for i := range unscored {
		all = append(all, Slot{[]Stratum{NotTested, MustStop}[i%2], false})
	}
	for range notable - stops {
		all = append(all, Slot{LookAlike, true})
	}
	for len(all) < n {
		all = append(all, Slot{Uneventful, true})
	}
	return all, nil
}
