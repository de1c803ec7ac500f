package exercises

import (
	"encoding/json"
	"math"
	"reflect"
	"testing"

	"kilopond/scenarios"
)

// helped is a session of the uneventful case with a crew.
func helped(t testing.TB, seed scenarios.Seed, book string) *Session {
	t.Helper()
	c, err := scenarios.Load("uneventful")
	if err != nil {
		t.Fatal(err)
	}
	sc := c.Draw(seed)
	return Begin(NewHeader(sc, json.RawMessage(book), "hash", "drill", false), sc)
}

// reports are those in the lines.
func reports(lines []Line) (all []HelperReported) {
	for _, l := range lines {
		for _, e := range l.Events {
			if r, ok := e.Fact.(HelperReported); ok {
				all = append(all, r)
			}
		}
	}
	return all
}

// A helper counts while the proctor takes a pressure: the report comes in its own time, once, and cuts nothing short.
func TestHelperWorksWhileTheProctorDoes(t *testing.T) {
	s := helped(t, 7, `{"crew": "pulse_helper"}`)
	toStage(t, s, 0.5)
	lines := do(t, s, Command{Act: Helper, What: "pulse", Seconds: 15}, Command{Act: Pressure, PumpMmHg: 200, ValveMmHgS: 3})
	all := reports(lines)
	if len(all) != 1 || all[0].Task != HelperPulse || all[0].ToS-all[0].FromS != 15 {
		t.Fatalf("reports: %+v", all)
	}
	last := lines[1].Events[len(lines[1].Events)-1].Fact.(CuffFell)
	if last.CutShort {
		t.Error("the report cut the pressure short")
	}
	if s.State().Reported == nil || s.State().Helping[HelperPulse] {
		t.Errorf("helping %v, reported %v", s.State().Helping, s.State().Reported)
	}
	again := reports(do(t, s, Command{Act: Helper, What: "again"}))
	if len(again) != 1 || !again[0].Again || again[0].FromS != all[0].FromS {
		t.Errorf("said once more: %+v", again)
	}
	replayed, err := Rebuild(s.State().Header, nil)
	if err != nil || replayed.Reported != nil {
		t.Errorf("%v, %+v", err, replayed.Reported)
	}
}

// What helpers report is near what they felt and heard, and wrong as often as the numbers say: miscounts and slips 14.5 %, readings to the nearest
// ten a quarter of the time and a fifth of the others by chance.
func TestHelpersAreHuman(t *testing.T) {
	const n = 300
	odd, tens, late, corrected := 0, 0, 0, 0
	for seed := range scenarios.Seed(n) {
		s := helped(t, seed, `{"crew": "both"}`)
		toStage(t, s, 0.5)
		do(t, s, Command{Act: Wait, Seconds: 120}, Command{Act: Helper, What: "pulse", Seconds: 30}, Command{Act: Helper, What: "pressure", PumpMmHg: 220})
		all := reports(do(t, s, Command{Act: Wait, Seconds: 120}))
		if len(all) != 2 {
			t.Fatalf("seed %d: %d reports", seed, len(all))
		}
		for i, r := range all {
			if r.Task == HelperPressure {
				if r.Systolic > 0 && r.Systolic%10 == 0 && r.Diastolic%10 == 0 {
					tens++
				}
				continue
			}
			if d := math.Abs(float64(r.Beats)*2 - over(s.truth.hr, r.FromS, r.ToS)); d > 28 {
				t.Errorf("seed %d: %d beats in 30 s of %.0f bpm", seed, r.Beats, over(s.truth.hr, r.FromS, r.ToS))
			} else if d > 5 {
				odd++
			}
			if i == 1 { // the pulse was sent for first and is done long before the pressure
				late++
			}
		}
		if r := s.lastReport; r.Beats != s.State().Reported.Beats || r.Systolic != s.State().Reported.Systolic {
			corrected++
			again := reports(do(t, s, Command{Act: Helper, What: "again"}))[0]
			if again.Beats != r.Beats || again.Systolic != r.Systolic {
				t.Errorf("seed %d: asked again, the slip stays: %+v", seed, again)
			}
		}
	}
	t.Logf("%d odd counts, %d readings in tens, %d counts reported after the pressure, %d slips in the last report, of %d", odd, tens, late, corrected, n)
	if odd < 8 || odd > 45 || tens < 55 || tens > 110 || corrected < 4 || corrected > 30 {
		t.Errorf("%d odd counts, %d readings in tens, %d slips", odd, tens, corrected)
	}
}

