package exercises

import (
	"encoding/json"
	"math"
	"slices"
	"testing"

	"kilopond/physiology/instrument"
	"kilopond/scenarios"
)

// roomed begins the uneventful test in a room with something wrong.
func roomed(t *testing.T, seed scenarios.Seed, room *scenarios.Room) *Session {
	t.Helper()
	c, err := scenarios.Load("uneventful")
	if err != nil {
		t.Fatal(err)
	}
	c.Room = room
	sc := c.Draw(seed)
	return Begin(NewHeader(sc, json.RawMessage(`{}`), "", "drill", false), sc)
}

func at(x float64) *scenarios.Range { return &scenarios.Range{Low: x, High: x} }

// read is the value that a check shows.
func read(t *testing.T, s *Session, what string) float64 {
	t.Helper()
	for _, e := range do(t, s, Command{Act: Check, What: what})[0].Events {
		if m, ok := e.Fact.(Measured); ok {
			return m.Value
		}
	}
	t.Fatalf("check %s showed nothing", what)
	return 0
}

// meanWork is the mean work rate over some seconds of 1.5 kp, in kg·m/min.
func meanWork(t *testing.T, s *Session, seconds int) float64 {
	t.Helper()
	from := len(s.truth.work)
	do(t, s, Command{Act: Wait, Seconds: seconds})
	for len(s.truth.work) < from+seconds {
		do(t, s, Command{Act: Wait, Seconds: from + seconds - len(s.truth.work)})
	}
	return over(s.truth.work, from, from+seconds)
}

func TestBrakeFaultsAreInTheForce(t *testing.T) {
	for seed := range scenarios.Seed(5) {
		well := roomed(t, seed, nil)
		toStage(t, well, 1.5)
		want := meanWork(t, well, 60)

		low := roomed(t, seed, &scenarios.Room{BrakeLow: at(0.2)})
		toStage(t, low, 1.5)
		if got := meanWork(t, low, 60); math.Abs(got-0.8*want) > 0.02*want {
			t.Errorf("seed %d: a brake 20 %% low works %.0f kg·m/min, a true one %.0f", seed, got, want)
		}
		if dial := read(t, low, "dial"); dial != 1.5 {
			t.Errorf("seed %d: its dial shows %v", seed, dial)
		}
		weighed := roomed(t, seed, &scenarios.Room{BrakeLow: at(0.2)})
		if kp := read(t, weighed, "weight"); kp != 2.5 {
			t.Errorf("seed %d: 2 kp show as %v on a scale that stands for a fifth less", seed, kp)
		}
		toStage(t, weighed, 1.5)
		even := roomed(t, seed, nil) // weighed too, so that the same seconds are compared
		if kp := read(t, even, "weight"); kp != 2 {
			t.Errorf("seed %d: 2 kp show as %v on a true scale", seed, kp)
		}
		toStage(t, even, 1.5)
		asWell := meanWork(t, even, 60)
		if got := meanWork(t, weighed, 60); math.Abs(got-asWell) > 0.02*asWell {
			t.Errorf("seed %d: set by the weight it works %.0f, want %.0f", seed, got, asWell)
		}

		slips := roomed(t, seed, &scenarios.Room{BrakeSlips: at(90)})
		toStage(t, slips, 1.5)
		before, after := meanWork(t, slips, 60), 0.0
		do(t, slips, Command{Act: Wait, Seconds: 60})
		after = meanWork(t, slips, 60)
		if math.Abs(before-want) > 0.02*want || after > 0.65*want || read(t, slips, "dial") > 1 {
			t.Errorf("seed %d: %.0f before the belt slips, %.0f after it, dial %v", seed, before, after, read(t, slips, "dial"))
		}

		drifts := roomed(t, seed, &scenarios.Room{BrakeDrift: at(0.05)})
		toStage(t, drifts, 1.5)
		do(t, drifts, Command{Act: Wait, Seconds: 170})
		crept := read(t, drifts, "dial")
		do(t, drifts, Command{Act: Resistance, ResistanceKp: 1.5})
		if again := read(t, drifts, "dial"); crept > 1.35 || again != 1.5 {
			t.Errorf("seed %d: after three minutes at 5 %% a minute the dial shows %v, set again %v", seed, crept, again)
		}
	}
}

func TestMetronomeOff(t *testing.T) {
	for seed := range scenarios.Seed(5) {
		s := roomed(t, seed, &scenarios.Room{Metronome: at(5)})
		toStage(t, s, 0.5)
		do(t, s, Command{Act: Wait, Seconds: 30})
		if got := read(t, s, "cadence"); got < 52 || got > 58 {
			t.Errorf("seed %d: pedals at %v to a beat of 55", seed, got)
		}
		if shown := read(t, s, "metronome"); shown != 55 {
			t.Errorf("seed %d: by the watch it beats %v", seed, shown)
		}
		do(t, s, Command{Act: Wait, Seconds: 30})
		if got := read(t, s, "cadence"); got < 47 || got > 53 {
			t.Errorf("seed %d: set right, pedals at %v", seed, got)
		}
	}
}

