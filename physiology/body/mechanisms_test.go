package body

import (
	"math"
	"testing"

	"kilopond/physiology/unit"
)

// A meeting is the first second at which a sign is on a channel, by sign and channel.
type meeting struct {
	sign Sign
	ch   Channel
}

// climb rides two minutes unloaded and then three-minute stages of 0.5 kp more each, up to the time given, and notes what was met when.
func climb(b *Body, seconds int, each func(second int)) map[meeting]int {
	met := map[meeting]int{}
	for second := 1; second <= seconds; second++ {
		s := Setting{Posture: OnCycle, Pedalling: true, Metronome: 50}
		if second > 120 {
			s.Resistance = unit.Resistance(0.5 * float64(1+(second-121)/180))
		}
		b.Step(s)
		note(b, second, met)
		if each != nil {
			each(second)
		}
	}
	return met
}

func note(b *Body, second int, met map[meeting]int) {
	for _, y := range b.Symptoms() {
		m := meeting{y.Sign, y.Channel}
		if _, before := met[m]; !before {
			met[m] = second
		}
	}
}

var middle = Who{AgeLow: 40, AgeHigh: 60, Volunteer: true}

// Pain and sugar: found before seen before said, none before its onset.
func TestTroublesAreFoundThenSeenThenSaid(t *testing.T) {
	for _, c := range []struct {
		name  string
		ill   Ill
		order []meeting // each not before the one to its left
		from  int       // s: nothing before
	}{
		{"claudication", Ill{Claudication: &Claudication{Onset: Span{300, 300}}}, []meeting{{LegPain, Found}, {LegPain, Seen}, {LegPain, Unasked}, {AskedToStop, Unasked}}, 300},
		{"knee", Ill{Knee: &Knee{Onset: Span{300, 300}}}, []meeting{{KneePain, Found}, {KneePain, Seen}, {KneePain, Unasked}, {AskedToStop, Unasked}}, 300},
		{"low sugar", Ill{LowSugar: &LowSugar{Onset: Span{5, 5}}}, []meeting{{Shaky, Seen}, {Confused, Found}, {Confused, Unasked}}, 300},
	} {
		whole, n := 0, 0
		for seed := range uint64(40) {
			_, b := somebody(seed, Who{AgeLow: 40, AgeHigh: 60, Volunteer: true, FitnessZ: &[2]float64{1, 2}}, c.ill)
			met := climb(b, 900, nil)
			last := 0
			complete := true
			for _, m := range c.order {
				at, ok := met[m]
				if !ok {
					complete = false
					break
				}
				if at < last || at < c.from {
					t.Errorf("%s seed %d: %v at %d s, after %d", c.name, seed, m, at, last)
				}
				last = at
			}
			n++
			if complete {
				whole++
			}
		}
		t.Logf("%s: %d of %d show all of it by 13 min of loaded work", c.name, whole, n)
		if whole < n*9/10 {
			t.Errorf("%s: only %d of %d show all of it", c.name, whole, n)
		}
	}
}

// twins are the same person on the same day, with and without something.
func twins(seed uint64, w Who, ill Ill) (well, sick *Body) {
	mk := func(ills []Ill) *Body {
		t := DrawTraits(stream(seed, "subject"), w)
		d := DrawDay(stream(seed, "day"), nil)
		Alter(&t, &d, ills, stream(seed, "alter"))
		return New(t, d, ills, stream(seed, "ill"), stream(seed, "noise"))
	}
	return mk(nil), mk([]Ill{ill})
}

