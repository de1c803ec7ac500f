package body

import (
	"math"
	"testing"

	"kilopond/physiology/unit"
)

// The courses of the mechanisms beside published figures. Where a source gives mean ± SD of a group, the mean over simulated people must lie within
// two standard errors of that group's mean, or within the range that the source prints.

func mean(xs []float64) float64 {
	m := 0.0
	for _, x := range xs {
		m += x / float64(len(xs))
	}
	return m
}

func spreadOf(xs []float64) float64 {
	m, ss := mean(xs), 0.0
	for _, x := range xs {
		ss += (x - m) * (x - m)
	}
	return math.Sqrt(ss / float64(len(xs)-1))
}

var strong = Who{AgeLow: 40, AgeHigh: 60, Volunteer: true, FitnessZ: &[2]float64{1, 2}}

// Pain in the leg at five loads, in a ratio like those of the source: onset from 191 to 112 s, the most that can be borne after 394 to 200 s, gone after
// 340 to 398 s of lying, whatever the load. Source: [GARDNER1993], whose loads are treadmill grades; the heaviest of five is 1.7 times the lightest.
func TestClaudicationComesAndGoesAsPublished(t *testing.T) {
	onset := []float64{191.1, 172.8, 132.8, 113.5, 112.0}
	most := []float64{394.2, 358.3, 260.5, 218.1, 200.3}
	var eased []float64
	for i, times := range []float64{1, 1.15, 1.45, 1.65, 1.75} {
		load := 300 * times
		var first, stop, gone []float64
		for seed := range uint64(20) {
			_, b := somebody(seed, strong, Ill{Claudication: &Claudication{Onset: Span{300, 300}}})
			begun, ended := 0, 0
			set := Setting{Posture: OnCycle, Pedalling: true, Metronome: 50, Resistance: unit.Resistance(load / 300)}
			for s := 1; s <= 600 && ended == 0; s++ {
				b.Step(set)
				if begun == 0 && gradeOf(b, LegPain, Found) > 0 {
					begun = s
				}
				if b.stopped {
					ended = s
				}
			}
			first, stop = append(first, float64(begun)), append(stop, float64(ended))
			for s := 1; s <= 900; s++ {
				b.Step(Setting{Posture: Lying})
				if gradeOf(b, LegPain, Found) == 0 {
					gone = append(gone, float64(s))
					break
				}
			}
		}
		t.Logf("%3.0f kg·m/min: pain after %.0f s (published %.0f), no further after %.0f s (%.0f), gone after %.0f s", load, mean(first), onset[i], mean(stop), most[i], mean(gone))
		if math.Abs(mean(first)/onset[i]-1) > 0.12 || math.Abs(mean(stop)/most[i]-1) > 0.12 {
			t.Errorf("%3.0f kg·m/min: pain after %.0f s, want %.0f; no further after %.0f s, want %.0f", load, mean(first), onset[i], mean(stop), most[i])
		}
		if len(gone) != 20 || mean(gone) < 339 || mean(gone) > 399 {
			t.Errorf("%3.0f kg·m/min: gone after %.0f s in %d of 20, want 339 to 398 s", load, mean(gone), len(gone))
		}
		eased = append(eased, mean(gone))
	}
	if spreadOf(eased) > 15 {
		t.Errorf("easing after the five loads: %v s; published: no difference", eased)
	}
}

// The load that the dial asks for hurts, not the work that is left of it: pain that costs rhythm goes on to the end. No published course was found
// for the knee's growth; its easing is the 6–10 min that half of sore knees take. Source: [OPHEY2024].
func TestKneeStopsTheLegsAndEasesAsPublished(t *testing.T) {
	var gone []float64
	stopped := 0
	for seed := range uint64(40) {
		_, b := somebody(seed, strong, Ill{Knee: &Knee{Onset: Span{300, 300}}})
		pain := 0.0
		for s := 1; s <= 600 && !b.stopped; s++ {
			ride(b, 1, 1, nil)
			if now := b.ills[0].(*knee).pain.level; now < pain {
				t.Fatalf("seed %d: the pain eases at %d s while the dial stays", seed, s)
			} else {
				pain = now
			}
			if pain >= 2.5 && seed%2 == 0 { // half end the test when the pain is plain
				break
			}
		}
		if b.stopped {
			stopped++
		}
		for s := 1; s <= 1200; s++ {
			b.Step(Setting{Posture: Chair})
			if gradeOf(b, KneePain, Found) == 0 {
				gone = append(gone, float64(s)/60)
				break
			}
		}
	}
	t.Logf("%d of 40 legs stopped; half of the knees are well after %.1f min", stopped, median(gone))
	if stopped != 20 || len(gone) != 40 || median(gone) < 6 || median(gone) > 10 {
		t.Errorf("%d of 20 stopped, %d of 40 eased, the median after %.1f min, want 6 to 10", stopped, len(gone), median(gone))
	}
}

