package protocol

import (
	"fmt"
	"math"
	"strings"

	"kilopond/physiology/unit"
)

// A Person is what the calculation needs of somebody.
type Person struct {
	Sex    unit.Sex
	Age    unit.Age
	Mass   unit.Mass
	RestHR unit.HR // needed only for a ceiling from reserve
}

// A StagePoint is one stage as it stands on the sheet: the heart rates of its minutes in order.
type StagePoint struct {
	Stage    int
	WorkRate unit.WorkRate
	Minutes  []unit.HR
	Void     string // why the stage cannot be used whatever its heart rates, or ""
	Settled  bool   // the heart rate is known to be steady though only one number stands here
}

// A Point is a stage as the line sees it.
type Point struct {
	Stage    int           `json:"stage"`
	WorkRate unit.WorkRate `json:"work_rate_kgm_min"`
	HR       unit.HR       `json:"hr_bpm"`
	Used     bool          `json:"used"`
	Why      string        `json:"why"`
}

// An Answer is the worked answer: every step of the calculation as it would be done by hand, carried at full precision.
type Answer struct {
	Estimable   bool
	WhyNot      string
	Confidence  string // "two points or more", "single stage, low", or ""
	MaxHR       unit.HR
	Ceiling     unit.HR
	Points      []Point
	Slope       float64 // bpm for each kg·m/min; NaN-free: 0 when there is no line
	Intercept   float64
	MaxWorkRate unit.WorkRate
	VO2Abs      unit.VO2
	VO2Rel      unit.RelVO2
	METs        unit.METs
	Rating      Rating
	Steps       []string
	Warnings    []string
	Sources     []string
}

// OneMET is the resting uptake that counts as one. Source: [FORMSHEET].
const OneMET unit.RelVO2 = 3.5

// Estimate works the whole calculation on a sheet. Anything on it may be wrong: what cannot be estimated says why.
//
// Accuracy in print: about 15 % (one SD) against a measured value. Source: [CSEP2009], [NHANES-CVX], [BUSHMAN2020], [JAMNICK2016].
func Estimate(r Rules, p Person, stages []StagePoint) Answer {
	var a Answer
	maxHR, err := PredictedMaxHR(r.MaxHR, p.Sex, p.Age)
	if err != nil {
		return Answer{WhyNot: err.Error()}
	}
	a.MaxHR = maxHR
	a.Ceiling = Ceiling(r, maxHR, p.RestHR)
	a.step("Predicted maximum heart rate (%s): %s = %s bpm", r.MaxHR, r.MaxHR.written(p.Sex, p.Age), num2(float64(maxHR)))
	switch r.Ceiling.Of {
	case "fixed":
		a.step("Ceiling: fixed at %s bpm", num2(float64(a.Ceiling)))
	case "reserve":
		a.step("Ceiling: %s × (%s − %s) + %s = %s bpm", num2(r.Ceiling.Fraction), num2(float64(maxHR)), num2(float64(p.RestHR)), num2(float64(p.RestHR)), num2(float64(a.Ceiling)))
	default:
		a.step("Ceiling: %s × %s = %s bpm", num2(r.Ceiling.Fraction), num2(float64(maxHR)), num2(float64(a.Ceiling)))
	}
	a.source("CSEP2009", "BUSHMAN2020", "FORMSHEET", maxHRSource(r.MaxHR))
	qualify := a.choose(r, stages)
	used := a.used()
	switch {
	case !(p.Mass > 0):
		a.WhyNot = "body mass is not known"
	case qualify >= max(2, r.StagesNeeded):
		a.extrapolate(r, p, used)
	case len(used) == 1 && r.OnePoint == SingleStageValue:
		a.single(r, p, used[0])
	default:
		a.WhyNot = fmt.Sprintf("%s; the rules ask for %d", countOf(qualify, "usable stage"), max(2, r.StagesNeeded))
	}
	if !a.Estimable {
		a.step("No estimate: %s.", a.WhyNot)
	}
	return a
}

