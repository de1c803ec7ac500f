package dialogue

import (
	"strings"
	"testing"

	"kilopond/exercises"
)

// teller shows events of the second stage, which began at 1000 s.
func teller(list bool) *dialogue {
	return &dialogue{o: Options{List: list}, at: inStage()}
}

func shown(d *dialogue, facts ...exercises.Fact) string {
	l := exercises.Line{AtS: 1040}
	for _, f := range facts {
		l.Events = append(l.Events, exercises.Event{AtS: 1040, Fact: f})
	}
	return strings.Join(d.show(l, 1020), "\n")
}

// Every kind of fact is told in words.
func TestShowTellsEveryFact(t *testing.T) {
	for want, fact := range map[string]exercises.Fact{
		"The plan hangs on the wall":              exercises.Prepared{Act: exercises.Check, What: "plan"},
		"You set it to zero.":                     exercises.Prepared{Act: exercises.Check, What: "brake"},
		"6 is sitting still":                      exercises.Prepared{Act: exercises.Explain, What: "scale"},
		"The large adult cuff is on the bare arm": exercises.Prepared{Act: exercises.Cuff, What: "large_adult"},
		"“Puffed.”":                               exercises.Said{Words: "Puffed.", To: "symptoms"},
		"  0:40 “Hang on.”":                       exercises.Said{Words: "Hang on.", Unasked: true},
		"Lips pale, grip slackens.":               exercises.Noticed{Words: "Lips pale, grip slackens."},
		"The scale shows 73.3 kg.":                exercises.Measured{What: "mass_kg", Value: 73.3},
		"Height 164 cm.":                          exercises.Measured{What: "height_cm", Value: 164},
		"32.1 cm around":                          exercises.Measured{What: "arm_cm", Value: 32.1},
		"bent by 35°":                             exercises.Measured{What: "knee_deg", Value: 35},
		"48 turns a minute.":                      exercises.Measured{What: "cadence_rpm", Value: 48},
		"The dial shows 1.5 kp.":                  exercises.Measured{What: "dial_kp", Value: 1.5},
		"pendulum shows −0.2 kp.":                 exercises.Measured{What: "brake_zero_kp", Value: -0.2},
		"it beats 50 a minute.":                   exercises.Measured{What: "metronome_rpm", Value: 50},
		"From beat zero to beat 30: 20.4 s":       exercises.BeatsTimed{Beats: 30, Tenths: 204},
		"(given up at beat 12)":                   exercises.BeatsTimed{Beats: 12, CutShort: true},
		"Points at 13. “Working a bit.”":          exercises.ExertionGiven{RPE: 13, Words: "Working a bit."},
		"Now on the cycle.":                       exercises.Seated{Where: "cycle"},
		"Decided: postpone.":                      exercises.Decided{What: "postpone"},
		"The metronome is silent.":                exercises.MetronomeSet{},
		"The metronome beats 50.":                 exercises.MetronomeSet{CadenceRPM: 50},
		"The dial stands at 2.0 kp.":              exercises.ResistanceSet{ResistanceKp: 2},
		"The pedals turn.":                        exercises.PedallingStarted{},
		"The pedals are still.":                   exercises.PedallingStopped{},
		"Stage 2 begins; the dial stands at":      exercises.StageStarted{Stage: 2, ResistanceKp: 1.5},
		"One more minute at this load.":           exercises.Extended{Stage: 2},
		"“With the beat, please.”":                exercises.Coached{},
		"The load is off.":                        exercises.TestEnded{How: exercises.Stop},
		"light pedalling goes on at 0.5 kp":       exercises.TestEnded{How: exercises.CoolDown, ResistanceKp: 0.5},
		"The ambulance is called.":                exercises.Called{Whom: "ambulance"},
		"The instructor is on the way.":           exercises.Called{Whom: "instructor"},
		"The person has left.":                    exercises.Released{},
		"stage 2, minute 1: beats 28":             exercises.Written{Item: 1, Key: exercises.KeyBeats, Text: "28", Stage: 2, Minute: 1},
		"recovery, minute 2: pressure 130/7":      exercises.Written{Item: 2, Key: exercises.KeyBP, Text: "130/70", Stage: exercises.RecoveryStage, Minute: 2},
		"Entry 4 is struck out.":                  exercises.Struck{Item: 4},
		"Handed in.":                              exercises.HandedIn{},
	} {
		got := shown(teller(false), fact)
		if !strings.Contains(got, want) {
			t.Errorf("%T is told as %q, want %q in it", fact, got, want)
		}
		for _, l := range strings.Split(got, "\n") {
			if n := len([]rune(l)); n > 80 {
				t.Errorf("%T: a line of %d columns: %s", fact, n, l)
			}
		}
	}
}

// readMarks counts back from the printed marks: row by row, the clock at the left, a column a tenth of a second.
func readMarks(t *testing.T, told string, startS int) []int {
	t.Helper()
	var tenths []int
	for _, row := range strings.Split(told, "\n") {
		at, ok := ReadClock(strings.TrimSpace(row[:6]))
		if !ok {
			t.Fatalf("row without a clock: %q", row)
		}
		for i, c := range row[7:] {
			if c == '|' {
				tenths = append(tenths, 10*(at-startS)+i)
			}
		}
	}
	return tenths
}

