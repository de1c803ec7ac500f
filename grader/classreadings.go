package grader

import (
	"cmp"
	"math"
	"slices"

	"kilopond/grader/stats"
	"kilopond/scenarios"
)

// A StopsOfClass is one table of decisions over whole tests: a signal is a test in which it was due and could be known.
type StopsOfClass struct {
	What        string      `json:"what"` // signs, ceiling, screening
	Signals     int         `json:"signals"`
	Hits        int         `json:"hits"`
	Rest        int         `json:"rest"`
	FalseStops  int         `json:"false_stops"`
	Sensitivity *float64    `json:"sensitivity"`
	SensCI      *[2]float64 `json:"sensitivity_ci"`
	Specificity *float64    `json:"specificity"`
	SpecCI      *[2]float64 `json:"specificity_ci"`
	DPrime      *float64    `json:"d_prime"` // nil below eight signals
	DPrimeSE    *float64    `json:"d_prime_se"`
	Criterion   *float64    `json:"criterion"` // above 0: slow to stop
}

func stopsOfClass(entries []Entry) []StopsOfClass {
	signs, ceiling, screening := StopsOfClass{What: "signs"}, StopsOfClass{What: "ceiling"}, StopsOfClass{What: "screening"}
	for _, e := range entries {
		s := e.Mark.Stops
		switch {
		case !s.Begun:
		case s.Sign:
			signs.count(true, s.SignMet)
		default:
			signs.count(false, s.False)
		}
		if s.Ceiling {
			ceiling.count(true, s.CeilingMet)
		}
		if e.Mark.RightAct != "" {
			screening.count(s.Barred || e.Mark.RightAct == scenarios.DoNotTest, !s.Begun) // also somebody whose resting pressure stayed high that day
		}
	}
	all := []StopsOfClass{signs, ceiling, screening}
	for i := range all {
		all[i].close()
	}
	return all
}

func (s *StopsOfClass) count(signal, stopped bool) {
	one := 0
	if stopped {
		one = 1
	}
	if signal {
		s.Signals++
		s.Hits += one
		return
	}
	s.Rest++
	s.FalseStops += one
}

func (s *StopsOfClass) close() {
	rate := func(x, n int) (*float64, *[2]float64) {
		if n == 0 {
			return nil, nil
		}
		w := stats.Wilson(x, n)
		return figure(float64(x)/float64(n), 4), &[2]float64{*figure(w[0], 4), *figure(w[1], 4)}
	}
	s.Sensitivity, s.SensCI = rate(s.Hits, s.Signals)
	s.Specificity, s.SpecCI = rate(s.Rest-s.FalseStops, s.Rest)
	if s.Signals >= stats.LeastSignals && s.Rest >= stats.LeastSignals {
		i := stats.Detection{Hits: s.Hits, Signals: s.Signals, FalseStops: s.FalseStops, Rest: s.Rest}.Index()
		s.DPrime, s.DPrimeSE, s.Criterion = figure(i.DPrime, 3), figure(i.SE, 3), figure(i.Criterion, 3)
	}
}

// An Agreeing is the agreement of what the class wrote with what was so.
type Agreeing struct {
	What string `json:"what"` // pulse, systolic, diastolic, estimate
	Unit string `json:"unit"`
	stats.Agreement
	MeanAbs *float64 `json:"mean_abs"`
	RMS     *float64 `json:"rms"`
}

// agreeing compares readings with the truth in their own windows, and estimates with true uptakes. Several pairs of one student are taken as if
// they were of several: bias and limits are right for the class's readings, their intervals somewhat too narrow.
func agreeing(entries []Entry) []Agreeing {
	var pulse, systolic, diastolic, estimate []Pair
	for _, e := range entries {
		pulse = append(pulse, e.Mark.Pulse...)
		systolic = append(systolic, e.Mark.Systolic...)
		diastolic = append(diastolic, e.Mark.Diastolic...)
		if e.Mark.Estimate != nil && e.Mark.True != nil {
			estimate = append(estimate, Pair{*e.Mark.Estimate, *e.Mark.True})
		}
	}
	all := []Agreeing{}
	for _, x := range []struct {
		what, unit string
		pairs      []Pair
	}{{"pulse", "bpm", pulse}, {"systolic", "mmHg", systolic}, {"diastolic", "mmHg", diastolic}, {"estimate", "mL/kg/min", estimate}} {
		if len(x.pairs) == 0 {
			continue
		}
		read, so, d := make([]float64, len(x.pairs)), make([]float64, len(x.pairs)), make([]float64, len(x.pairs))
		for i, p := range x.pairs {
			read[i], so[i], d[i] = p.Read, p.True, p.Read-p.True
		}
		all = append(all, Agreeing{What: x.what, Unit: x.unit, Agreement: stats.Agree(read, so),
			MeanAbs: figure(stats.MeanAbsolute(d), 3), RMS: figure(stats.RootMeanSquare(d), 3)})
	}
	return all
}

