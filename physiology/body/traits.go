package body

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"

	"kilopond/physiology/unit"
)

// Traits are what a person is. They are drawn once, in a frozen order.
type Traits struct {
	Sex              unit.Sex
	Age              unit.Age
	Height           unit.Height
	Mass             unit.Mass
	Arm              unit.Girth // of the middle of the upper arm
	FitnessZ, BuildZ float64    // SDs about the norm of age and sex, and of ln BMI
	Active           bool       // 30 min of moderate exercise on three days a week, for three months

	RestHR           unit.HR // seated on a chair, calm
	RestSBP, RestDBP unit.Pressure
	TrueMaxHR        unit.HR // on the cycle

	VO2Rest, VO2Max unit.VO2
	UnloadedCost    unit.VO2 // extra cost of turning the legs at 50 rpm
	O2Cost          float64  // mL/min for each watt
	Threshold       float64  // gas-exchange threshold as a fraction of VO2max
	VO2Tau          float64  // s

	Bend        float64 // of heart rate on work rate: > 0 bends down, < 0 up
	HRTauZ      float64 // SDs of ln time constant
	DriftExtra  float64 // bpm/min
	RecoveryTau float64 // s, the fast part, from the maximum
	Sway        float64 // of beat intervals, as a part of what is usual for age and rate

	SBPJump, SBPSlope float64 // mmHg at the first work; mmHg/W
	SBPOffTau         float64 // s
	DBPChange         float64 // mmHg from rest to maximum

	RPEBias       float64 // ratings above what others give at the same reserve
	RPETilt       float64 // and by how many more for all of the reserve: some feel little until late
	CadenceSD     float64 // rpm, about the metronome
	CadenceOffset float64 // rpm
	OwnCadence    float64 // rpm, when nothing is to be followed
}

// HRTau is the time constant with which heart rate follows work, in s, at a fraction x of VO2 reserve: slower in hard work and in the old.
//
// Source: [HUNT2019], [MURIAS2010], [CHOICE-KINETICS].
func (t *Traits) HRTau(x float64) float64 {
	age := float64(t.Age)
	tau := float64((50 + float64(0.36*(age-45)) + float64(30*max(0, x-0.35)) - float64(5*t.FitnessZ)) * exp(float64(0.25*t.HRTauZ)))
	return min(max(tau, 20), 120)
}

// MaxWorkRate is the work rate at which oxygen uptake would reach its maximum at 50 rpm, leaving the slow component out.
func (t *Traits) MaxWorkRate() unit.WorkRate {
	return unit.WorkRate(max(0, float64(t.VO2Max-t.VO2Rest-t.UnloadedCost)/t.O2Cost)) * unit.Watt
}

// Sustainable is the oxygen uptake that can be kept up, as a fraction of VO2max: halfway from the threshold to the maximum. Work above it is owed for.
//
// Source: [KIM2021] a second threshold at 74 and 88 % after a first at 55 and 67 %; [JONES2010] that such work ends, whatever its course.
func (t *Traits) Sustainable() float64 { return 0.5 + float64(0.5*t.Threshold) }

// debtMost is the largest oxygen debt, in mL: 55 mL for each kg, of what a BMI above 25 adds only for the three tenths that are not fat.
//
// Source: [MEDBO1988]; [CHOICE-DEBT].
func (t *Traits) debtMost() float64 {
	height := float64(t.Height) / 100
	lean := min(float64(t.Mass), float64(25*height)*height)
	return float64(55 * (lean + float64(0.3*(float64(t.Mass)-lean))))
}

// Who bounds the people to be drawn. A nil range leaves the trait to the population.
type Who struct {
	Sexes            []unit.Sex // empty: both
	AgeLow, AgeHigh  int        // years, inclusive
	FitnessZ, BuildZ *[2]float64
	RestHR           *[2]float64
	RestSBP, RestDBP *[2]float64
	Active           *bool
	Volunteer        bool // people who volunteer for a fitness test: leaner, and no high resting pressure
}

// bounded returns a value drawn evenly from the range, or otherwise; it draws once either way.
func bounded(r *rand.Rand, rng *[2]float64, otherwise float64) float64 {
	if rng == nil {
		r.Float64()
		return otherwise
	}
	return uniform(r, rng[0], rng[1])
}

// ln is used at set-up only, and rounded at once.
func ln(x float64) float64 { return grid(math.Log(x)) }

