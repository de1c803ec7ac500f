package grader

import (
	"fmt"
	"slices"
	"sort"

	"kilopond/exercises"
	"kilopond/grader/stats"
	"kilopond/physiology/body"
	"kilopond/physiology/protocol"
	"kilopond/scenarios"
)

// A CaseStudy is what comes out when the reference proctor works with many people of a case.
type CaseStudy struct {
	Case      string             `json:"case"`
	RightAct  scenarios.RightAct `json:"right_act"`
	People    int                `json:"people"`
	Acts      []Tally            `json:"acts"` // what the proctor did with them
	Bands     []Tally            `json:"bands"`
	Stages    []Tally            `json:"stages"`
	Extended  []Tally            `json:"extended"` // by how many minutes beyond those planned
	Ends      []Tally            `json:"ends"`
	Estimable []Decade           `json:"estimable"`
	Signs     []SignStudy        `json:"signs"`
	Charged   []string           `json:"charged"` // seed and rule of each point that the reference proctor itself lost
	Doubts    []string           `json:"doubts"`  // contradictions between what the case says and what comes out
}

// A Tally is how many people something was so of.
type Tally struct {
	What   string `json:"what"`
	People int    `json:"people"`
}

// A Decade is how many of the tested of a decade of age can be estimated.
type Decade struct {
	FromY     int `json:"from_age_y"`
	Tested    int `json:"tested"`
	Estimable int `json:"estimable"`
}

// A SignStudy is in how many people a sign was present, and in how many of them it showed first in each channel.
type SignStudy struct {
	Sign    body.Sign `json:"sign"`
	People  int       `json:"people"`
	Said    int       `json:"first_unasked"`
	Seen    int       `json:"first_seen"`
	Found   int       `json:"first_found"`
	MedianS *int      `json:"median_s"` // after pedalling began; null before it
}

// StudyCase plays the case on as many seeds from the first. An error is a fault of the proctor.
func StudyCase(b Rulebook, c scenarios.Case, first scenarios.Seed, people int) (CaseStudy, error) {
	s := caseTally{acts: map[string]int{}, bands: map[string]int{}, stages: map[string]int{}, extended: map[string]int{}, ends: map[string]int{},
		decades: map[int]*Decade{}, signs: map[body.Sign]*SignStudy{}, onsets: map[body.Sign][]int{}}
	for i := range scenarios.Seed(people) {
		played, err := Play(b, c.Draw(first+i))
		if err != nil {
			return CaseStudy{}, err
		}
		course := ReadState(b, played.Session.State())
		s.take(b, course, Grade(b, course))
	}
	return s.study(c, people), nil
}

// caseTally counts while the people come and go.
type caseTally struct {
	acts, bands, stages, extended, ends map[string]int
	decades                             map[int]*Decade
	signs                               map[body.Sign]*SignStudy
	onsets                              map[body.Sign][]int
	lost                                []string // what the reference proctor itself was charged with
}

func (s *caseTally) take(b Rulebook, c *Course, r Report) {
	s.acts[string(ActTaken(b, c))]++
	for _, f := range r.Findings {
		if f.ChargedTo == "" {
			s.lost = append(s.lost, fmt.Sprintf("seed %d: %s", c.Header.Seed, f.Rule))
		}
	}
	s.present(c)
	if !begun(c) {
		return
	}
	s.stages[fmt.Sprint(len(c.Stages))]++
	minutes := 0
	for _, run := range c.Stages {
		minutes += len(run.Extensions)
	}
	s.extended[fmt.Sprint(minutes)]++
	if hr, ok := branchHR(b, c); ok {
		band, _ := protocol.Branch(b.Rules, hr)
		s.bands[fmt.Sprint(band+1)]++
	}
	why := endReason(b, c, workUntil(c))
	if n := len(qualifying(b, c)); why == "" || why == nearTheCeiling && n >= b.StagesNeeded {
		why = fmt.Sprintf("%d stages qualify", n)
	}
	s.ends[why]++
	from := max(scenarios.YoungestY, c.Closing.Truth.AgeY/10*10)
	if s.decades[from] == nil {
		s.decades[from] = &Decade{FromY: from}
	}
	s.decades[from].Tested++
	if r.Worked.Estimable {
		s.decades[from].Estimable++
	}
}