// Airways: hardly narrower while the work lasts, 36 ± 13 % down at the worst, 5–10 min after the stop, and open again within an hour.
// Source: [RUBINSTEIN1987] 53 people; [BECK1994] 6 and 10 % down during work, 21 % within 15 min after it; [EIA-REVIEW] within 60 min.
func TestBronchospasmIsWorstAfterTheWork(t *testing.T) {
	var during, worst, when, open []float64
	for seed := range uint64(200) {
		_, b := somebody(seed, strong, Ill{Bronchospasm: &Bronchospasm{Onset: Span{4, 8}}})
		m := b.ills[0].(*bronchospasm)
		ride(b, 660, 1.5, nil)
		during = append(during, m.lost)
		low, at, again := 0.0, 0, 0
		for s := 1; s <= 5400; s++ {
			b.Step(Setting{Posture: Chair})
			if m.lost > low {
				low, at = m.lost, s
			}
			if again == 0 && s > at && m.lost < 10 {
				again = s
			}
		}
		worst, when, open = append(worst, low), append(when, float64(at)/60), append(open, float64(again)/60)
		if at < 300 || at > 600 {
			t.Errorf("seed %d: worst after %d s, want 5 to 10 min", seed, at)
		}
	}
	t.Logf("during work %.0f ± %.0f %%, at the worst %.0f ± %.0f %% after %.1f min, below 10 %% after %.0f ± %.0f min", mean(during), spreadOf(during), mean(worst), spreadOf(worst), mean(when), mean(open), spreadOf(open))
	if m := mean(worst); math.Abs(m-36) > 2*13/math.Sqrt(53) {
		t.Errorf("worst %.1f %%, published 36 ± 13 in 53 people", m)
	}
	if part := mean(during) / mean(worst); part < 6.0/21 || part > 10.0/21 {
		t.Errorf("during the work %.2f of the worst, published 6/21 at a steady load and 10/21 when it came and went", part)
	}
	within := 0
	for _, m := range open {
		if m >= 20 && m <= 60 {
			within++
		}
	}
	if within < 180 {
		t.Errorf("%d of 200 are open again by 60 min, want most", within)
	}
}

// A cough that comes with the work, and more of it after the stop, in that order; in whom the work was cut short there is less.
func TestBronchospasmInTheVoice(t *testing.T) {
	coughed, worse := 0, 0
	for seed := range uint64(40) {
		_, b := somebody(seed, strong, Ill{Bronchospasm: &Bronchospasm{Onset: Span{5, 5}}})
		met := climb(b, 900, nil)
		if at := met[meeting{Wheeze, Seen}]; at > 0 && at < 420 {
			t.Errorf("seed %d: a wheeze at %d s", seed, at)
		} else if at > 0 {
			coughed++
		}
		before := gradeOf(b, Wheeze, Seen)
		sit(b, 570)
		if gradeOf(b, Wheeze, Seen) > before && gradeOf(b, Breathless, Seen) > 0 {
			worse++
		}
	}
	if coughed < 36 || worse < 25 {
		t.Errorf("%d of 40 wheeze during the work, %d are worse after it", coughed, worse)
	}
	var long, short []float64
	for seed := range uint64(40) {
		for minutes, list := range map[int]*[]float64{4: &short, 9: &long} {
			_, b := somebody(seed, strong, Ill{Bronchospasm: &Bronchospasm{Onset: Span{7, 7}}})
			ride(b, 60*minutes, 1, nil)
			sit(b, 500)
			*list = append(*list, b.ills[0].(*bronchospasm).lost)
		}
	}
	if mean(short) < 5 || mean(short) > 0.75*mean(long) {
		t.Errorf("after 4 min of work %.0f %%, after 9 min %.0f %%", mean(short), mean(long))
	}
}

// Sugar: shaking at 58 mg/dL and muddle at 51, with 0.11 ± 0.03 mmol/L lost in a minute; nothing comes back without food.
// Source: [MITRAKOU1991], [BROZ2021].
func TestLowSugarFallsAsPublished(t *testing.T) {
	const perMmol = 18.016 // mg/dL of glucose in 1 mmol/L
	var shaky, muddled, falls []float64
	for seed := range uint64(200) {
		_, b := somebody(seed, strong, Ill{LowSugar: &LowSugar{Onset: Span{4, 9}}})
		m := b.ills[0].(*lowSugar)
		start := m.sugar
		for s := 1; s <= 1500; s++ {
			ride(b, 1, 0.5, nil)
			if s == 60 {
				falls = append(falls, start-m.sugar)
			}
			if len(shaky) == int(seed) && gradeOf(b, Shaky, Seen) > 0 {
				shaky = append(shaky, m.sugar*perMmol)
				if s < 239 || s > 541 {
					t.Errorf("seed %d: shaking after %d s, want 4 to 9 min", seed, s)
				}
			}
			if gradeOf(b, Confused, Found) > 0 {
				muddled = append(muddled, m.sugar*perMmol)
				break
			}
		}
		grade := gradeOf(b, Confused, Found)
		sit(b, 1800)
		if gradeOf(b, Confused, Found) != grade || gradeOf(b, Shaky, Seen) == 0 {
			t.Errorf("seed %d: it went by itself", seed)
		}
	}
	t.Logf("shaking at %.1f mg/dL, muddle at %.1f, %.3f ± %.3f mmol/L a minute", mean(shaky), mean(muddled), mean(falls), spreadOf(falls))
	if len(shaky) != 200 || len(muddled) != 200 {
		t.Fatalf("%d of 200 shake, %d are muddled", len(shaky), len(muddled))
	}
	if math.Abs(mean(shaky)-58) > 2 || math.Abs(mean(muddled)-51) > 3 { // the standard errors of the source
		t.Errorf("shaking at %.1f mg/dL, want 58 ± 2; muddle at %.1f, want 51 ± 3", mean(shaky), mean(muddled))
	}
	if math.Abs(mean(falls)-0.11) > 2*0.03/math.Sqrt(10) || spreadOf(falls) > 0.035 {
		t.Errorf("%.3f ± %.3f mmol/L a minute, published 0.11 ± 0.03 in 10 people", mean(falls), spreadOf(falls))
	}
}

