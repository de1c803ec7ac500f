package grader

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// anyCommand is something that somebody at the prompt might do next, right or not.
func anyCommand(r *rand.Rand, s *exercises.State) exercises.Command {
	pick := func(list ...string) string { return list[r.IntN(len(list))] }
	kp := []float64{0, 0.5, 0.5, 1, 1.5, 2, 2.5, 3, 5, 7}[r.IntN(10)]
	switch r.IntN(24) {
	case 0:
		return exercises.Command{Act: exercises.Check, What: pick("brake", "metronome", "plan", "cadence", "dial")}
	case 1:
		return exercises.Command{Act: exercises.Explain, What: pick("test", "scale", "signals")}
	case 2, 3:
		return exercises.Command{Act: exercises.Ask, What: pick("health", "consent", "exertion", "symptoms")}
	case 4:
		return exercises.Command{Act: exercises.Measure, What: pick("mass", "height", "arm")}
	case 5:
		return exercises.Command{Act: exercises.Cuff, What: pick("small_adult", "adult", "large_adult", "thigh")}
	case 6:
		return exercises.Command{Act: exercises.Seat, What: pick("chair", "cycle", "cycle", "lying")}
	case 7:
		return exercises.Command{Act: exercises.Decide, What: pick("test", "test", "rest", "postpone", "refer", "refuse")}
	case 8, 9, 10:
		return exercises.Command{Act: exercises.Count, Seconds: []int{6, 10, 15, 30}[r.IntN(4)]}
	case 11:
		return exercises.Command{Act: exercises.Time, Beats: 30}
	case 12, 13:
		return exercises.Command{Act: exercises.Pressure, PumpMmHg: 60 + 2*r.IntN(100), ValveMmHgS: float64(1 + r.IntN(10))}
	case 14:
		return exercises.Command{Act: exercises.Wait, Seconds: 1 + r.IntN(120)}
	case 15:
		return exercises.Command{Act: exercises.Pedal}
	case 16, 17:
		return exercises.Command{Act: exercises.Stage, ResistanceKp: kp}
	case 18:
		return exercises.Command{Act: exercises.Resistance, ResistanceKp: kp}
	case 19:
		return exercises.Command{Act: exercises.Extend}
	case 20:
		if r.IntN(4) > 0 {
			return exercises.Command{Act: exercises.Look}
		}
		return exercises.Command{Act: exercises.CoolDown, ResistanceKp: kp}
	case 21:
		if r.IntN(6) > 0 {
			return exercises.Command{Act: exercises.Metronome, CadenceRPM: float64(10 * r.IntN(10))}
		}
		return exercises.Command{Act: exercises.Stop}
	case 22:
		if r.IntN(8) > 0 || s.EndedAtS < 0 {
			return exercises.Command{Act: exercises.Coach}
		}
		return exercises.Command{Act: exercises.Release}
	}
	keys := exercises.Keys()
	key := keys[r.IntN(len(keys))]
	text := fmt.Sprint(r.IntN(200))
	if key == exercises.KeyBP {
		text = fmt.Sprintf("%d/%d", 100+r.IntN(120), 40+r.IntN(60))
	}
	return exercises.Command{Act: exercises.Write, Entries: []exercises.Entry{{Key: key, Text: text, Stage: r.IntN(s.Stage+2) - 1, Minute: r.IntN(5)}}}
}

// TestWildAttempts lets somebody do anything in any order. Whatever comes of it, advice and verdict are given at every point, every
// finding is whole, no part earns more than could be reached, and the same attempt gets the same verdict twice.
func TestWildAttempts(t *testing.T) {
	book := Default()
	rode, staged, findings := 0, 0, map[string]int{}
	for _, id := range []caseID{well, chest, falls, unfit} {
		c := mustCase(t, string(id))
		for seed := range scenarios.Seed(40) {
			r := rand.New(rand.NewPCG(uint64(seed), 17))
			sc := c.Draw(seed)
			h := exercises.NewHeader(sc, book.JSON(), book.Hash(), "drill", false)
			session := exercises.Begin(h, sc)
			var lines []exercises.Line
			p := NewProctor(book)
			begin := r.IntN(3)
			for i := 0; i < 140 && !session.State().Closed; i++ {
				command := anyCommand(r, session.State())
				switch { // so that most of them come to ride
				case begin > 0 && i == 12:
					command = exercises.Command{Act: exercises.Seat, What: "cycle"}
				case begin > 0 && i == 13:
					command = exercises.Command{Act: exercises.Pedal}
				}
				line, err := session.Do(command)
				if err != nil {
					continue
				}
				lines = append(lines, line)
				if list := p.Acceptable(session.State()); len(list) == 0 {
					t.Fatalf("%s seed %d at %d s: no advice", id, seed, session.State().ClockS)
				}
			}
			for _, act := range []exercises.Act{exercises.Stop, exercises.Release, exercises.HandIn} {
				if line, err := session.Do(exercises.Command{Act: act}); err == nil {
					lines = append(lines, line)
				}
				course, err := Read(h, lines)
				if err != nil {
					t.Fatalf("%s seed %d: %v", id, seed, err)
				}
				first, again := Grade(book, course), Grade(book, course)
				if fmt.Sprintf("%+v", first.Findings) != fmt.Sprintf("%+v", again.Findings) {
					t.Errorf("%s seed %d: two verdicts on one attempt", id, seed)
				}
				for _, part := range first.Parts {
					if part.Earned < 0 || part.Earned > part.Reachable+0.02 || part.Reachable > part.Weight+0.02 {
						t.Errorf("%s seed %d: part %+v", id, seed, part)
					}
				}
				if act == exercises.HandIn && begun(course) {
					rode++
					if len(course.Stages) > 1 {
						staged++
					}
				}
				for _, f := range first.Findings {
					findings[f.Rule]++
					if f.Rule == "" || f.Where == "" || f.Known == "" || f.Did == "" || f.Should == "" || f.Why == "" {
						t.Errorf("%s seed %d: a part is missing: %+v", id, seed, f)
					}
				}
			}
		}
	}
	if rode < 80 || staged < 60 || len(findings) < 30 {
		t.Errorf("%d of 160 rode, %d had two stages, %d rules found something: too tame to say anything", rode, staged, len(findings))
	}
	t.Logf("%d of 160 rode, %d had two stages, %d rules found something", rode, staged, len(findings))
}
