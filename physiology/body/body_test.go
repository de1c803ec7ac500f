package body

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"
	"time"

	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

func stream(seed uint64, label string) *rand.Rand {
	key := binary.LittleEndian.AppendUint64(nil, seed)
	return rand.New(rand.NewChaCha8(sha256.Sum256(append(key, label...))))
}

// somebody draws a person of the general population and their body.
func somebody(seed uint64, w Who, ills ...Ill) (Traits, *Body) {
	t := DrawTraits(stream(seed, "subject"), w)
	return t, New(t, DrawDay(stream(seed, "day"), nil), ills, stream(seed, "ill"), stream(seed, "noise"))
}

var adults = Who{AgeLow: 18, AgeHigh: 79}

// ride steps the body for some seconds at a resistance.
func ride(b *Body, seconds int, kp unit.Resistance, each func()) {
	s := Setting{Posture: OnCycle, Pedalling: true, Metronome: 50, Resistance: kp}
	for range seconds {
		b.Step(s)
		if each != nil {
			each()
		}
	}
}

func sit(b *Body, seconds int) {
	for range seconds {
		b.Step(Setting{Posture: Chair})
	}
}

func TestExpIsTheExponential(t *testing.T) {
	worst := 0.0
	for i := -200000; i <= 200000; i++ {
		x := float64(i) / 10000
		worst = math.Max(worst, math.Abs(exp(x)-math.Exp(x))/math.Exp(x))
	}
	if worst > 4e-16 {
		t.Errorf("worst relative distance from math.Exp %g, want at most 4e-16", worst)
	}
	for i := range 1000 {
		turns := float64(i)/250 - 2
		if d := math.Abs(sine(turns) - math.Sin(2*math.Pi*turns)); d > 0.0012 {
			t.Fatalf("sine(%v) is off by %g", turns, d)
		}
	}
}

// wholeTest runs a warm-up, four stages, a cool-down, counts and cuffs, and hands every beat and state to see.
func wholeTest(b *Body, f *instrument.Fingers, c *instrument.Cuff, r *rand.Rand, see func([]instrument.Beat, State)) {
	s := Setting{Posture: OnCycle, Metronome: 50}
	for second := range 20 * 60 {
		switch {
		case second == 60:
			s.Pedalling = true
		case second >= 180 && second < 900 && second%180 == 0:
			s.Resistance = 0.5 * unit.Resistance(second/180)
		case second == 900:
			s.Resistance = 0.5
		}
		beats := b.Step(s)
		if second%60 == 45 {
			f.Place(r, instrument.Radial, time.Duration(second)*time.Second, s.Pedalling)
		}
		if second%60 > 45 {
			f.Feel(beats)
		}
		if second%180 == 60 {
			c.Start(r, 200, 3, time.Duration(second+1)*time.Second, s.Pedalling, instrument.Adult, 30)
		} else if second%180 > 60 {
			c.Second(beats)
		}
		if see != nil {
			see(beats, b.Now())
		}
	}
}

// The same bytes on every processor: 300 whole tests, every beat and state to its last bit. Run under an emulator too (.ci/test).
func TestSamenessOfWholeTests(t *testing.T) {
	h := sha256.New()
	var buf []byte
	put := func(xs ...float64) {
		for _, x := range xs {
			buf = binary.LittleEndian.AppendUint64(buf, math.Float64bits(x))
		}
	}
	for seed := range uint64(300) {
		var ills []Ill
		switch seed % 3 {
		case 1:
			ills = []Ill{{Angina: &Angina{Threshold: Span{14000, 19000}}}}
		case 2:
			ills = []Ill{{PressureFall: &FallingBP{Onset: Span{0.3, 0.5}, Fall: Span{20, 40}}}}
		}
		_, b := somebody(seed, adults, ills...)
		f, c := &instrument.Fingers{}, &instrument.Cuff{}
		wholeTest(b, f, c, stream(seed, "hands"), func(beats []instrument.Beat, s State) {
			buf = buf[:0]
			for _, x := range beats {
				put(float64(x.At), float64(x.Systolic), float64(x.Diastolic), x.Strength)
			}
			put(float64(s.HR), float64(s.SBP), float64(s.DBP), float64(s.VO2), float64(s.Cadence), float64(s.WorkRate), s.Demand, s.Exertion)
			h.Write(buf)
		})
		h.Write([]byte(c.Heard()))
		for _, x := range f.Tenths() {
			h.Write([]byte{byte(x), byte(x >> 8)})
		}
	}
	golden(t, "testdata/sameness.txt", hex.EncodeToString(h.Sum(nil)))
}

