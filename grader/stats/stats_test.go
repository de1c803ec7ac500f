package stats

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.5f, want %.5f ± %g", what, got, want, within)
	}
}

// Peak flow in L/min of 17 people, first reading by each of two meters. Bland JM, Altman DG, Lancet 1986;i:307–310; the data as they stand in
// several open test suites, bias's interval −22.05 to 17.81 as printed there; limits with 2 SD −79.7 to 75.5 as printed in the paper (from
// memory), which tests bias and SD again.
var (
	large = []float64{494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427}
	mini  = []float64{512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451}
)

func TestAgreementOfBlandAndAltman(t *testing.T) {
	a := Agree(large, mini)
	near(t, "bias", a.Bias, -2.118, 0.0005)
	near(t, "SD", *a.SD, 38.765, 0.0005)
	near(t, "lower limit", *a.LoALow, -78.097, 0.001)
	near(t, "upper limit", *a.LoAHigh, 73.862, 0.001)
	near(t, "lower limit with 2 SD", a.Bias-2**a.SD, -79.65, 0.01)
	near(t, "bias from", a.BiasCI[0], -22.05, 0.005)
	near(t, "bias to", a.BiasCI[1], 17.81, 0.005)
	near(t, "r", *a.R, 0.9433, 0.00005)
	near(t, "typical error", *a.TypicalError, 38.765/math.Sqrt2, 0.001)
	near(t, "half the interval of a limit", (a.LoALowCI[1]-a.LoALowCI[0])/2, math.Sqrt(3)*19.93, 0.02) // 19.93 is half of −22.05 … 17.81
	// Printed in the paper (from memory) about the limits with 2 SD: −114.3 to −45.1 and 40.9 to 110.1.
	half := (a.LoALowCI[1] - a.LoALowCI[0]) / 2
	near(t, "lower limit from", a.Bias-2**a.SD-half, -114.3, 0.15)
	near(t, "upper limit to", a.Bias+2**a.SD+half, 110.1, 0.2)
	var d []float64
	for i := range large {
		d = append(d, large[i]-mini[i])
	}
	near(t, "mean absolute", MeanAbsolute(d), 28.941, 0.0005)
	near(t, "root mean square", RootMeanSquare(d), 37.667, 0.0005)
}

func TestAgreementThatIsNotDefined(t *testing.T) {
	if a := Agree([]float64{3}, []float64{1}); a.Bias != 2 || a.SD != nil || a.BiasCI != nil || a.R != nil || a.ICC21 != nil {
		t.Errorf("one pair: %+v", a)
	}
	a := Agree([]float64{0.1, 0.1, 0.1}, []float64{0.3, 0.3, 0.3})
	if a.R != nil || *a.SD > 1e-12 {
		t.Errorf("equal pairs: %+v", a)
	}
}

// Shrout PE, Fleiss JL, Psychol Bull 1979;86:420–428: six targets, four judges. Printed: ICC(1,1) .17, (2,1) .29, (3,1) .71, (1,4) .44, (2,4) .62,
// (3,4) .91 (from memory, with the data). The first and fourth, which no report uses, are worked from the mean squares.
func TestVarianceOfShroutAndFleiss(t *testing.T) {
	v, ok := TwoWay([][]float64{{9, 2, 5, 8}, {6, 1, 3, 2}, {8, 4, 6, 8}, {7, 1, 2, 6}, {10, 5, 6, 9}, {6, 2, 4, 7}})
	if !ok {
		t.Fatal("no table")
	}
	near(t, "targets", v.Targets, 11.24, 0.005)
	near(t, "judges", v.Judges, 32.49, 0.005)
	near(t, "error", v.Error, 1.02, 0.005)
	near(t, "within", v.Within, 6.26, 0.005)
	for _, c := range []struct {
		name string
		of   func() (float64, bool)
		want float64
	}{{"1,1", oneWay(v, 4, 1), 0.166}, {"1,4", oneWay(v, 4, 4), 0.443}, {"2,1", v.ICC21, 0.290}, {"3,1", v.ICC31, 0.715}, {"relative", v.Relative, 0.909}, {"absolute", v.Absolute, 0.620}} {
		got, ok := c.of()
		if !ok {
			t.Errorf("%s: not defined", c.name)
		}
		near(t, c.name, got, c.want, 0.0005)
	}
}

// oneWay is ICC(1,1) or ICC(1,k): each target judged by other judges.
func oneWay(v Variance, judges, of float64) func() (float64, bool) {
	return func() (float64, bool) {
		return (v.Targets - v.Within) / (v.Targets + (judges/of-1)*v.Within), true
	}
}