// choose decides which stages enter the line, says why or why not, and returns how many qualify; the line may go through the last two of them.
func (a *Answer) choose(r Rules, stages []StagePoint) (qualify int) {
	high := WindowHigh(r, a.Ceiling)
	for _, s := range stages {
		if len(s.Minutes) == 0 {
			a.Points = append(a.Points, Point{Stage: s.Stage, WorkRate: s.WorkRate, Why: "no heart rate written"})
			continue
		}
		pt := Point{Stage: s.Stage, WorkRate: s.WorkRate, HR: StageHR(r.StageHR, s.Minutes)}
		steady := s.Settled || Steady(r.Steady, r.Count, s.Minutes)
		switch {
		case s.Void != "":
			pt.Why = s.Void
		case !steady && len(s.Minutes) < 2:
			pt.Why = "only one minute: not known to be steady"
		case !steady:
			n := len(s.Minutes)
			pt.Why = fmt.Sprintf("not steady: %s then %s", num1(float64(s.Minutes[n-2])), num1(float64(s.Minutes[n-1])))
		case pt.HR < r.WindowLow:
			pt.Why = fmt.Sprintf("below %s bpm", num1(float64(r.WindowLow)))
		case pt.HR > high:
			pt.Why = fmt.Sprintf("above %s bpm", num2(float64(high)))
		default:
			pt.Used, pt.Why = true, "steady and within the window"
		}
		if n := len(s.Minutes); n >= 2 && r.StageHR == MeanLastTwo {
			a.step("Stage %d, %s kg·m/min: (%s + %s) / 2 = %s bpm; %s", s.Stage, num1(float64(s.WorkRate)), num1(float64(s.Minutes[n-2])), num1(float64(s.Minutes[n-1])), num2(float64(pt.HR)), pt.Why)
		} else {
			a.step("Stage %d, %s kg·m/min: %s bpm; %s", s.Stage, num1(float64(s.WorkRate)), num2(float64(pt.HR)), pt.Why)
		}
		a.Points = append(a.Points, pt)
	}
	used := a.used()
	qualify = len(used)
	if r.Fit == FitTwoLast && qualify >= r.StagesNeeded {
		for i := 0; i < len(used)-2; i++ {
			used[i].Used, used[i].Why = false, "usable, but the line goes through the last two"
		}
	}
	return qualify
}

func (a *Answer) used() []*Point {
	var used []*Point
	for i := range a.Points {
		if a.Points[i].Used {
			used = append(used, &a.Points[i])
		}
	}
	return used
}

// extrapolate draws the line and reads it at the predicted maximum.
func (a *Answer) extrapolate(r Rules, p Person, used []*Point) {
	var work, hr []float64
	for i, pt := range used {
		work, hr = append(work, float64(pt.WorkRate)), append(hr, float64(pt.HR))
		if i > 0 {
			if before := used[i-1]; pt.WorkRate <= before.WorkRate {
				a.WhyNot = fmt.Sprintf("stage %d is not harder than stage %d (%s and %s kg·m/min)", pt.Stage, before.Stage, num1(float64(pt.WorkRate)), num1(float64(before.WorkRate)))
				return
			} else if why := tooFlat(r, *before, *pt); why != "" {
				a.WhyNot = why
				return
			}
		}
	}
	l, err := fitted(r.Fit, work, hr)
	if err != nil || !(l.Slope > 0) {
		a.WhyNot = "the line does not rise"
		return
	}
	a.Slope, a.Intercept = l.Slope, l.Intercept
	n := len(used)
	if n == 2 {
		a.step("Slope: (%s − %s) / (%s − %s) = %s bpm for each kg·m/min", num2(hr[1]), num2(hr[0]), num1(work[1]), num1(work[0]), num4(l.Slope))
	} else {
		a.step("Least squares (%s) through %d points: slope %s bpm for each kg·m/min, at no work %s bpm", r.Fit, n, num4(l.Slope), num2(l.Intercept))
	}
	w := (float64(a.MaxHR) - l.Intercept) / l.Slope
	if n == 2 {
		w = work[1] + (float64(a.MaxHR)-hr[1])/l.Slope
		a.step("Work rate at the predicted maximum: %s + (%s − %s) / %s = %s kg·m/min", num1(work[1]), num2(float64(a.MaxHR)), num2(hr[1]), num4(l.Slope), num1(w))
	} else {
		a.step("Work rate at the predicted maximum: (%s − %s) / %s = %s kg·m/min", num2(float64(a.MaxHR)), num2(l.Intercept), num4(l.Slope), num1(w))
	}
	a.MaxWorkRate = unit.WorkRate(w)
	a.Confidence = "two points or more"
	rel := r.O2Cost.VO2(a.MaxWorkRate, p.Mass).Per(p.Mass)
	a.step("VO2max: %s = %s mL/kg/min", r.O2Cost.written(a.MaxWorkRate, p.Mass), num2(float64(rel)))
	a.finish(r, p, rel)
	if a.MaxWorkRate > CostTo {
		a.warn("the oxygen-cost equation is published for %s–%s kg·m/min; %s lies above it", num(float64(CostFrom)), num(float64(CostTo)), num1(w))
	}
	if n == 2 {
		a.warn("two points only: one beat more or less in either moves the estimate by several per cent")
	}
}