// present notes the signs of one person and how each showed first.
func (s *caseTally) present(c *Course) {
	first := map[body.Sign]exercises.SignSpan{}
	for _, span := range c.Closing.Signs {
		sign := body.Sign(span.Sign)
		if was, ok := first[sign]; !ok || span.FromS < was.FromS || span.FromS == was.FromS && span.Channel == string(body.Unasked) {
			first[sign] = span
		}
	}
	for sign, span := range first {
		if s.signs[sign] == nil {
			s.signs[sign] = &SignStudy{Sign: sign}
		}
		of := s.signs[sign]
		of.People++
		switch body.Channel(span.Channel) {
		case body.Unasked:
			of.Said++
		case body.Seen:
			of.Seen++
		case body.Found:
			of.Found++
		}
		if begun(c) && span.FromS >= c.PedalAtS {
			s.onsets[sign] = append(s.onsets[sign], span.FromS-c.PedalAtS)
		}
	}
}

func (s *caseTally) study(c scenarios.Case, people int) CaseStudy {
	study := CaseStudy{
		Case: c.ID, RightAct: c.RightAct, People: people,
		Acts: tallies(s.acts), Bands: tallies(s.bands), Stages: tallies(s.stages), Extended: tallies(s.extended), Ends: tallies(s.ends),
		Estimable: []Decade{}, Signs: []SignStudy{}, Charged: append([]string{}, s.lost...), Doubts: s.doubts(c, people),
	}
	for _, d := range s.decades {
		study.Estimable = append(study.Estimable, *d)
	}
	sort.Slice(study.Estimable, func(i, j int) bool { return study.Estimable[i].FromY < study.Estimable[j].FromY })
	for _, sign := range body.Signs() {
		of := s.signs[sign]
		if of == nil {
			continue
		}
		if at := s.onsets[sign]; len(at) > 0 {
			slices.Sort(at)
			of.MedianS = &at[len(at)/2]
		}
		study.Signs = append(study.Signs, *of)
	}
	return study
}

// enough is the share of people in whom a case must show what it is there for. Source: [CHOICE-CASES].
const enough = 0.9

// unfair is the share of people in whom a proctor who does all that is right may lose a point by chance; beyond it the case is doubted.
// Source: [CHOICE-CASES].
const unfair = 0.01

// doubts are what the case says against what came out.
func (s *caseTally) doubts(c scenarios.Case, people int) []string {
	doubts := []string{}
	right := s.acts[string(c.RightAct)]
	switch c.RightAct {
	case scenarios.EndTest: // what was to end in good order may come to a sign that ends it at once
		right += s.acts[string(scenarios.StopAtOnce)]
	case scenarios.RunToEnd: // a doubtful reading may be taken again on the way
		right += s.acts[string(scenarios.VerifyThenGo)]
	}
	share := float64(right) / float64(people)
	switch {
	case right == 0:
		doubts = append(doubts, fmt.Sprintf("the right act is said to be %s, and the proctor never did it", c.RightAct))
	case stats.Wilson(right, people)[1] < enough: // not by chance
		doubts = append(doubts, fmt.Sprintf("the right act is said to be %s; the proctor did it with %d of %d people (%.0f %%)", c.RightAct, right, people, 100*share))
	}
	if n := len(s.lost); stats.Wilson(min(n, people), people)[0] > unfair {
		doubts = append(doubts, fmt.Sprintf("the reference proctor itself was charged %d times, first with %s: the case may ask for what cannot be done", n, s.lost[0]))
	}
	return doubts
}

// tallies are the counts, most people first.
func tallies(m map[string]int) []Tally {
	all := []Tally{}
	for what, n := range m {
		all = append(all, Tally{what, n})
	}
	sort.Slice(all, func(i, j int) bool {
		if all[i].People != all[j].People {
			return all[i].People > all[j].People
		}
		return all[i].What < all[j].What
	})
	return all
}

// ActTaken is what was done with the person, in the words of a case.
func ActTaken(b Rulebook, c *Course) scenarios.RightAct {
	if !begun(c) {
		return scenarios.DoNotTest
	}
	until := workUntil(c)
	if _, ok := noticed(b, c, isEmergency, c.PedalAtS, until); ok && c.EndedHow == exercises.Stop {
		return scenarios.StopAtOnce
	}
	if why := endReason(b, c, until); why != "" && why != theCeiling && why != nearTheCeiling {
		return scenarios.EndTest
	}
	if _, high := firstHigh(b, c); high {
		return scenarios.VerifyThenGo // at rest
	}
	for _, s := range c.Stages {
		repeats := 0
		for _, k := range cuffsIn(c, s.FromS, s.ToS) {
			if !k.CutShort {
				repeats++
			}
		}
		if repeats > 1 {
			return scenarios.VerifyThenGo
		}
		for _, k := range c.Counts {
			if k.FromS >= s.FromS && k.ToS <= s.ToS && k.Seconds > b.Count.Seconds {
				return scenarios.VerifyThenGo
			}
		}
	}
	return scenarios.RunToEnd
}