// Ten students, ten items: a worked KR-20 on a university's teaching page (K. Wuensch), 0.6963 with divisor n throughout.
func TestAlphaOfTenStudents(t *testing.T) {
	var rows [][]float64
	for _, s := range strings.Fields("1111110110 1011011101 1111011001 0010001000 0000010010 1110111111 1101110111 1111111101 0101111101 1101101110") {
		var r []float64
		for _, c := range s {
			r = append(r, float64(c-'0'))
		}
		rows = append(rows, r)
	}
	v, ok := TwoWay(rows)
	if !ok {
		t.Fatal("no table")
	}
	alpha, ok := v.Relative()
	if !ok {
		t.Fatal("not defined")
	}
	near(t, "KR-20", alpha, 0.6963, 0.00005)
	totals := make([]float64, 10)
	for i, r := range rows {
		for _, x := range r {
			totals[i] += x
		}
	}
	near(t, "error of a score", ErrorOfScore(math.Sqrt(squares(totals)/10), alpha), 1.332, 0.0005)
	item := func(j int) []float64 {
		var c []float64
		for _, r := range rows {
			c = append(c, r[j])
		}
		return c
	}
	for _, c := range []struct {
		j              int
		raw, corrected float64
	}{{2, 0.2027, 0}, {8, 0.0828, -0.1236}} {
		raw, _ := Correlation(item(c.j), totals)
		rest := slices.Clone(totals)
		for i, x := range item(c.j) {
			rest[i] -= x
		}
		corrected, _ := Correlation(item(c.j), rest)
		near(t, "uncorrected", raw, c.raw, 0.00005)
		near(t, "corrected", corrected, c.corrected, 0.00005)
	}
}

func TestDetection(t *testing.T) {
	// Stanislaw H, Todorov N, Behav Res Methods 1999;31:137–149: 50 of 50 and 17 of 25, 1 replaced by 1 − 1/(2N): d′ 1.86, β 0.07.
	i := index(0.99, 17.0/25, 50, 25)
	near(t, "d′", i.DPrime, 1.86, 0.005)
	near(t, "c", i.Criterion, -1.397, 0.0005)
	near(t, "β", i.Beta, 0.07, 0.005)
	// A teaching page on the 2×2 table (Schneider): H 0.70, F 0.10 give d′ 1.806, β 1.981.
	i = index(0.7, 0.1, 100, 100)
	near(t, "d′", i.DPrime, 1.806, 0.0005)
	near(t, "β", i.Beta, 1.981, 0.0005)
	raw := index(40.0/50, 5.0/50, 50, 50)
	near(t, "d′ of raw rates", raw.DPrime, 2.1232, 0.00005)
	near(t, "c of raw rates", raw.Criterion, 0.22, 0.00005)
	near(t, "SE", raw.SE, 0.3151, 0.00005)
	// One half and one, not one and a half: the mean of the corrected rates of x and n − x is a half.
	a, b := Detection{10, 10, 0, 10}.Index(), Detection{0, 10, 10, 10}.Index()
	near(t, "rates of 1 and 0", a.HitRate+b.HitRate, 1, 1e-12)
	near(t, "corrected rate", a.HitRate, 10.5/11, 1e-12)
	// Rates as a printed table of the normal distribution has them: 8 of 9 and 0 of 9 become 0.85 and 0.05, at 1.0364 and −1.6449.
	i = Detection{8, 9, 0, 9}.Index()
	near(t, "d′ with the correction", i.DPrime, 2.6813, 0.0001)
	near(t, "c with the correction", i.Criterion, 0.3042, 0.0001)
}

// Newcombe RG, Stat Med 1998;17:857–872, method 3, the four examples of the paper (from memory, recomputed).
func TestWilson(t *testing.T) {
	for _, c := range []struct {
		x, n      int
		low, high float64
	}{{81, 263, 0.2553, 0.3662}, {15, 148, 0.0624, 0.1605}, {0, 20, 0, 0.1611}, {1, 29, 0.0061, 0.1718}, {40, 50, 0.6696, 0.8876}, {45, 50, 0.7864, 0.9565}} {
		w := Wilson(c.x, c.n)
		near(t, "from", w[0], c.low, 0.00005)
		near(t, "to", w[1], c.high, 0.00005)
	}
	for _, n := range []int{5, 10, 16, 35} { // no miss: n / (n + z²), by algebra
		near(t, "no miss", Wilson(n, n)[0], float64(n)/(float64(n)+1.959963984540054*1.959963984540054), 1e-9)
	}
	// Exact coverage for n = 40, averaged over rates 0.02 … 0.98, is near 95 %.
	const n = 40
	var covered, rates float64
	for p := 0.02; p < 0.985; p += 0.01 {
		rates++
		for x := 0; x <= n; x++ {
			if w := Wilson(x, n); w[0] <= p && p <= w[1] {
				lg := func(k int) float64 { v, _ := math.Lgamma(float64(k) + 1); return v }
				covered += math.Exp(lg(n) - lg(x) - lg(n-x) + float64(x)*math.Log(p) + float64(n-x)*math.Log(1-p))
			}
		}
	}
	near(t, "mean coverage", covered/rates, 0.95, 0.01)
}

