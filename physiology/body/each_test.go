package body

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

// An each is one mechanism as it may be met, and the first second in which it may act, as seen from the well twin and the mechanism itself;
// nil when it acts from the start.
type each struct {
	ill    Ill
	begins func(well *Body, m mechanism, second int) bool
	silent bool // it acts in words alone
}

// visit is a whole visit: five minutes on a chair, a warm-up, four stages, a dead stop, standing, and a chair again.
const visitS = 1800

func visit(second int) Setting {
	s := Setting{Posture: Chair, Metronome: 50}
	switch {
	case second <= 300:
	case second <= 420:
		s.Posture, s.Pedalling = OnCycle, true
	case second <= 1140:
		s.Posture, s.Pedalling, s.Resistance = OnCycle, true, unit.Resistance(0.5*float64(1+(second-421)/180))
	case second <= 1440:
		s.Posture = Standing
	}
	return s
}

func everyMechanism() []each {
	atWork := func(w *Body, _ mechanism, _ int) bool { return w.watts > 0 }
	beyond := func(x float64) func(*Body, mechanism, int) bool {
		return func(w *Body, _ mechanism, _ int) bool { return w.x > x-1e-9 }
	}
	return []each{
		{ill: Ill{Angina: &Angina{Threshold: Span{15000, 15000}}}, begins: func(w *Body, m mechanism, _ int) bool {
			return w.hr*w.sbp > m.(*angina).threshold
		}},
		{ill: Ill{PressureFall: &FallingBP{Onset: Span{0.4, 0.4}, Fall: Span{25, 25}}}, begins: beyond(0.4)},
		{ill: Ill{Pressor: &Pressor{Slope: Span{2, 2}}}, begins: atWork},
		{ill: Ill{DiastolicRise: &RisingDBP{Rise: Span{25, 25}}}, begins: func(w *Body, _ mechanism, _ int) bool { return w.x > 0 }},
		{ill: Ill{PrematureBeats: &PrematureBeats{Onset: Span{0.3, 0.3}, PerMin: Span{12, 12}}}, begins: beyond(0.3)},
		{ill: Ill{Fibrillation: &Fibrillation{Onset: Span{0.4, 0.4}, Extra: Span{30, 30}, Spread: Span{0.2, 0.2}, Deficit: Span{0.1, 0.1}}}, begins: beyond(0.4)},
		{ill: Ill{RateLimit: &RateLimit{Onset: Span{0.4, 0.4}, Slope: Span{0.2, 0.2}}}, begins: beyond(0.4)},
		{ill: Ill{Faint: &Faint{After: Span{40, 40}}}, begins: func(_ *Body, _ mechanism, second int) bool { return second > 1160 }},
		{ill: Ill{Drug: &Drug{Kind: "rate_slowing"}}},
		{ill: Ill{Drug: &Drug{Kind: "pressure_lowering"}}},
		{ill: Ill{Drug: &Drug{Kind: "rate_raising"}}},
		{ill: Ill{Claudication: &Claudication{Onset: Span{350, 350}}}, begins: func(_ *Body, m mechanism, second int) bool {
			return m.(*claudication).owed >= 1
		}},
		{ill: Ill{Bronchospasm: &Bronchospasm{Onset: Span{5, 5}}}, begins: func(_ *Body, _ mechanism, second int) bool { return second > 720 }},
		{ill: Ill{LowSugar: &LowSugar{Onset: Span{6, 6}}}, begins: func(_ *Body, _ mechanism, second int) bool { return second > 659 }},
		{ill: Ill{Knee: &Knee{Onset: Span{350, 350}}}, begins: func(_ *Body, m mechanism, _ int) bool { return m.(*knee).pain.level > 0 }},
		{ill: Ill{Caffeine: &Caffeine{Dose: Span{3, 3}}}},
		{ill: Ill{Fever: &Fever{Above: Span{1, 2}}}},
		{ill: Ill{HardDay: &HardDay{}}},
		{ill: Ill{Heat: &Heat{Room: Span{34, 34}, Dehydration: Span{3, 3}}}},
		{ill: Ill{Enough: &Enough{Onset: Span{5, 5}}}, begins: func(_ *Body, _ mechanism, second int) bool { return second > 720+patienceS }},
		{ill: Ill{Nervous: &Nervous{Systolic: Span{30, 30}}}},
		{ill: Ill{Dip: &Dip{Stage: 2, Fall: Span{20, 20}}}, begins: func(_ *Body, _ mechanism, second int) bool { return second > 600+dipFromS }},
		{ill: Ill{Nuisance: &Nuisance{OnsetMin: &Span{4, 4}, Channel: Seen}}, silent: true},
	}
}

// Two bodies are equal to the last bit, beats and all, until the mechanism begins, and differ after it has.
func TestTwinsAreEqualUntilTheMechanismBegins(t *testing.T) {
	names := map[string]bool{}
	for _, c := range everyMechanism() {
		name := c.ill.Name()
		names[name] = true
		for seed := range uint64(6) {
			well, sick := twins(seed, middle, c.ill)
			begun, differed := c.begins == nil && !c.silent, 0
			for second := 1; second <= visitS; second++ {
				set := visit(second)
				a := slices.Clone(well.Step(set))
				same := slices.Equal(a, sick.Step(set)) && well.Now() == sick.Now()
				if c.begins != nil {
					begun = begun || c.begins(well, sick.ills[0], second)
				}
				if !same {
					if differed++; !begun {
						t.Fatalf("%s seed %d: twins differ in second %d, before it begins: %+v and %+v", name, seed, second, well.Now(), sick.Now())
					}
				}
			}
			if c.silent && differed > 0 || !c.silent && begun && differed == 0 {
				t.Errorf("%s seed %d: twins differ in %d seconds", name, seed, differed)
			}
			if !c.silent && !begun {
				t.Errorf("%s seed %d: it never began", name, seed)
			}
		}
	}
	if n := reflect.TypeFor[Ill]().NumField(); len(names) != n {
		t.Errorf("%d mechanisms are compared, there are %d", len(names), n)
	}
}

