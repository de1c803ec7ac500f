package grader

import (
	"fmt"
	"sort"
	"strings"

	"kilopond/exercises"
	"kilopond/physiology/instrument"
)

// timeline is what was seen and done, in order, with what could have been done where a finding says so.
func timeline(b Rulebook, c *Course, findings []Finding) []Moment {
	rows := []Moment{}
	for _, e := range c.State.Events {
		seen, done := momentOf(c, e)
		if seen == "" && done == "" {
			continue
		}
		if n := len(rows); n > 0 && rows[n-1].AtS == e.AtS && rows[n-1].Seen == "" && done == "" {
			rows[n-1].Seen, rows[n-1].Kind = seen, kindOf(e)
			continue
		}
		rows = append(rows, Moment{AtS: e.AtS, Where: where(c, e.AtS), Kind: kindOf(e), Seen: seen, Done: done})
	}
	for _, f := range findings {
		if f.ChargedTo != "" || f.Part == Arithmetic {
			continue
		}
		rows = append(rows, Moment{AtS: f.AtS, Where: where(c, f.AtS), Kind: KindCould, Could: f.Rule + ": " + f.Should})
	}
	sort.SliceStable(rows, func(i, j int) bool { return rows[i].AtS < rows[j].AtS })
	return rows
}

// kindOf sorts an event.
func kindOf(e exercises.Event) Kind {
	switch f := e.Fact.(type) {
	case exercises.Said:
		if f.Unasked {
			return KindSaid
		}
		return KindAnswered
	case exercises.Noticed:
		if f.Unasked {
			return KindShowed
		}
		return KindLooked
	case exercises.PulseFelt, exercises.BeatsTimed, exercises.CuffFell, exercises.HelperReported, exercises.MonitorShown, exercises.ExertionGiven, exercises.Measured:
		return KindRead
	}
	return KindDone
}

// momentOf says in a few words what an event was; both empty for what needs no row.
func momentOf(c *Course, e exercises.Event) (seen, done string) {
	switch f := e.Fact.(type) {
	case exercises.Said:
		if f.To == "health" {
			return "", ""
		}
		return "“" + f.Words + "”", ""
	case exercises.Noticed:
		return f.Words, ""
	case exercises.PulseFelt:
		if f.CutShort {
			return fmt.Sprintf("%d beats", len(f.Tenths)), fmt.Sprintf("a count, given up after %d s", f.Seconds)
		}
		return fmt.Sprintf("%d beats", len(f.Tenths)), fmt.Sprintf("counted %d s", f.Seconds)
	case exercises.BeatsTimed:
		return fmt.Sprintf("%d beats in %.1f s", f.Beats, float64(f.Tenths)/10), "timed the pulse"
	case exercises.CuffFell:
		s := instrument.ReadSounds(f.TopMmHg, f.ValveMmHgS, f.Heard)
		done = fmt.Sprintf("pressure from %d mmHg", f.TopMmHg)
		switch {
		case f.CutShort:
			return "", done + ", given up"
		case !s.Any:
			return "nothing heard", done
		case s.HeardAtOnce:
			return "sounds at once", done
		}
		return s.String() + " mmHg", done
	case exercises.HelperSent:
		return "", "asked the helper for a " + string(f.Task)
	case exercises.HelperReported:
		return "the helper: “" + f.Words + "”", ""
	case exercises.MonitorShown:
		return fmt.Sprintf("%d bpm", f.HRbpm), "read the monitor"
	case exercises.ExertionGiven:
		return fmt.Sprintf("exertion %d", f.RPE), ""
	case exercises.Measured:
		return readOff(f), ""
	case exercises.Decided:
		return "", "decided: " + f.What
	case exercises.PedallingStarted:
		return "", "pedalling began"
	case exercises.PedallingStopped:
		return "", "pedals still"
	case exercises.StageStarted:
		return "", fmt.Sprintf("stage %d at %s kp", f.Stage, plainNumber(f.ResistanceKp))
	case exercises.ResistanceSet:
		return "", fmt.Sprintf("dial to %s kp", plainNumber(f.ResistanceKp))
	case exercises.Extended:
		return "", "one more minute"
	case exercises.Coached:
		return "", "asked for the rhythm"
	case exercises.TestEnded:
		if f.How == exercises.Stop {
			return "", "ended the test at once"
		}
		return "", fmt.Sprintf("ended the test, cool-down at %s kp", plainNumber(f.ResistanceKp))
	case exercises.Left:
		return "", fmt.Sprintf("left the person alone for %d s", f.Seconds)
	case exercises.Prepared:
		switch f.Act {
		case exercises.Steady:
			return "", "held the person on the cycle"
		case exercises.Tell:
			return "", "told the person: " + f.What
		}
	case exercises.Called:
		return "", "called: " + f.Whom
	case exercises.Seated:
		return "", "the person " + takesPlace[f.Where]
	case exercises.Released:
		return "", "let the person go"
	}
	return "", ""
}

// takesPlace says where the person went.
var takesPlace = map[string]string{"chair": "sat down on the chair", "cycle": "took place on the cycle", "lying": "lay down", "standing": "stood up"}

// readOff says what a number was that was read off something other than pulse and cuff.
func readOff(m exercises.Measured) string {
	form, ok := map[string]string{
		"mass_kg": "mass %s kg", "height_cm": "height %s cm", "arm_cm": "arm %s cm around", "knee_deg": "knee bent %s°",
		"cadence_rpm": "cadence %s rpm", "dial_kp": "the dial at %s kp", "brake_zero_kp": "unloaded, the brake showed %s kp",
		"weight_kp": "with 2 kp hung on it the brake showed %s kp", "cuff_leak_mmhg_s": "with the valve shut the needle fell %s mmHg/s",
		"gauge_zero_mmhg": "without pressure the needle stood at %s mmHg", "arm_below_cm": "the cuff lay %s cm below the heart",
		"metronome_rpm": "metronome %s a minute by the watch",
	}[m.What]
	if !ok {
		form = strings.ReplaceAll(m.What, "_", " ") + " %s"
	}
	return fmt.Sprintf(form, strings.Replace(plainNumber(m.Value), "-", "−", 1))
}