// A Distance is how large margins of one kind are in the class, without sign.
type Distance struct {
	Margin        string   `json:"margin"` // a, m
	N             int      `json:"n"`
	Median        *float64 `json:"median_ml_kg_min"`
	P90           *float64 `json:"p90_ml_kg_min"`
	MedianPercent *float64 `json:"median_percent"`
	P90Percent    *float64 `json:"p90_percent"`
	Bias          *float64 `json:"bias_ml_kg_min"` // signed mean
}

func distances(entries []Entry) []Distance {
	one := func(name string, of func(Margins) Margin) Distance {
		var off, percent, signed []float64
		for _, e := range entries {
			if m := of(e.Mark.Margins); m.MlKgMin != nil {
				off, percent, signed = append(off, math.Abs(*m.MlKgMin)), append(percent, math.Abs(*m.Percent)), append(signed, *m.MlKgMin)
			}
		}
		d := Distance{Margin: name, N: len(off)}
		if len(off) > 0 {
			d.Median, d.P90 = figure(stats.Quantile(off, 0.5), 2), figure(stats.Quantile(off, 0.9), 2)
			d.MedianPercent, d.P90Percent = figure(stats.Quantile(percent, 0.5), 1), figure(stats.Quantile(percent, 0.9), 1)
			d.Bias = figure(stats.Mean(signed), 2)
		}
		return d
	}
	return []Distance{one("a", func(m Margins) Margin { return m.A }), one("m", func(m Margins) Margin { return m.M })}
}

// A ToPractise is a short skill that a student should do next, with the rules that say so.
type ToPractise struct {
	Student string   `json:"student"`
	Skill   string   `json:"skill"`
	Percent float64  `json:"percent"` // of the points in reach that the skill stands for
	Lost    float64  `json:"points_lost"`
	Gates   int      `json:"gates_closed"` // by its rules
	Rules   []string `json:"rules"`        // that cost points, the costliest first
}

// needsBelow is the percentage below which a skill is to be done again; a gate that one of its rules closed asks for it whatever the points.
// Source: [CHOICE-CLASS].
const needsBelow = 70

func needs(students []studentScore) []ToPractise {
	all := []ToPractise{}
	for _, s := range students {
		earned, of, gates := map[string]float64{}, map[string]float64{}, map[string]int{}
		for _, m := range s.marks {
			for _, i := range m.Items {
				gates[SkillFor(i.Rule)] += len(i.Closes)
			}
		}
		lost := map[string][]Item{}
		for _, rule := range Rules() {
			points := s.ruleOf[rule.Name]
			if points == 0 {
				continue
			}
			k := SkillFor(rule.Name)
			earned[k], of[k] = earned[k]+s.ruleEarn[rule.Name], of[k]+points
			if missing := points - s.ruleEarn[rule.Name]; missing > 1e-9 {
				lost[k] = append(lost[k], Item{Rule: rule.Name, Points: missing})
			}
		}
		var own []ToPractise
		for k, points := range of {
			percent := 100 * earned[k] / points
			if percent >= needsBelow && gates[k] == 0 {
				continue
			}
			n := ToPractise{Student: s.name, Skill: k, Gates: gates[k], Rules: []string{}, Percent: *figure(percent, 1), Lost: *figure(points-earned[k], 2)}
			slices.SortStableFunc(lost[k], func(a, b Item) int { return cmp.Compare(b.Points, a.Points) })
			for _, i := range lost[k] {
				n.Rules = append(n.Rules, i.Rule)
			}
			own = append(own, n)
		}
		slices.SortFunc(own, func(a, b ToPractise) int {
			return cmp.Or(cmp.Compare(b.Gates, a.Gates), cmp.Compare(b.Lost, a.Lost), cmp.Compare(a.Skill, b.Skill))
		})
		all = append(all, own...)
	}
	return all
}