// A mechanism that stays silent leaves every beat as it was, whatever draws beside it.
func TestLaterMechanismsChangeNoBeatUntilTheyAct(t *testing.T) {
	firsts := []Ill{
		{PrematureBeats: &PrematureBeats{PerMin: Span{10, 10}}},
		{Fibrillation: &Fibrillation{Extra: Span{30, 30}, Spread: Span{0.2, 0.2}, Deficit: Span{0.1, 0.1}}},
	}
	silent := []Ill{
		{Claudication: &Claudication{Onset: Span{1200, 1200}}},
		{RateLimit: &RateLimit{Onset: Span{0.9, 0.9}}},
		{PrematureBeats: &PrematureBeats{Onset: Span{0.9, 0.9}, PerMin: Span{10, 10}}},
		{Faint: &Faint{After: Span{40, 40}}},
	}
	set := Setting{Posture: OnCycle, Pedalling: true, Metronome: 50, Resistance: 0.5}
	for seed := range uint64(5) {
		for _, first := range firsts {
			for _, later := range silent {
				_, alone := somebody(seed, middle, first)
				_, both := somebody(seed, middle, first, later)
				for second := 1; second <= 300 && both.x < 0.9; second++ {
					if a, b := alone.Step(set), both.Step(set); !slices.Equal(a, b) {
						t.Fatalf("seed %d: %s changes the beats of %s in second %d", seed, later.Name(), first.Name(), second)
					}
				}
			}
		}
	}
}

// A mechanism that only changes the day leaves a body alone whose day was not changed.
func TestWhatChangesTheDayChangesNothingElse(t *testing.T) {
	for _, ill := range []Ill{{Drug: &Drug{Kind: "rate_slowing"}}, {Caffeine: &Caffeine{Dose: Span{3, 3}}}, {Fever: &Fever{Above: Span{1, 2}}}, {HardDay: &HardDay{}}} {
		_, well := somebody(1, middle)
		_, other := somebody(1, middle, ill) // no Alter
		for second := 1; second <= visitS; second++ {
			a := slices.Clone(well.Step(visit(second)))
			if !slices.Equal(a, other.Step(visit(second))) || well.Now() != other.Now() || len(other.Symptoms()) != len(well.Symptoms()) {
				t.Fatalf("%s: second %d", ill.Name(), second)
			}
		}
	}
}

// No second of a visit allocates, with any mechanism or all of them, from the first second on.
func TestNoMechanismAllocates(t *testing.T) {
	var all []Ill
	try := func(name string, ills []Ill) {
		p, d := DrawTraits(stream(1, "subject"), middle), DrawDay(stream(1, "day"), nil)
		Alter(&p, &d, ills, stream(1, "alter"))
		b := New(p, d, ills, stream(1, "ill"), stream(1, "noise"))
		second := 0
		if n := testing.AllocsPerRun(visitS-1, func() {
			second++
			b.Step(visit(second))
			b.Symptoms()
			b.Now()
		}); n != 0 || second != visitS {
			t.Errorf("%s: %v allocations a second in %d seconds, want none", name, n, second)
		}
	}
	for _, c := range everyMechanism() {
		try(c.ill.Name(), []Ill{c.ill})
		all = append(all, c.ill)
	}
	try("all of them", all)
}

// The same bytes on every processor, with every mechanism through a whole visit: every beat, state and symptom. Run under an emulator too (.ci/test).
func TestSamenessOfMechanisms(t *testing.T) {
	h := sha256.New()
	var buf []byte
	put := func(xs ...float64) {
		for _, x := range xs {
			buf = binary.LittleEndian.AppendUint64(buf, math.Float64bits(x))
		}
	}
	for _, c := range everyMechanism() {
		for seed := range uint64(4) {
			_, b := twins(seed, middle, c.ill)
			for second := 1; second <= visitS; second++ {
				buf = buf[:0]
				for _, x := range b.Step(visit(second)) {
					put(float64(x.At), float64(x.Systolic), float64(x.Diastolic), x.Strength)
				}
				s := b.Now()
				put(float64(s.HR), float64(s.SBP), float64(s.DBP), float64(s.VO2), float64(s.Cadence), float64(s.WorkRate), s.Demand, s.Exertion)
				for _, y := range b.Symptoms() {
					buf = append(buf, y.Sign...)
					buf = append(buf, y.Channel...)
					buf = append(buf, byte(y.Grade))
				}
				h.Write(buf)
			}
		}
	}
	golden(t, "testdata/mechanisms.txt", hex.EncodeToString(h.Sum(nil)))
}

// BenchmarkIlls is a whole test as BenchmarkTest runs it, in somebody with one mechanism.
func BenchmarkIlls(b *testing.B) {
	for _, c := range everyMechanism() {
		b.Run(c.ill.Name(), func(b *testing.B) {
			_, one := somebody(1, adults)
			traits, day := one.traits, one.day
			f, k := &instrument.Fingers{}, &instrument.Cuff{}
			ills := []Ill{c.ill}
			noise, hands, ill := stream(1, "noise"), stream(1, "hands"), rand.New(rand.NewPCG(1, 2))
			b.ReportAllocs()
			for b.Loop() {
				one.Reset(traits, day, ills, ill, noise)
				wholeTest(one, f, k, hands, func([]instrument.Beat, State) { one.Symptoms() })
			}
		})
	}
}