// pressures reads the pressure at rest so many times, with five minutes between, and returns the mean of systolic and diastolic and the seconds taken.
func pressures(t *testing.T, room *scenarios.Room, first ...Command) (sys, dia, took float64) {
	t.Helper()
	n := 0.0
	for seed := range scenarios.Seed(240) {
		s := roomed(t, seed, room)
		do(t, s, Command{Act: Greet}, Command{Act: Cuff, What: string(instrument.FittingCuff(s.subject.Traits.Arm))}, Command{Act: Seat, What: "chair"})
		do(t, s, first...)
		do(t, s, Command{Act: Rest, Seconds: 300})
		before := s.state.ClockS
		cuff := do(t, s, Command{Act: Pressure, PumpMmHg: 190, ValveMmHgS: 2})[0].Events[0].Fact.(CuffFell)
		x := instrument.ReadSounds(cuff.TopMmHg, cuff.ValveMmHgS, cuff.Heard)
		sys, dia, took, n = sys+float64(x.Systolic), dia+float64(x.Diastolic), took+float64(s.state.ClockS-before), n+1
	}
	return sys / n, dia / n, took / n
}

// Gauge and arm shift both numbers by their own size; a leak lets the needle fall faster, reads systolic low and diastolic high; each check ends it.
func TestCuffFaultsAreInTheReadings(t *testing.T) {
	sys, dia, took := pressures(t, nil)
	for _, c := range []struct {
		name, check string
		room        *scenarios.Room
		low, high   float64
	}{{"gauge at +12", "gauge", &scenarios.Room{GaugeZero: at(12)}, 11, 13}, {"arm 15 cm low", "arm", &scenarios.Room{ArmBelowCM: at(15)}, 10.7, 12.7}} {
		s, d, _ := pressures(t, c.room)
		if s-sys < c.low || s-sys > c.high || d-dia < c.low || d-dia > c.high {
			t.Errorf("%s: %+.1f/%+.1f mmHg, want %v to %v", c.name, s-sys, d-dia, c.low, c.high)
		}
		if s, d, _ := pressures(t, c.room, Command{Act: Check, What: c.check}); math.Abs(s-sys) > 1 || math.Abs(d-dia) > 1 {
			t.Errorf("%s: after the check still %+.1f/%+.1f mmHg", c.name, s-sys, d-dia)
		}
	}
	leak := &scenarios.Room{CuffLeak: at(4)}
	s, d, fast := pressures(t, leak)
	if s >= sys-0.5 || d <= dia+0.5 || fast > 0.6*took {
		t.Errorf("a leak of 4 mmHg/s: %+.1f/%+.1f mmHg, %.0f s instead of %.0f", s-sys, d-dia, fast, took)
	}
	if s, _, slow := pressures(t, leak, Command{Act: Check, What: "cuff"}); math.Abs(s-sys) > 1 || math.Abs(slow-took) > 3 {
		t.Errorf("with the spare cuff %+.1f mmHg and %.0f s instead of %.0f", s-sys, slow, took)
	}
}

// With nothing wrong in the room, every check shows what it should.
func TestASoundRoomReadsTrue(t *testing.T) {
	s := roomed(t, 1, nil)
	for what, want := range map[string]float64{"weight": 2, "metronome": 50, "cuff": 0, "gauge": 0, "arm": 0} {
		if got := read(t, s, what); got != want {
			t.Errorf("check %s shows %v, want %v", what, got, want)
		}
	}
}

// The strap of the library's slipping monitor shows nothing, half and double by turns where a house has one; where it has none, nothing slipped.
func TestTheLibrarysMonitorSlips(t *testing.T) {
	c, err := scenarios.Load("thursday-five")
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		rules string
		slips bool
	}{{`{"count": {"monitor": true}}`, true}, {`{}`, false}} {
		sc := c.Draw(1)
		s := Begin(NewHeader(sc, json.RawMessage(x.rules), "", "drill", false), sc)
		if told := slices.Contains(s.Subject().Truth().Room, "the monitor's strap slipped"); told != x.slips {
			t.Errorf("rules %s: the truth says that the strap slipped: %v", x.rules, told)
		}
		if !x.slips {
			continue
		}
		toStage(t, s, 1)
		shown := map[string]int{}
		for range 20 {
			for _, e := range do(t, s, Command{Act: Monitor})[0].Events {
				if m, ok := e.Fact.(MonitorShown); ok {
					switch share := float64(m.HRbpm) / float64(s.body.Now().HR); {
					case m.HRbpm == 0:
						shown["nothing"]++
					case share < 0.6:
						shown["half"]++
					case share > 1.7:
						shown["double"]++
					case share > 0.9 && share < 1.1:
						shown["right"]++
					}
				}
			}
			do(t, s, Command{Act: Wait, Seconds: 9})
		}
		if len(shown) != 4 || shown["right"]+shown["nothing"]+shown["half"]+shown["double"] != 20 {
			t.Errorf("in 20 looks the display showed %v", shown)
		}
	}
}