// Heat and thirst together, and neither alone, take 5 ± 2 % of mean pressure after long work; lying down nothing is lost.
// Source: [GONZALEZ1995], [GONZALEZ1997], [GONZALEZ1999].
func TestHeatAndThirstTogetherLowerPressure(t *testing.T) {
	loss := func(room, dry float64) (work, lying float64) {
		const n = 20
		for seed := range uint64(n) {
			well, sick := twins(seed, strong, Ill{Heat: &Heat{Room: Span{room, room}, Dehydration: Span{dry, dry}}})
			of := func(b *Body) float64 { s := b.Now(); return float64(s.DBP) + float64(s.SBP-s.DBP)/3 }
			kp := loadFor(well.Traits(), 0.6*float64(well.Traits().VO2Max))
			held := func(b *Body) float64 { // mean pressure of the last ten minutes of an hour
				ride(b, 3000, kp, nil)
				sum := 0.0
				ride(b, 600, kp, func() { sum += of(b) / 600 })
				return sum
			}
			work += 100 * (1 - held(sick)/held(well)) / n
			for range 300 {
				well.Step(Setting{Posture: Lying})
				sick.Step(Setting{Posture: Lying})
			}
			lying += 100 * (1 - of(sick)/of(well)) / n
		}
		return work, lying
	}
	both, down := loss(35, 4.9)
	hot, _ := loss(35, 0)
	dry, _ := loss(21, 4)
	t.Logf("mean pressure lost: hot and dry %.1f %%, lying %.1f %%; hot %.1f %%, dry %.1f %%", both, down, hot, dry)
	if both < 3 || both > 7 {
		t.Errorf("hot and dry: %.1f %% lost, published 5 ± 2", both)
	}
	if math.Abs(hot) > 1.5 || math.Abs(dry) > 1.5 || math.Abs(down) > 1.5 {
		t.Errorf("hot %.1f %%, dry %.1f %%, lying %.1f %%, want none", hot, dry, down)
	}
}

// The day after a race: the rate comes down faster. Source: [MANN2015] 35 bpm in a minute after 29; [SPENKO2022] 30 bpm in 30 s after 24.
func TestTheDayAfterAHardDayTheRateFallsFaster(t *testing.T) {
	times := 0.0
	const n = 60
	for seed := range uint64(n) {
		well, sick := twins(seed, Who{AgeLow: 20, AgeHigh: 45, Volunteer: true, FitnessZ: &[2]float64{0, 1.5}}, Ill{HardDay: &HardDay{}})
		fall := func(b *Body) float64 {
			ride(b, 600, 2, nil)
			from := b.Now().HR
			sit(b, 60)
			return float64(from - b.Now().HR)
		}
		times += fall(sick) / fall(well) / n
	}
	t.Logf("%.2f times the fall of another day", times)
	if times < 1.08 || times > 1.3 {
		t.Errorf("%.2f times the fall of another day, published 1.21 and 1.23", times)
	}
}

// A fever is told by its own height.
func TestFeverIsGradedByItsOwnHeight(t *testing.T) {
	grades := map[int]int{}
	for seed := range uint64(200) {
		_, b := twins(seed, middle, Ill{Fever: &Fever{Above: Span{0.4, 2.4}}})
		b.Step(Setting{Posture: Chair})
		above, want := b.day.Fever, 1
		if above >= 1.2 {
			want = 2
		}
		if above >= 2 {
			want = 3
		}
		if g := gradeOf(b, UnwellToday, Found); g != want || above < 0.4 || above > 2.4 {
			t.Errorf("seed %d: grade %d at %.2f °C", seed, g, above)
		}
		grades[want]++
	}
	if grades[1] < 50 || grades[2] < 50 || grades[3] < 20 {
		t.Errorf("grades %v of 200", grades)
	}
}