// apart rides twins for some minutes at a load and returns the mean differences of the last minute: bpm, mmHg, mmHg, rating.
func apart(w Who, ill Ill, minutes int, kp unit.Resistance) (hr, sbp, dbp, rating float64) {
	const n = 60
	for seed := range uint64(n) {
		well, sick := twins(seed, w, ill)
		mean := func(b *Body) (h, s, d, r float64) {
			second := 0
			count := func() {
				second++
				if x := b.Now(); second > 60*(minutes-1) {
					h, s, d, r = h+float64(x.HR)/60, s+float64(x.SBP)/60, d+float64(x.DBP)/60, r+x.Exertion/60
				}
			}
			if kp == 0 {
				for range 60 * minutes {
					b.Step(Setting{Posture: Chair})
					count()
				}
			} else {
				ride(b, 60*minutes, kp, count)
			}
			return h, s, d, r
		}
		h0, s0, d0, r0 := mean(well)
		h1, s1, d1, r1 := mean(sick)
		hr, sbp, dbp, rating = hr+(h1-h0)/n, sbp+(s1-s0)/n, dbp+(d1-d0)/n, rating+(r1-r0)/n
	}
	return hr, sbp, dbp, rating
}

// What changes the day moves rates and pressures by the published sizes.
func TestTheDayIsMovedByThePublishedSizes(t *testing.T) {
	for _, c := range []struct {
		name      string
		ill       Ill
		kp        unit.Resistance
		what      int // 0 bpm, 1 systolic, 3 rating
		low, high float64
		source    string
	}{
		{"caffeine 2.25 mg/kg, rate at work", Ill{Caffeine: &Caffeine{Dose: Span{2.25, 2.25}}}, 1, 0, -7, -4, "MCCLARAN2007: −4 to −7"},
		{"caffeine 2.25 mg/kg, systolic at rest", Ill{Caffeine: &Caffeine{Dose: Span{2.25, 2.25}}}, 0, 1, 5, 9, "MCCLARAN2007: +7"},
		{"caffeine 2.25 mg/kg, systolic at work", Ill{Caffeine: &Caffeine{Dose: Span{2.25, 2.25}}}, 1, 1, -2, 2, "MCCLARAN2007: none"},
		{"fever of 1 °C, rate at rest", Ill{Fever: &Fever{Above: Span{1, 1}}}, 0, 0, 8, 10.5, "8–10 a degree"},
		{"fever of 1 °C, rate at work", Ill{Fever: &Fever{Above: Span{1, 1}}}, 0.5, 0, 7, 11, "8–10 a degree"},
		{"beta-blocker, rate at work", Ill{Drug: &Drug{Kind: "rate_slowing", Dose: &Span{1, 1}}}, 1, 0, -35, -15, "between 15 % of rest and 25 % of maximum"},
		{"beta-blocker, rating", Ill{Drug: &Drug{Kind: "rate_slowing", Dose: &Span{1, 1}}}, 1, 3, 0.4, 1.2, "GORDON1985: harder; 0.5–1"},
		{"drug against pressure, rate", Ill{Drug: &Drug{Kind: "pressure_lowering", Dose: &Span{1, 1}}}, 1, 0, -0.5, 0.5, "none"},
		{"the day after a hard day, rate at work", Ill{HardDay: &HardDay{}}, 1, 0, -2, 2, "MANN2015: no change"},
		{"the day after a hard day, rating", Ill{HardDay: &HardDay{}}, 1, 3, 0.7, 2.1, "AUBRY2015: +0.7 to +2.1; MANN2015: 13 after 11"},
		{"31 °C, dry 0 %, rate after 20 min", Ill{Heat: &Heat{Room: Span{31, 31}}}, 0.5, 0, 9, 19, "ERGONOMICS1975: 1.4 % a degree of some 110 bpm is 15"},
		{"21 °C, dry 2 %, rate after 20 min", Ill{Heat: &Heat{Room: Span{21, 21}, Dehydration: Span{2, 2}}}, 0.5, 0, 3.5, 7, "ADAMS2014: 3 a per cent"},
	} {
		minutes := 5
		if c.ill.Heat != nil {
			minutes = 20
		}
		hr, sbp, dbp, rating := apart(Who{AgeLow: 20, AgeHigh: 45, Volunteer: true}, c.ill, minutes, c.kp)
		got := []float64{hr, sbp, dbp, rating}[c.what]
		t.Logf("%s: %+.1f (%s)", c.name, got, c.source)
		if got < c.low || got > c.high {
			t.Errorf("%s: %+.2f, want %v to %v (%s)", c.name, got, c.low, c.high, c.source)
		}
	}
}

