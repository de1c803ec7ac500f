package skill

import (
	"math"
	"math/rand/v2"
	"testing"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/physiology/instrument"
	"kilopond/scenarios"
)

// plainReading is what a careful listener reads.
func plainReading(f *exercises.CuffFell) (systolic, diastolic float64) {
	s := instrument.ReadSounds(f.TopMmHg, f.ValveMmHgS, f.Heard)
	return float64(s.Systolic), float64(s.Diastolic)
}

func TestCuffIsJudgedByTheSounds(t *testing.T) {
	m := maker(t)
	unread, gaps, runs := 0, 0, 0
	for level := 1; level <= Levels; level++ {
		for i := range 25 {
			it := draw(t, m, Cuff, scenarios.Seed(3).Row(i), level)
			var fell *exercises.CuffFell
			for _, f := range it.Facts {
				if f.Cuff != nil {
					fell = f.Cuff
				}
			}
			none := it.Judge(Answer{None: true})
			systolic, diastolic := plainReading(fell)
			switch it.Kind {
			case silentGap:
				gaps++
				// The sounds below a gap are what a cuff pumped into it would give. Source: WSU.
				quiet, under, below := 0, 0.0, 0.0
				for j, sound := range []byte(fell.Heard) {
					mark := float64(fell.TopMmHg - (j+1)*instrument.GaugeStep)
					if sound == instrument.Silence || sound == instrument.Creak {
						quiet++
						continue
					}
					if mark < systolic && quiet*instrument.GaugeStep > int(under) {
						under, below = float64(quiet*instrument.GaugeStep), mark
					}
					quiet = 0
				}
				if under < 12 {
					t.Errorf("level %d, seed %d: the widest silence is %v mmHg", level, it.Seed, under)
				}
				if v := it.Judge(Answer{Numbers: []float64{below, diastolic}}); v.Right || v.Credit > 0.75 {
					t.Errorf("level %d, seed %d: read below the gap, %v for %v, credit %v", level, it.Seed, below, systolic, v.Credit)
				}
			case runsOn:
				runs++
				if fell.Heard[len(fell.Heard)-1] == instrument.Silence {
					t.Errorf("level %d, seed %d: the sounds do not run on to the end", level, it.Seed)
				}
				if v := it.Judge(Answer{Numbers: []float64{systolic, diastolic, 0}}); !v.Right {
					t.Errorf("level %d, seed %d: three numbers are not right: %+v", level, it.Seed, v)
				}
			}
			read := it.Judge(Answer{Numbers: []float64{systolic, diastolic}})
			if it.Kind == tooLow {
				unread++
				if first := fell.Heard[0]; first == instrument.Silence || first == instrument.Creak {
					t.Errorf("level %d, seed %d: pumped too little, and nothing is heard at once", level, it.Seed)
				}
				if !none.Right || read.Right {
					t.Errorf("level %d, seed %d, sounds at once: none is right=%v, a reading right=%v", level, it.Seed, none.Right, read.Right)
				}
				continue
			}
			if none.Right || !read.Right {
				t.Errorf("level %d, seed %d: none is right=%v, %v/%v right=%v", level, it.Seed, none.Right, systolic, diastolic, read.Right)
			}
			// Both readings 30 mmHg off: beyond every tolerance. Source: CHOICE-TOLERANCES, 20 mmHg at most.
			if far := it.Judge(Answer{Numbers: []float64{systolic + 30, diastolic + 30}}); far.Credit != 0 {
				t.Errorf("level %d, seed %d: 30 mmHg off has credit %v", level, it.Seed, far.Credit)
			}
			if half := it.Judge(Answer{Numbers: []float64{systolic, diastolic + 30}}); half.Credit != 0.5 || half.Right {
				t.Errorf("level %d, seed %d: one reading 30 mmHg off has credit %v", level, it.Seed, half.Credit)
			}
		}
	}
	if unread < 3 || gaps < 3 || runs < 3 {
		t.Errorf("only %d cuffs were pumped too little, %d had a gap, %d ran on", unread, gaps, runs)
	}
}

// listen is a deflation by arithmetic alone: beats so many seconds apart from a moment that may be any, each with its own systolic pressure, a
// needle that falls evenly, marks 2 mmHg apart of which the next one down is read. The reading is the first of two sounds in a row: the next
// beat heard comes no later than that of a slow heart, 1.8 s.
func listen(r *rand.Rand, systolic, valve, apart float64, wave func(at float64) float64) float64 {
	first, last := 0.0, -1.0
	for at := r.Float64() * apart; ; at += apart {
		gauge := systolic + 40 - valve*at
		if gauge >= systolic+wave(at) {
			continue
		}
		if last >= 0 && at-last <= 1.8 {
			return 2 * math.Floor(first/2)
		}
		first, last = gauge, at
	}
}