// tooFlat says why the rise between two points is too small for a line, or "".
func tooFlat(r Rules, before, pt Point) string {
	if pt.HR-before.HR > r.SmallestRise {
		return ""
	}
	return fmt.Sprintf("heart rate goes from %s to %s bpm between stages %d and %d; the rise must be more than %s", num2(float64(before.HR)), num2(float64(pt.HR)), before.Stage, pt.Stage, num1(float64(r.SmallestRise)))
}

// single gives the low-confidence value from the only usable stage.
func (a *Answer) single(r Rules, p Person, pt *Point) {
	c := SingleStageConstant(p.Sex)
	at := r.O2Cost.VO2(pt.WorkRate, p.Mass).Per(p.Mass)
	rel := unit.RelVO2(SingleStage(p.Sex, float64(at), pt.HR, a.MaxHR))
	a.step("Only one usable stage: single-stage value, low confidence")
	a.step("VO2 at that stage: %s = %s mL/kg/min", r.O2Cost.written(pt.WorkRate, p.Mass), num2(float64(at)))
	a.step("VO2max: %s × (%s − %s) / (%s − %s) = %s mL/kg/min", num2(float64(at)), num2(float64(a.MaxHR)), num(float64(c)), num2(float64(pt.HR)), num(float64(c)), num2(float64(rel)))
	a.source("SHEPHARD1972")
	a.warn("one usable stage: a single-stage value of low confidence")
	if pt.HR < SingleStageFrom || pt.HR > SingleStageTo {
		a.warn("the single-stage equation is meant for %s–%s bpm; %s lies outside", num(float64(SingleStageFrom)), num(float64(SingleStageTo)), num2(float64(pt.HR)))
	}
	a.Confidence = "single stage, low"
	a.finish(r, p, rel)
}

// finish turns the estimate into the units of the sheet and rates it.
func (a *Answer) finish(r Rules, p Person, rel unit.RelVO2) {
	if f := float64(rel); math.IsNaN(f) || math.IsInf(f, 0) || f <= 0 {
		a.WhyNot = "the numbers give no oxygen uptake"
		return
	}
	a.Estimable = true
	a.VO2Rel, a.VO2Abs, a.METs = rel, rel.Of(p.Mass), unit.METs(rel/OneMET)
	a.step("In litres: %s × %s / 1000 = %s L/min", num2(float64(rel)), num(float64(p.Mass)), num2(a.VO2Abs.LitresPerMin()))
	a.step("METs: %s / 3.5 = %s", num2(float64(rel)), num1(float64(a.METs)))
	a.Rating = Rate(r, p.Sex, p.Age, rel)
	a.step("Rating: %s (%s)", a.Rating.Category, r.NormTable().Described())
	if outside := r.NormTable().OutsideRows(p.Age); outside != "" {
		a.warn("%s", outside)
	}
	a.source(r.NormTable().Source)
	part := float64(rel) * r.ErrorRange / 100
	a.step("Error range ± %s %%: %s–%s mL/kg/min", num(r.ErrorRange), num1(float64(rel)-part), num1(float64(rel)+part))
}

func maxHRSource(eq MaxHREquation) string {
	return map[MaxHREquation]string{
		Fox: "FOX1971", Tanaka: "TANAKA2001", Gellish: "GELLISH2007", Nes: "NES2013", Jones: "JONES1985", Gulati: "GULATI2010", Sydo: "SYDO2014",
	}[eq]
}

func (a *Answer) step(format string, args ...any) {
	a.Steps = append(a.Steps, fmt.Sprintf(format, args...))
}
func (a *Answer) warn(format string, args ...any) {
	a.Warnings = append(a.Warnings, fmt.Sprintf(format, args...))
}
func (a *Answer) source(keys ...string) { a.Sources = append(a.Sources, keys...) }

func countOf(n int, what string) string {
	switch n {
	case 0:
		return "no " + what
	case 1:
		return "one " + what
	}
	return strings.TrimSpace(fmt.Sprintf("%d %ss", n, what))
}