// The marks hold every beat at its tenth of a second, and no total; the list holds the same times.
func TestPulseHoldsEveryBeat(t *testing.T) {
	f := exercises.PulseFelt{Site: "radial", FromS: 1025, Seconds: 15, Tenths: []int{0, 5, 11, 49, 50, 51, 99, 100, 149}}
	told := shown(teller(false), f)
	got := readMarks(t, told, 25)
	if len(got) != len(f.Tenths) {
		t.Fatalf("%d marks, want %d:\n%s", len(got), len(f.Tenths), told)
	}
	for i := range got {
		if got[i] != f.Tenths[i] {
			t.Errorf("mark %d stands at %d tenths, want %d", i+1, got[i], f.Tenths[i])
		}
	}
	want := "  0:25 0.0, 0.5, 1.1, 4.9\n  0:30 5.0, 5.1, 9.9\n  0:35 10.0, 14.9"
	if list := shown(teller(true), f); list != want {
		t.Errorf("the list is\n%s\nwant\n%s", list, want)
	}
}

// A reading that was cut short: what it gave, what cut it short, and that it was given up.
func TestReadingCutShort(t *testing.T) {
	got := shown(teller(false), exercises.Said{Words: "Hang on.", Unasked: true},
		exercises.PulseFelt{FromS: 1036, Seconds: 4, Tenths: []int{3, 9}, CutShort: true})
	want := "  0:36    |     |\n  0:40 “Hang on.”\n(the count is given up after 4 s)"
	if got != want {
		t.Errorf("told as\n%s\nwant\n%s", got, want)
	}
	if got := shown(teller(false), exercises.PulseFelt{FromS: 1040, CutShort: true}); got != "(the count never begins)" {
		t.Errorf("told as\n%s", got)
	}
	got = shown(teller(false), exercises.CuffFell{TopMmHg: 180, ValveMmHgS: 3, Heard: "..", CutShort: true})
	want = "Pumped to 180. The needle falls:\n  178 .          176 .\n(the cuff is let down before its time)"
	if got != want {
		t.Errorf("told as\n%s\nwant\n%s", got, want)
	}
}

// A wait that ends early says so; one that does not says nothing.
func TestWaitEndsEarly(t *testing.T) {
	d := teller(false)
	for seconds, want := range map[int]string{20: "", 45: "(the wait ends here, 25 s early)"} {
		got := strings.Join(d.show(exercises.Line{AtS: 1040, Command: exercises.Command{Act: exercises.Wait, Seconds: seconds}}, 1020), "\n")
		if got != want {
			t.Errorf("a wait of %d s is told as %q, want %q", seconds, got, want)
		}
	}
}

// Each mark of the gauge stands with the word for what was heard, and with nothing that says what it means.
func TestCuffTellsSounds(t *testing.T) {
	f := exercises.CuffFell{FromS: 1000, TopMmHg: 160, ValveMmHgS: 3, Heard: ".cftskd."}
	want := "Pumped to 160. The needle falls:\n" +
		"  158 .          156 creak      154 faint tap  152 tap        150 swish\n" +
		"  148 knock      146 dull       144 .\nThe rest of the air is let out."
	if got := shown(teller(false), f); got != want {
		t.Errorf("told as\n%s\nwant\n%s", got, want)
	}
	want = "Pumped to 160. The needle falls:\n" +
		"  158 nothing; 156 creak; 154 faint tap; 152 tap; 150 swish\n  148 knock; 146 dull; 144 nothing\nThe rest of the air is let out."
	if got := shown(teller(true), f); got != want {
		t.Errorf("listed as\n%s\nwant\n%s", got, want)
	}
	for code := range heardAs {
		low := strings.ToLower(heardAs[code])
		for _, word := range []string{"phase", "systol", "diastol", "korotkoff", "muffl"} {
			if strings.Contains(low, word) {
				t.Errorf("the sound %c is told as %q, which names what it means", code, low)
			}
		}
	}
}

// Struck entries stay legible on the sheet.
func TestSheetKeepsStruckEntries(t *testing.T) {
	d := teller(false)
	d.at.Header.Subject = exercises.Subject{Name: "Oduya Merrin", Sex: "M", AgeY: 24}
	d.at.Items = []exercises.Item{
		{Number: 1, Key: exercises.KeyHR, Text: "96", Stage: 2, Minute: 1, Struck: true}, {Number: 2, Key: exercises.KeyHR, Text: "100", Stage: 2, Minute: 1},
	}
	got := strings.Join(d.sheet(), "\n")
	want := "Data sheet of Oduya Merrin, male, 24\n  1  stage 2, minute 1: heart rate 96 bpm (struck out)\n  2  stage 2, minute 1: heart rate 100 bpm"
	if got != want {
		t.Errorf("the sheet is\n%s\nwant\n%s", got, want)
	}
}
