package main

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"kilopond/exercises"
	"kilopond/grader"
)

// A keyFile is the instructor's own file of an assignment: whose each attempt is, and which subjects were theirs.
type keyFile struct {
	path string
	exercises.Assignment
}

// addKey adds --key.
func addKey(c *cobra.Command) {
	c.Flags().String("key", "", "the instructor's own file, assignment.json: whose each attempt is, what is held back from students, and the cases that packs carry")
}

// mostKeyBytes bounds the instructor's file: a thousand students have about 20 MB.
const mostKeyBytes = 256 << 20

// readKey reads --key, nil when it is not given.
func readKey(c *cobra.Command) (*keyFile, error) {
	path, err := c.Flags().GetString("key")
	must(err)
	if path == "" {
		return nil, nil
	}
	const hint = "assignment.json, which kilopond assign new wrote"
	data, err := readSmall(path, mostKeyBytes)
	if err != nil {
		return nil, &hinted{fmt.Errorf("--key: %w", err), hint}
	}
	k := &keyFile{path: path}
	if k.Assignment, err = exercises.ReadAssignment(data); err != nil {
		return nil, &hinted{fmt.Errorf("--key %s: %w", path, err), hint}
	}
	if _, err = grader.FromJSON(k.Rulebook); err != nil {
		return nil, &hinted{fmt.Errorf("--key %s: %w", path, err), hint}
	}
	return k, nil
}

// A claim is what an attempt of a pack is worth to its student.
type claim struct {
	student  string // the key of the gradebook; the code when no key is known
	name     string
	code     string
	subject  int // 0 outside a pack
	try      int
	unscored bool
	mayCoach bool // the assignment allows the coach
	receipt  exercises.Receipt
	lateDays int
	off      float64 // percentage points for that
	refused  bool    // late, and the assignment takes none
}

// place finds whose an attempt is and whether it is what was given out. It reports whether it may be graded.
func (m *marker) place(out *marked, a *exercises.Attempt) bool {
	p := a.Header.Pack
	if p == nil {
		if m.key != nil {
			out.say("nobody", 0, "practice: an attempt of no pack, so it belongs to no student of this assignment")
			return false
		}
		return true
	}
	out.claim = claim{student: p.Code, code: p.Code, subject: p.Subject, try: p.Try, receipt: exercises.ReceiptOf(a.Last())}
	if m.key == nil {
		if a.Header.HeldBack(m.at) {
			out.say("held-back", 0, "its report is held back from its student: grade it with --key assignment.json")
			return false
		}
		return true
	}
	if p.Assignment != m.key.Terms.Assignment {
		out.say("other-pack", 0, "of another assignment")
		return false
	}
	s, ok := m.key.ByCode(p.Code)
	if !ok {
		out.say("nobody", 0, "code %s is nobody's in this assignment", p.Code)
		return false
	}
	if other, ok := m.key.ByKey(out.owner); ok && other.Key != s.Key {
		out.say("two-names", 0, "it came in from %s, and was made with the code and the pack of %s, whose it is here; ask both", other.Key, s.Key)
	}
	out.student, out.name = s.Key, s.Name
	if s.Pack != p.Hash {
		out.say("other-pack", 0, "made with another pack than the one that was given to %s", p.Code)
		return false
	}
	subject, drawn, ok := s.Place(p.Subject, p.Try)
	if !ok || drawn.Case != a.Header.Case || drawn.Seed != a.Header.Seed {
		out.say("other-pack", 0, "subject %d, try %d of this pack is somebody else", p.Subject, p.Try)
		return false
	}
	if !m.key.HasCase(a.Header.Case, a.Header.CaseHash) {
		out.say("other-pack", 0, "made with another file of case %s than the one that was assigned", a.Header.Case)
		return false
	}
	out.unscored, out.mayCoach = !subject.Scored, m.key.Coach
	if limit := s.Limit(m.key.Terms); limit > 0 && a.LastAt().Sub(p.BegunAt) > limit {
		out.say("over-time", 0, "took %d minutes of %d by the student's own clock", int(a.LastAt().Sub(p.BegunAt).Minutes()), int(limit.Minutes()))
	}
	if opened := later(m.key.From, m.key.MadeAt); p.BegunAt.Before(opened.Add(-clockSlack)) {
		out.say("early", 0, "begun %s by the student's own clock, before there was a pack to work at (%s): that clock was not right", exercises.Clock(p.BegunAt), exercises.Clock(opened))
	}
	if days := s.Own(m.key.Terms).DaysLate(a.LastAt()); days > 0 {
		out.lateDays = days
		what := "it counts in full"
		switch m.key.Late {
		case exercises.LateRefuse:
			out.refused = true
			what = "not counted, as the assignment says"
		case exercises.LateDeduct:
			out.off = float64(days) * m.key.LatePercent
			what = fmt.Sprintf("%.4g percentage points come off", out.off)
		}
		out.say("late", 0, "handed in %s, day %d after the window, by the student's own clock: %s", exercises.Clock(a.LastAt()), days, what)
	}
	return true
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// lastTries says which attempts are the last try at their subject: only these count.
func lastTries(files []marked) []bool {
	type place struct {
		code    string
		subject int
	}
	last := map[place]int{}
	for _, f := range files {
		if f.graded && f.mark.Closed && f.subject > 0 {
			p := place{f.code, f.subject}
			last[p] = max(last[p], f.try)
		}
	}
	is := make([]bool, len(files))
	for i, f := range files {
		is[i] = f.subject == 0 || f.try == last[place{f.code, f.subject}]
	}
	return is
}