// curve is a + b·x + c·x², every product rounded, so that ties on the grid fall the same way everywhere.
func curve(a, b, c, x float64) float64 { return a + float64(b*x) + float64(c*float64(x*x)) }

// DrawTraits returns a person within the bounds.
//
// Height, BMI, resting rate and pressures follow the regressions on NHANES 2009–2012; VO2max runs through the cycle registries; maximum heart
// rate is 208 − 0.7 age with an SD of 10. Correlations: the fit have a lower resting rate, the heavy a higher one, and
// who has a higher resting rate has higher pressures.
//
// Source: [NHANES2012], [KAMINSKY2017], [RAPP2018], [TANAKA2001], [HANSEN1987], [SWAIN1997], [BIRNBAUMER2020], [GONZALES2023],
// [MURIAS2010], [TESO2025], [SCIREP2021], [HEDMAN2020], [SYDO2018], [SCHERR2013], [FURTADO2009], [CARDIAC2010] pressures by rate, [HEART-HRV],
// [CHOICE-POPULATION].
func DrawTraits(r *rand.Rand, w Who) Traits {
	var t Traits
	sexes := w.Sexes
	if len(sexes) == 0 {
		sexes = []unit.Sex{unit.Male, unit.Female}
	}
	t.Sex = sexes[r.IntN(len(sexes))]
	t.Age = unit.Age(w.AgeLow + r.IntN(w.AgeHigh-w.AgeLow+1))
	age := float64(t.Age)
	d := (age - 45) / 10
	e := age - 25
	female := t.Sex == unit.Female
	by := func(man, woman float64) float64 {
		if female {
			return woman
		}
		return man
	}

	zFit := bounded(r, w.FitnessZ, within(r, 0, 1, -2.6, 2.6))
	zBuild := bounded(r, w.BuildZ, within(r, 0, 1, -2.4, 2.4))
	zRHR := grid(float64(-0.38*zFit) + float64(0.13*zBuild) + float64(0.916*within(r, 0, 1, -2.6, 2.6)))
	zSBP := grid(float64(0.15*zRHR) + float64(0.989*within(r, 0, 1, -2.8, 2.8)))
	zDBP := grid(float64(0.45*zSBP) + float64(0.18*zRHR) + float64(0.861*within(r, 0, 1, -2.8, 2.8)))
	t.FitnessZ, t.BuildZ = zFit, zBuild

	t.Height = unit.Height(within(r, by(curve(176.6, -0.46, -0.25, d), curve(163.1, -0.57, -0.26, d)), by(7.4, 7.1), 140, 205))
	lnBMI := by(curve(3.367, 0.018, -0.0106, d), curve(3.344, 0.0175, -0.0056, d))
	sdBMI := by(0.190, 0.235)
	if w.Volunteer {
		lnBMI += ln(0.94)
		sdBMI = float64(sdBMI * 0.75)
	}
	bmi := grid(exp(grid(lnBMI + float64(sdBMI*zBuild))))
	t.Mass = unit.Mass(grid(bmi * float64(t.Height) * float64(t.Height) / 10000))
	t.Arm = unit.Girth(max(19, grid(by(curve(9.5, 0.83, 0, bmi), curve(6.2, 0.82, 0, bmi))+float64(1.5*normal(r)))))

	hr0 := grid(by(curve(70.2, -0.90, 0, d), curve(74.0, -1.25, 0, d)) * exp(grid(0.155*zRHR)))
	t.RestHR = unit.HR(bounded(r, w.RestHR, min(max(hr0, 42), 108)))
	s := curve(0.105, 0.0006, 0, age-45)
	mu := by(curve(121.5, 2.46, 0.26, d)+float64(5.9*ln(bmi/27)), curve(115.3, 4.58, 0.61, d)+float64(12.8*ln(bmi/27)))
	sbp0 := grid(mu * exp(grid(float64(s*zSBP)-float64(s*s)/2)))
	dbp0 := grid(by(curve(75.4, 0.41, -1.37, d), curve(71.8, 0.91, -1.05, d)) + float64(10.2*zDBP))
	if w.Volunteer {
		sbp0, dbp0 = min(sbp0, 156), min(dbp0, 96)
	}
	t.RestSBP = unit.Pressure(bounded(r, w.RestSBP, sbp0))
	t.RestDBP = unit.Pressure(bounded(r, w.RestDBP, max(dbp0, 38)))
	t.RestDBP = min(t.RestDBP, t.RestSBP-22)

	t.TrueMaxHR = unit.HR(grid(curve(208, -0.7, 0, age) + within(r, 0, 10, -25, 25)))
	t.TrueMaxHR = max(t.TrueMaxHR, t.RestHR+60)

	v50 := by(curve(42.0, -0.28, -0.0024, e), curve(35.0, -0.26, -0.0018, e))
	rel := max(11, grid(v50*exp(grid(float64(-0.62*by(0.190, 0.235)*zBuild)+float64(0.155*zFit)))))
	mass := float64(t.Mass)
	t.VO2Max = unit.VO2(grid(rel * mass))
	t.VO2Rest = unit.VO2(grid(3.5 * mass * within(r, 1, 0.08, 0.80, 1.25)))
	t.UnloadedCost = unit.VO2(grid(mass * within(r, 3.2, 0.6, 1.7, 4.7)))
	t.O2Cost = within(r, 10.3, 0.6, 8.8, 11.8)
	t.Threshold = within(r, curve(0.57, 0.0015, 0, age-40), 0.07, 0.42, 0.80)
	t.VO2Tau = min(max(grid(curve(35, 0.20, 0, e)-float64(5*zFit)+float64(7*normal(r))), 15), 80)

	t.Bend = within(r, curve(0.020, -0.0008, 0, age-45), 0.050, -0.13, 0.13)
	t.HRTauZ = within(r, 0, 1, -2.5, 2.5)
	t.DriftExtra = grid(0.5 * normal(r))
	t.RecoveryTau = min(max(grid((95-float64(22*zFit))*exp(grid(0.2*normal(r)))), 30), 200)

	t.SBPJump = max(0, grid(13+float64(5*normal(r))))
	// Pressure rises by much the same amount to the end of the work that a person can do: who can do more has less for each watt,
	// and the old have more. Source: [HEDMAN2020] slopes 0.41 and 0.52 at peak ratios 0.90 and 1.35 mmHg/W; [WOHLFART2003] the old; the exponent
	// [CHOICE-PRESSURE].
	most := max(40, float64(t.MaxWorkRate().Watts()))
	slope := by(0.305, 0.41) * exp(float64(0.8*ln(by(224, 139)/most))) * curve(1, 0.005, 0, age-45)
	t.SBPSlope = grid(slope * exp(grid(float64(0.20*within(r, 0, 1, -2.5, 2.5))-0.02)))
	t.SBPOffTau = max(100, grid(230+float64(50*normal(r))))
	t.DBPChange = grid(-3 + float64(6*normal(r)))

	t.RPEBias = within(r, 0, 2, -3.6, 3.6)
	t.CadenceSD = uniform(r, 0.4, 1.2)
	t.CadenceOffset = grid(0.5 * normal(r))
	t.OwnCadence = within(r, 60, 6, 45, 80)
	active := distuv.Bernoulli{P: min(max(0.5+float64(0.22*zFit), 0.05), 0.95), Src: r}.Rand() == 1
	if w.Active != nil {
		active = *w.Active
	}
	t.Active = active
	t.RPETilt = within(r, 0, 3.5, -6, 6)
	t.Sway = grid(exp(float64(0.15 * within(r, 0, 1, -2, 2))))
	return t
}

// A Day is everything about a person that differs from day to day.
type Day struct {
	HRShift   float64 // bpm, parallel, at work
	BendShift float64
	Nerves    float64 // bpm of apprehension before the start; fades as work gets hard
	SBPShift  float64 // mmHg
	RPEShift  float64
	Fever     float64 // °C above normal
}

// DrawDay returns a day, with the nerves drawn from the range if one is given.
//
// Source: [SYKES1976], [SCIREP2021], [RESTHR2015], [CHOICE-DAY].
func DrawDay(r *rand.Rand, nerves *[2]float64) Day {
	d := Day{HRShift: grid(3.5 * normal(r)), BendShift: grid(0.02 * normal(r))}
	d.Nerves = bounded(r, nerves, max(-4, grid(4+float64(5*normal(r)))))
	d.SBPShift = grid(5 * normal(r))
	d.RPEShift = grid(0.5 * normal(r))
	return d
}