// A steep systolic pressure rises by the factor asked for, a rising diastolic by its mmHg; neither touches the heart rate.
func TestPressuresThatClimb(t *testing.T) {
	lean := Who{AgeLow: 30, AgeHigh: 50, Volunteer: true}
	hr, sbp, _, _ := apart(lean, Ill{Pressor: &Pressor{Slope: Span{2, 2}}}, 6, 1.5)
	want := 0.0
	for seed := range uint64(60) {
		tr := DrawTraits(stream(seed, "subject"), lean)
		want += tr.SBPSlope * 1.5 * 300 / 6.118 / 60
	}
	if math.Abs(hr) > 0.01 || math.Abs(sbp-want) > 0.08*want {
		t.Errorf("pressor ×2 at 450 kg·m/min: %+.1f mmHg, want %+.1f; rate %+.2f", sbp, want, hr)
	}
	hr, _, dbp, _ := apart(lean, Ill{DiastolicRise: &RisingDBP{Rise: Span{25, 25}}}, 6, 2.5)
	if math.Abs(hr) > 0.01 || dbp < 17 || dbp > 32 {
		t.Errorf("diastolic +25 at maximum: %+.1f mmHg near it, rate %+.2f", dbp, hr)
	}
}

// pulse counts beats, and those that a finger cannot feel, over some seconds of a steady load.
func pulse(b *Body, seconds int, kp unit.Resistance) (beats, weak, lost int, intervals []float64) {
	set, last := Setting{Posture: OnCycle, Pedalling: true, Metronome: 50, Resistance: kp}, -1.0
	for range seconds {
		for _, x := range b.Step(set) {
			beats++
			switch {
			case x.Strength == 0:
				lost++
			case x.Strength < 1:
				weak++
			}
			if at := x.At.Seconds(); last >= 0 {
				intervals = append(intervals, at-last)
				last = at
			} else {
				last = at
			}
		}
	}
	return beats, weak, lost, intervals
}

// Early beats come as often as they should, each with its pause, and leave the rate of the heart as it is.
func TestPrematureBeats(t *testing.T) {
	weak, paired, minutes := 0, 0, 0.0
	for seed := range uint64(30) {
		well, sick := twins(seed, middle, Ill{PrematureBeats: &PrematureBeats{PerMin: Span{10, 10}}})
		for _, b := range []*Body{well, sick} { // into hard work, where they are most frequent
			ride(b, 180, 2, nil)
		}
		b0, w0, _, _ := pulse(well, 300, 2)
		b1, w1, _, gaps := pulse(sick, 300, 2)
		if w0 != 0 || math.Abs(float64(b1-b0)) > 0.02*float64(b0) {
			t.Errorf("seed %d: %d weak beats in the well; %d beats and %d", seed, w0, b0, b1)
		}
		weak += w1
		minutes += 5
		for i := 1; i < len(gaps); i++ {
			mean := 300 / float64(b1)
			if gaps[i-1] < 0.8*mean && gaps[i] > 1.15*mean {
				paired++
			}
		}
	}
	if per := float64(weak) / minutes; per < 8.5 || per > 11.5 {
		t.Errorf("%.1f early beats a minute, want 10", per)
	}
	if float64(paired) < 0.85*float64(weak) {
		t.Errorf("%d of %d early beats have a pause", paired, weak)
	}
}

