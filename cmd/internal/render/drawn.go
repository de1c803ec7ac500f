package render

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"kilopond/cmd/internal/picture"
	"kilopond/grader"
)

// lineOf is the picture of the line.
func lineOf(r grader.Report) picture.Extrapolation {
	a := r.Worked
	e := picture.Extrapolation{MaxHR: float64(a.MaxHR), Ceiling: float64(a.Ceiling), Slope: a.Slope, Intercept: a.Intercept}
	if r.Record.WindowLow != nil {
		e.WindowLow, e.WindowHigh = *r.Record.WindowLow, *r.Record.WindowHigh
	}
	chosen := map[int]bool{}
	for _, f := range strings.Fields(r.Student.Points) {
		if n, err := strconv.Atoi(f); err == nil {
			chosen[n] = true
		}
	}
	for _, p := range a.Points {
		s := picture.Stage{Number: p.Stage, WorkRate: float64(p.WorkRate), HR: float64(p.HR), Used: p.Used, Chosen: chosen[p.Stage], Why: p.Why}
		for _, c := range r.Record.Pulses {
			if hr := wentBy(c); c.Stage == p.Stage && !c.CutShort && hr > 0 {
				s.Minutes = append(s.Minutes, hr)
			}
		}
		e.Stages = append(e.Stages, s)
	}
	if a.Estimable && a.Slope > 0 {
		e.Worked = &picture.Reach{WorkRate: float64(a.MaxWorkRate), HR: float64(a.MaxHR)}
	}
	if w := r.Student.MaxWorkRate; w != nil && finite(*w) {
		e.Student = &picture.Reach{WorkRate: *w, HR: float64(a.MaxHR)}
		if m := r.Student.MaxHR; m != nil && finite(*m) {
			e.Student.HR = *m
		}
	}
	return e
}

// finite says whether a number can be drawn at all: a sheet takes what it is given.
func finite(x float64) bool { return !math.IsNaN(x) && math.Abs(x) < 1e6 }

// wentBy is the heart rate that the student went by.
func wentBy(p grader.Pulse) float64 {
	switch {
	case p.Wrote != nil && finite(*p.Wrote):
		return *p.Wrote
	case p.Felt != nil:
		return *p.Felt
	}
	return 0
}

// otherwise is a number as written where that is more than a rounding away from what was felt or heard, else 0.
func otherwise(read, wrote *float64) float64 {
	if wrote == nil || !finite(*wrote) || read != nil && math.Abs(*wrote-*read) < 1 {
		return 0
	}
	return *wrote
}

// courseOf is the picture of the course.
func courseOf(r grader.Report, all []numberedFinding) picture.Course {
	rec := r.Record
	c := picture.Course{FromS: rec.LastAtS, ToS: rec.LastAtS, PedalAtS: -1, EndedAtS: -1, Ceiling: float64(r.Worked.Ceiling)}
	if rec.PedalAtS != nil {
		c.PedalAtS = *rec.PedalAtS
		c.FromS = max(0, c.PedalAtS-60)
	} else {
		c.Ceiling = 0
	}
	if rec.EndedAtS != nil {
		c.EndedAtS = *rec.EndedAtS
	}
	reach := func(at int) { c.FromS = min(c.FromS, at) }
	for _, l := range rec.Loads {
		s := picture.Step{AtS: l.AtS, Kp: l.Resistance, Moving: l.Pedalling}
		if l.NewStage {
			s.NewStage = l.Stage
		}
		c.Steps = append(c.Steps, s)
	}
	for _, p := range rec.Pulses {
		if p.Felt == nil || p.CutShort {
			continue
		}
		c.Pulses = append(c.Pulses, picture.Dot{AtS: p.ToS, HR: *p.Felt, Wrote: otherwise(p.Felt, p.Wrote), Place: Place(p.Stage, 0)})
		reach(p.FromS)
	}
	for _, m := range rec.Monitor {
		c.Monitor = append(c.Monitor, picture.Dot{AtS: m.AtS, HR: m.HR, Place: "the monitor"})
		reach(m.AtS)
	}
	for _, p := range rec.Pressures {
		b := picture.Bar{AtS: p.ToS, Place: Place(p.Stage, 0)}
		if p.Systolic != nil {
			b.Systolic, b.Diastolic = *p.Systolic, *p.Diastolic
		}
		if otherwise(p.Systolic, p.WroteSystolic)+otherwise(p.Diastolic, p.WroteDiastolic) > 0 {
			b.WroteSystolic, b.WroteDiastolic = *p.WroteSystolic, *p.WroteDiastolic
		}
		c.Pressures = append(c.Pressures, b)
		reach(p.FromS)
	}
	for _, x := range rec.Exertions {
		c.Ratings = append(c.Ratings, picture.Rating{AtS: x.AtS, RPE: x.RPE})
	}
	rows := map[grader.Kind]picture.Row{grader.KindSaid: picture.Said, grader.KindShowed: picture.Showed, grader.KindLooked: picture.Looked, grader.KindAnswered: picture.Looked}
	for _, m := range r.Timeline {
		if row, ok := rows[m.Kind]; ok {
			c.Marks = append(c.Marks, picture.Mark{AtS: m.AtS, Row: row, Label: m.Seen})
			if m.Kind == grader.KindSaid || m.Kind == grader.KindShowed {
				reach(m.AtS)
			}
		}
	}
	for _, f := range all {
		if f.Number > 0 && f.Part != grader.Arithmetic {
			c.Marks = append(c.Marks, picture.Mark{AtS: f.AtS, Row: picture.Finding, Label: fmt.Sprint(f.Number)})
			reach(f.AtS)
		}
	}
	for _, s := range rec.Signs {
		c.Signs = append(c.Signs, picture.Span{Words: signWords(s.Sign), FromS: s.FromS, ToS: s.ToS})
	}
	return c
}

// signWords is a sign as it is read.
func signWords(sign string) string {
	switch sign {
	case "breathless_rest":
		return "breathless at rest"
	case "harmless":
		return "harmless thing"
	}
	return strings.ReplaceAll(sign, "_", " ")
}