// golden compares with a file that ships; `UPDATE_GOLDEN=1 go test` writes it anew, which raises scenarios.Model.
func golden(t *testing.T, path, got string) {
	t.Helper()
	if os.Getenv("UPDATE_GOLDEN") != "" {
		if err := os.WriteFile(path, []byte(got+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if strings.TrimSpace(string(want)) != got {
		t.Errorf("%s = %s, want %s", path, got, want)
	}
}

func TestBodyKeepsItsBounds(t *testing.T) {
	for seed := range uint64(200) {
		traits, b := somebody(seed, adults)
		last := time.Duration(-1)
		for _, kp := range []unit.Resistance{0, 0.5, 1.5, 5, 7, 0.5} {
			s := Setting{Posture: OnCycle, Pedalling: true, Metronome: 50, Resistance: kp}
			for range 120 {
				beats := b.Step(s)
				n := b.Now()
				if n.HR > traits.TrueMaxHR || n.HR < 30 || math.IsNaN(float64(n.HR)) {
					t.Fatalf("seed %d: HR %v, own maximum %v", seed, n.HR, traits.TrueMaxHR)
				}
				if n.DBP >= n.SBP || n.SBP > 330 || n.DBP < 20 {
					t.Fatalf("seed %d: pressure %v/%v", seed, n.SBP, n.DBP)
				}
				if n.VO2 > traits.VO2Max+1 {
					t.Fatalf("seed %d: VO2 %v above the own maximum %v", seed, n.VO2, traits.VO2Max)
				}
				for _, x := range beats {
					if x.At <= last || x.Diastolic >= x.Systolic {
						t.Fatalf("seed %d: beat %+v after %v", seed, x, last)
					}
					last = x.At
				}
			}
		}
	}
}

func TestTheSameUntilTheMechanismActs(t *testing.T) {
	late := Ill{PressureFall: &FallingBP{Onset: Span{0.75, 0.75}, Fall: Span{30, 30}}}
	differed := 0
	for seed := range uint64(30) {
		_, well := somebody(seed, Who{AgeLow: 30, AgeHigh: 50})
		_, ill := somebody(seed, Who{AgeLow: 30, AgeHigh: 50}, late)
		started := false
		for _, kp := range []unit.Resistance{0, 0.5, 1.5, 2.5, 3.5} {
			s := Setting{Posture: OnCycle, Pedalling: true, Metronome: 50, Resistance: kp}
			for second := range 180 {
				a := append([]instrument.Beat(nil), well.Step(s)...)
				b := ill.Step(s)
				same := len(a) == len(b)
				for i := 0; same && i < len(a); i++ {
					same = a[i] == b[i]
				}
				started = started || ill.Now().Demand > 0.74
				if !same && !started {
					t.Fatalf("seed %d: beats differ at %.1f kp, %d s, before the mechanism acts", seed, float64(kp), second)
				}
				if !same {
					differed++
				}
			}
		}
	}
	if differed == 0 {
		t.Error("the mechanism never acted: the comparison showed nothing")
	}
}

func TestStepAllocatesNothing(t *testing.T) {
	_, b := somebody(1, adults, Ill{Angina: &Angina{Threshold: Span{15000, 15000}}})
	ride(b, 300, 2, nil)
	s := Setting{Posture: OnCycle, Pedalling: true, Metronome: 50, Resistance: 2}
	if n := testing.AllocsPerRun(2000, func() { b.Step(s); b.Symptoms() }); n != 0 {
		t.Errorf("%v allocations a second, want none", n)
	}
}

func TestAWrongLoadIsFelt(t *testing.T) {
	asked := 0
	for seed := range uint64(40) {
		_, b := somebody(seed, Who{AgeLow: 45, AgeHigh: 65, FitnessZ: &[2]float64{-2, -1}})
		ride(b, 120, 0.5, nil)
		done := false
		ride(b, 300, 5, func() {
			for _, y := range b.Symptoms() {
				done = done || y.Sign == AskedToStop
			}
		})
		if done {
			asked++
		}
	}
	if asked < 30 {
		t.Errorf("%d of 40 unfit people asked to stop within 5 min at 5 kp, want most", asked)
	}
}

func TestIllsSayWhatIsWrongWithThem(t *testing.T) {
	for _, i := range []Ill{{}, {Angina: &Angina{Threshold: Span{5000, 4000}}}, {PressureFall: &FallingBP{}}, {Angina: &Angina{Threshold: Span{15000, 16000}}, PressureFall: &FallingBP{}}} {
		if len(i.Check()) == 0 {
			t.Errorf("%+v: no fault found", i)
		}
	}
	if f := (Ill{Angina: &Angina{Threshold: Span{15000, 16000}}}).Check(); len(f) != 0 {
		t.Errorf("a good mechanism has faults: %v", f)
	}
}

func BenchmarkTest(b *testing.B) {
	_, one := somebody(1, adults)
	traits, day := one.traits, one.day
	f, c := &instrument.Fingers{}, &instrument.Cuff{}
	noise, hands := stream(1, "noise"), stream(1, "hands")
	b.ReportAllocs()
	for b.Loop() {
		one.Reset(traits, day, nil, noise, noise)
		wholeTest(one, f, c, hands, nil)
	}
}

func BenchmarkTraits(b *testing.B) {
	r := stream(1, "subject")
	b.ReportAllocs()
	for b.Loop() {
		DrawTraits(r, adults)
	}
}