// No order: the spread of the intervals, the beats lost and the extra rate are those asked for, and nothing before the onset.
func TestFibrillation(t *testing.T) {
	var cv, lost, n float64
	for seed := range uint64(30) {
		_, b := twins(seed, middle, Ill{Fibrillation: &Fibrillation{Extra: Span{30, 30}, Spread: Span{0.22, 0.22}, Deficit: Span{0.1, 0.1}}})
		pulse(b, 240, 0.5)
		beats, _, gone, gaps := pulse(b, 300, 0.5)
		mean, ss := 0.0, 0.0
		for _, g := range gaps {
			mean += g / float64(len(gaps))
		}
		for _, g := range gaps {
			ss += (g - mean) * (g - mean)
		}
		cv += math.Sqrt(ss/float64(len(gaps))) / mean
		lost += float64(gone) / float64(beats)
		n++
	}
	t.Logf("spread %.3f, lost %.3f", cv/n, lost/n)
	if cv/n < 0.18 || cv/n > 0.26 || lost/n < 0.07 || lost/n > 0.13 {
		t.Errorf("spread of the intervals %.3f, want 0.22; %.3f of the beats lost, want 0.10", cv/n, lost/n)
	}
	for seed := range uint64(10) {
		well, sick := twins(seed, middle, Ill{Fibrillation: &Fibrillation{Onset: Span{0.9, 0.9}, Extra: Span{30, 30}, Spread: Span{0.22, 0.22}, Deficit: Span{0.1, 0.1}}})
		b0, _, _, _ := pulse(well, 120, 0)
		b1, _, lost, _ := pulse(sick, 120, 0)
		if b0 != b1 || lost > 0 || gradeOf(sick, IrregularPulse, Found) > 0 {
			t.Errorf("seed %d: before the onset %d and %d beats, %d lost", seed, b0, b1, lost)
		}
	}
}

// The rate lags, the rating does not.
func TestRateLimit(t *testing.T) {
	hr, _, _, rating := apart(middle, Ill{RateLimit: &RateLimit{Onset: Span{0.3, 0.3}, Slope: Span{0, 0}}}, 8, 1.5)
	if hr > -12 || math.Abs(rating) > 0.7 {
		t.Errorf("at 450 kg·m/min: rate %+.1f bpm, rating %+.2f", hr, rating)
	}
	hr, _, _, _ = apart(middle, Ill{RateLimit: &RateLimit{Onset: Span{0.6, 0.6}, Slope: Span{0, 0}}}, 5, 0.5)
	if hr < -3 {
		t.Errorf("below the onset the rate is %+.1f bpm", hr)
	}
}

// Every mechanism's settings are checked, and every mechanism is named.
func TestMechanismsAreChecked(t *testing.T) {
	for _, i := range []Ill{
		{Pressor: &Pressor{}}, {DiastolicRise: &RisingDBP{}}, {PrematureBeats: &PrematureBeats{}}, {Fibrillation: &Fibrillation{}}, {RateLimit: &RateLimit{}},
		{Faint: &Faint{}}, {Drug: &Drug{}}, {Claudication: &Claudication{}}, {Bronchospasm: &Bronchospasm{}}, {LowSugar: &LowSugar{}}, {Knee: &Knee{}},
		{Caffeine: &Caffeine{}}, {Fever: &Fever{}}, {Heat: &Heat{}}, {Dip: &Dip{}}, {Nervous: &Nervous{}}, {Nuisance: &Nuisance{}},
	} {
		if i.Name() == "" || len(i.Check()) == 0 {
			t.Errorf("%q: %v", i.Name(), i.Check())
		}
	}
	if h := (Ill{HardDay: &HardDay{}}); h.Name() != "hard_day" || len(h.Check()) > 0 {
		t.Errorf("%q: %v", h.Name(), h.Check())
	}
}

// The constants stand for the times that their comments give.
func TestEasingIsExact(t *testing.T) {
	for name, c := range map[string]struct{ keep, tau float64 }{
		"leg": {legEase, 530}, "leg, light work": {legEaseLight, 1060}, "within a quarter of an hour": {easeSlow, 480}, "heat": {heatEase, 900}, "dip": {1 - dipping, 6},
		"calm": {calmKeep, 90}, "filling": {1 - filling, 40}, "pooling": {1 - pooling, 22}, "relief": {1 - relief, 18}, "laid": {1 - laid, 10}, "worn": {1 - worn, 60},
		"narrowing": {1 - narrowing, 120}, "opening": {1 - opening, 1500}, "stirring": {1 - stirring, 15}, "echo": {echoKeep, 180},
	} {
		if got := -1 / math.Log(c.keep); math.Abs(got-c.tau) > 1e-9 {
			t.Errorf("%s: the constant stands for τ = %v s, want %v", name, got, c.tau)
		}
	}
}