// spreadOf is mean and SD of what is drawn.
func spreadOf(n int, draw func() float64) (mean, sd float64) {
	var sum, squares float64
	for range n {
		x := draw()
		sum += x
		squares += x * x
	}
	mean = sum / float64(n)
	return mean, math.Sqrt(squares/float64(n) - mean*mean)
}

// With beats that are all alike the systolic reading is low by half of what the needle falls between two beats and half of the marks, and
// spreads by the two even distributions: SD² = (v·T)²/12 + 2²/12. The listener of the next test is held to that.
func TestListenerByArithmetic(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, c := range []struct{ valve, apart float64 }{{3, 60.0 / 70}, {2, 1}, {6, 0.5}} {
		mean, sd := spreadOf(200_000, func() float64 {
			s := 100 + 60*r.Float64()
			return listen(r, s, c.valve, c.apart, func(float64) float64 { return 0 }) - s
		})
		fall := c.valve * c.apart
		if wantMean, want := -fall/2-1, math.Sqrt(fall*fall/12+4.0/12); math.Abs(mean-wantMean) > 0.01 || math.Abs(sd/want-1) > 0.01 {
			t.Errorf("valve %v, beats %v s apart: %.3f ± %.3f mmHg, want %.3f ± %.3f", c.valve, c.apart, mean, sd, wantMean, want)
		}
	}
}

// An ideal listener at rest reads systolic pressure with the error that valve, pulse and marks leave, and the waves of pressure: 3 mmHg with each
// breath, 2.5 mmHg every ten seconds, 1.5 mmHg by chance, 3.4 mmHg (SD) from minute to minute. Source: HONZIKOVA2003 and CLINHYPERT2017 for the
// waves, NHANES2012 for the minutes (as in the body); WSU for the first of two sounds; the rest by arithmetic.
func TestCuffErrorIsThatOfTheListener(t *testing.T) {
	m := maker(t)
	var errs, rates []float64
	valve := float64(m.book.Pressure.ValveHigh)
	for seed := scenarios.Seed(0); len(errs) < 900; seed++ {
		it := &Item{Skill: Cuff, Seed: seed, Level: 1}
		err := m.meet(it.stream("test"), func(c scenarios.Case) bool {
			return c.ID == "uneventful"
		}, func(x test) bool {
			hr := 0.0
			for _, k := range m.counts(x, "at rest") {
				hr = float64(len(k.count.Tenths)) * 60 / float64(k.count.Seconds)
			}
			last := -100
			for _, k := range x.cuffs() {
				rested := k.fell.FromS-last >= 60 // an arm let go a moment ago reads low
				last = k.toS
				if k.stage == 0 && rested && x.subject.Artery.GapFrom == 0 {
					one := &Item{}
					m.cuffItem(one, x, k)
					if heard, ok := grader.HeardPressure(k.fell); ok && hr > 0 {
						errs = append(errs, float64(heard.Systolic)-one.truth.systolic)
						rates = append(rates, hr)
					}
				}
			}
			return true
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	n := float64(len(errs))
	i := 0
	gotMean, got := spreadOf(len(errs), func() float64 { i++; return errs[i-1] })
	r := rand.New(rand.NewPCG(3, 4))
	const lasts = 55 // s from taking up the stethoscope to letting the rest out
	wantMean, want := spreadOf(60_000, func() float64 {
		breath, slow := r.Float64(), r.Float64()
		s := 100 + 40*r.Float64()
		var minute [lasts + 1]float64 // forgotten by half in 42 s
		mean := 0.0
		minute[0] = 3.4 * r.NormFloat64()
		for i := 1; i <= lasts; i++ {
			minute[i] = math.Exp(-1.0/60)*minute[i-1] + 3.4*math.Sqrt(1-math.Exp(-2.0/60))*r.NormFloat64()
			mean += minute[i] / lasts
		}
		opens := 10.0 // s to place and pump, before the valve is opened
		return listen(r, s, valve, 60/rates[r.IntN(len(rates))], func(at float64) float64 {
			slowly := minute[min(lasts, int(opens+at))]
			return 3*math.Sin(2*math.Pi*(breath+0.22*at)) + 2.5*math.Sin(2*math.Pi*(slow+0.1*at)) + 1.5*r.NormFloat64() + slowly
		}) - s - mean
	})
	// The SE of a SD from n is about SD/√(2n), that of a mean SD/√n; four of each. The truth of a reading is the mean over the deflation, rounded to 0.1.
	if math.Abs(got/want-1) > 4/math.Sqrt(2*n) || math.Abs(gotMean-wantMean) > 4*want/math.Sqrt(n)+0.1 {
		t.Errorf("an ideal listener is off by %.2f ± %.2f mmHg, want %.2f ± %.2f, from %.0f readings", gotMean, got, wantMean, want, n)
	}
	t.Logf("off by %.2f ± %.2f mmHg, by arithmetic %.2f ± %.2f, from %.0f readings", gotMean, got, wantMean, want, n)
}