// The worked example of shrinking: class mean 7, variances 36 and 4; a mean of 3.0 from 3 attempts ranks behind 4.5 from 12. By arithmetic.
func TestShrinking(t *testing.T) {
	c := Class{Mean: 7, Within: 36, Between: 4}
	anna, weight := c.Shrunk(3, 3)
	near(t, "weight of the class", weight, 0.75, 1e-12)
	near(t, "three attempts", anna, 6, 1e-12)
	bo, _ := c.Shrunk(4.5, 12)
	near(t, "twelve attempts", bo, 5.5714, 0.0001)
}

// Components recover what was planted: 400 students of 6 attempts, SD 2 between and 6 within. SDs of the estimates by theory ≈ 0.6 and 1.1.
func TestComponentsRecoverWhatWasPlanted(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 2))
	var class [][]float64
	for range 400 {
		own := 7 + 2*r.NormFloat64()
		var a []float64
		for range 6 {
			a = append(a, own+6*r.NormFloat64())
		}
		class = append(class, a)
	}
	c, ok := Components(class)
	if !ok {
		t.Fatal("not defined")
	}
	near(t, "mean", c.Mean, 7, 0.6)
	near(t, "within", c.Within, 36, 4)
	near(t, "between", c.Between, 4, 3)
	if _, ok := Components([][]float64{{1}, {2}, {3}}); ok {
		t.Error("single attempts cannot tell within from between")
	}
}

// The 95 % interval of a bias covers it about 95 times in 100: 4 000 samples of 12, Monte-Carlo SD 0.34 points. Those of the limits are approximate in
// the paper, too: of 40 pairs they should miss by no more than two points.
func TestIntervalOfBiasCovers(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	covered, low, high := 0, 0, 0
	const samples = 4000
	for range samples {
		x, y := make([]float64, 40), make([]float64, 40)
		for i := range x {
			y[i] = 40 + 8*r.NormFloat64()
			x[i] = y[i] + 1.5 + 4*r.NormFloat64()
		}
		a := Agree(x, y)
		if at := 1.5 - 1.96*4; a.LoALowCI[0] <= at && at <= a.LoALowCI[1] {
			low++
		}
		if at := 1.5 + 1.96*4; a.LoAHighCI[0] <= at && at <= a.LoAHighCI[1] {
			high++
		}
	}
	near(t, "coverage of the lower limit", float64(low)/samples, 0.95, 0.02)
	near(t, "coverage of the upper limit", float64(high)/samples, 0.95, 0.02)
	for range samples {
		x, y := make([]float64, 12), make([]float64, 12)
		for i := range x {
			y[i] = 40 + 8*r.NormFloat64()
			x[i] = y[i] + 1.5 + 4*r.NormFloat64()
		}
		if ci := Agree(x, y).BiasCI; ci[0] <= 1.5 && 1.5 <= ci[1] {
			covered++
		}
	}
	near(t, "coverage", float64(covered)/samples, 0.95, 0.0137) // four SDs
}

func TestKappa(t *testing.T) {
	// Two packs of ten students: 6 pass both, 2 fail both, one each way: kappa by hand (0.8 − 0.58) / 0.42.
	first := []bool{true, true, true, true, true, true, false, false, true, false}
	second := []bool{true, true, true, true, true, true, false, false, false, true}
	k, ok := Kappa(first, second)
	if !ok {
		t.Fatal("not defined")
	}
	near(t, "kappa", k, (0.8-0.58)/0.42, 1e-12)
	if _, ok := Kappa([]bool{true, true}, []bool{true, true}); ok {
		t.Error("verdicts without spread have no kappa")
	}
}

func TestUpperLower(t *testing.T) {
	total := []float64{10, 9, 8, 7, 6, 5, 4, 3, 2, 1, 0}
	item := []float64{1, 1, 1, 0, 1, 0, 1, 0, 0, 0, 0}
	d, ok := UpperLower(item, total, 1) // 27 % of 11 is 3: 3/3 above, 0/3 below
	if !ok {
		t.Fatal("not defined")
	}
	near(t, "D", d, 1, 1e-12)
}