// A dip is there for the better part of a minute in its stage, and nowhere else.
func TestDip(t *testing.T) {
	for seed := range uint64(20) {
		well, sick := twins(seed, middle, Ill{Dip: &Dip{Stage: 2, Fall: Span{20, 20}}})
		low := 0
		for second := 1; second <= 840; second++ {
			s := Setting{Posture: OnCycle, Pedalling: true, Metronome: 50}
			if second > 120 {
				s.Resistance = unit.Resistance(0.5 * float64(1+(second-121)/180))
			}
			well.Step(s)
			sick.Step(s)
			d := float64(well.Now().SBP - sick.Now().SBP)
			into := second - 301 // of stage 2
			switch {
			case d > 15:
				low++
				if into < dipFromS || into > dipToS+5 {
					t.Fatalf("seed %d: %.0f mmHg lost at %d s of stage 2", seed, d, into)
				}
			case (into < dipFromS || into > dipToS+40) && d > 0.5:
				t.Fatalf("seed %d: %.1f mmHg lost at %d s of stage 2", seed, d, into)
			}
		}
		if low < 35 || low > 60 {
			t.Errorf("seed %d: low for %d s", seed, low)
		}
	}
}

// A nervous pressure is high after five minutes on the chair, less two minutes later, and gone after five more.
func TestNervousPressureSettles(t *testing.T) {
	for seed := range uint64(20) {
		well, sick := twins(seed, middle, Ill{Nervous: &Nervous{Systolic: Span{30, 30}}})
		for _, x := range []struct {
			minutes   int
			low, high float64
		}{{5, 29, 31}, {2, 19, 24}, {5, 0, 3}} {
			sit(well, 60*x.minutes)
			sit(sick, 60*x.minutes)
			if d := float64(sick.Now().SBP - well.Now().SBP); d < x.low || d > x.high {
				t.Errorf("seed %d: %+.1f mmHg, want %v to %v", seed, d, x.low, x.high)
			}
		}
	}
}

// A rising diastolic pressure shows at work and not at rest, by how far it is above the rest of that day, and its sign does not come and go.
func TestDiastolicRiseComesOnceAndNotAtRest(t *testing.T) {
	high, low := 0, 0
	for seed := range uint64(100) {
		well, b := twins(seed, middle, Ill{DiastolicRise: &RisingDBP{Rise: Span{15, 25}}})
		for second := range 600 {
			well.Step(Setting{Posture: Chair})
			b.Step(Setting{Posture: Chair})
			if gradeOf(b, DiastolicRise, Found) > 0 {
				t.Fatalf("seed %d: a rise after %d s on the chair", seed, second)
			}
		}
		climb(well, 840, nil)
		on, changes := false, 0
		climb(b, 840, func(int) {
			if now := gradeOf(b, DiastolicRise, Found) > 0; now != on {
				on = now
				changes++
			}
		})
		if changes > 3 {
			t.Errorf("seed %d: the sign comes and goes %d times while the load rises", seed, changes)
		}
		// Twins share the wander, so their difference is free of it; what the well one rises by is added.
		switch rise := float64(b.Now().DBP-well.Now().DBP) + well.Traits().DBPChange*well.x34(); {
		case rise > 11:
			high++
			if !on {
				t.Errorf("seed %d: %.1f mmHg above rest and no sign", seed, rise)
			}
		case rise < 9:
			low++
			if on {
				t.Errorf("seed %d: a sign at %.1f mmHg above rest", seed, rise)
			}
		}
	}
	t.Logf("%d plainly above rest, %d plainly not", high, low)
	if high < 50 || low < 3 {
		t.Errorf("only %d of 100 rise plainly, %d plainly do not", high, low)
	}
}