func TestHelpIsRefused(t *testing.T) {
	for _, c := range []struct {
		book string
		cmd  Command
	}{
		{`{}`, Command{Act: Helper, What: "pulse", Seconds: 15}},
		{`{"crew": "solo"}`, Command{Act: Helper, What: "pressure", PumpMmHg: 180}},
		{`{"crew": "pulse_helper"}`, Command{Act: Helper, What: "pressure", PumpMmHg: 180}},
		{`{"crew": "both"}`, Command{Act: Helper, What: "again"}},
		{`{"crew": "both"}`, Command{Act: Helper, What: "pulse", Seconds: 7}},
		{`{"crew": "both"}`, Command{Act: Helper, What: "pressure", PumpMmHg: 400}},
		{`{"crew": "both"}`, Command{Act: Helper, What: "tea"}},
		{`{"crew": 3}`, Command{Act: Helper, What: "pulse", Seconds: 15}},
		{`{}`, Command{Act: Monitor}},
	} {
		s := helped(t, 1, c.book)
		do(t, s, Command{Act: Greet}, Command{Act: Cuff, What: "adult"})
		before := s.State().ClockS
		if _, err := s.Do(c.cmd); err == nil || s.State().ClockS != before {
			t.Errorf("%s: %+v: %v, %d s passed", c.book, c.cmd, err, s.State().ClockS-before)
		}
	}
	s := helped(t, 1, `{"crew": "both"}`)
	do(t, s, Command{Act: Greet}, Command{Act: Helper, What: "pulse", Seconds: 60})
	if _, err := s.Do(Command{Act: Helper, What: "pulse", Seconds: 15}); err == nil {
		t.Error("one helper counts twice at once")
	}
	if _, err := s.Do(Command{Act: Helper, What: "pressure", PumpMmHg: 180}); err == nil {
		t.Error("a pressure without a cuff")
	}
}

// Helpers change nothing for the person, and an attempt with them replays as it was.
func TestHelpersLeaveThePersonAlone(t *testing.T) {
	with, without := helped(t, 3, `{"crew": "both"}`), helped(t, 3, `{"crew": "both"}`)
	var lines []Line
	lines = append(lines, toStage(t, with, 1)...)
	toStage(t, without, 1)
	lines = append(lines, do(t, with, Command{Act: Helper, What: "pulse", Seconds: 15}, Command{Act: Helper, What: "pressure", PumpMmHg: 200}, Command{Act: Wait, Seconds: 116})...)
	do(t, without, Command{Act: Wait, Seconds: 120})
	if with.body.Now() != without.body.Now() {
		t.Errorf("%+v, without helpers %+v", with.body.Now(), without.body.Now())
	}
	again, err := Rebuild(with.State().Header, lines)
	if err != nil || !reflect.DeepEqual(again, with.State()) {
		t.Errorf("replayed as another: %v", err)
	}
}

// Where the house has a monitor its display shows the rate, and a strap that slips something else at times.
func TestMonitorIsRead(t *testing.T) {
	s := helped(t, 2, `{"count": {"monitor": true}}`)
	toStage(t, s, 0.5)
	shown := do(t, s, Command{Act: Wait, Seconds: 60}, Command{Act: Monitor})[1].Events[0].Fact.(MonitorShown)
	if d := float64(shown.HRbpm) - float64(s.body.Now().HR); math.Abs(d) > 6 {
		t.Errorf("it shows %d at %.0f bpm", shown.HRbpm, float64(s.body.Now().HR))
	}
}
