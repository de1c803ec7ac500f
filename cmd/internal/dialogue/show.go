package dialogue

import (
	"fmt"
	"strings"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/scenarios"
)

// givenUp says that a reading was cut short.
func givenUp(e exercises.Event) []string {
	switch f := e.Fact.(type) {
	case exercises.PulseFelt:
		if f.CutShort {
			if f.Seconds == 0 {
				return []string{"(the count never begins)"}
			}
			return []string{fmt.Sprintf("(the count is given up after %d s)", f.Seconds)}
		}
	case exercises.BeatsTimed:
		if f.CutShort {
			return []string{fmt.Sprintf("(given up at beat %d)", f.Beats)}
		}
	case exercises.CuffFell:
		if f.CutShort {
			return []string{"(the cuff is let down before its time)"}
		}
	}
	return nil
}

// event tells one event.
func (d *dialogue) event(e exercises.Event) []string {
	switch f := e.Fact.(type) {
	case exercises.Said:
		return d.said(e.AtS, f)
	case exercises.Noticed:
		return wrap(f.Words, width, "")
	case exercises.ExertionGiven:
		return wrap(fmt.Sprintf("Points at %d. “%s”", f.RPE, f.Words), width, "")
	case exercises.HelperSent:
		return []string{map[exercises.Task]string{
			exercises.HelperPulse: "The helper takes the wrist.", exercises.HelperPressure: "The helper pumps up the cuff."}[f.Task]}
	case exercises.HelperReported:
		at := max(0, e.AtS-d.state().PhaseFromS())
		return render.Wrap("The helper: “"+f.Words+"”", width, fmt.Sprintf("%6s ", render.Clock(at)), strings.Repeat(" ", 7))
	case exercises.MonitorShown:
		if f.HRbpm == 0 {
			return []string{"The display shows no number."}
		}
		return []string{fmt.Sprintf("The display shows %d.", f.HRbpm)}
	case exercises.Written:
		return []string{fmt.Sprintf("%3d  %s", f.Item, entryText(f.Key, f.Text, f.Stage, f.Minute))}
	case exercises.Struck:
		return []string{fmt.Sprintf("Entry %d is struck out.", f.Item)}
	case exercises.Prepared:
		if f.Act == exercises.Check && setRight[f.What].measured != "" {
			return []string{d.checked(f.What)}
		}
	}
	var out []string
	for _, line := range plainEvent(e) {
		out = append(out, wrap(line, width, "")...)
	}
	return out
}

// said tells speech: an answer under its question, unasked speech with its time.
func (d *dialogue) said(atS int, f exercises.Said) []string {
	switch {
	case f.Unasked:
		s := d.state()
		return render.Wrap("“"+f.Words+"”", width, fmt.Sprintf("%6s ", render.Clock(max(0, atS-s.PhaseFromS()))), strings.Repeat(" ", 7))
	case f.To == "health":
		for _, q := range scenarios.Questions() {
			if q.Key == f.About {
				return append(wrap(q.Text, width, ""), wrap("“"+f.Words+"”", width, "    ")...)
			}
		}
	}
	return wrap("“"+f.Words+"”", width, "")
}

// plainEvent tells what needs one line.
func plainEvent(e exercises.Event) []string {
	switch f := e.Fact.(type) {
	case exercises.Prepared:
		return prepared(f)
	case exercises.Measured:
		return []string{measured(f)}
	case exercises.Seated:
		return []string{"Now " + seat(f.Where) + "."}
	case exercises.Decided:
		return []string{"Decided: " + f.What + "."}
	case exercises.MetronomeSet:
		if f.CadenceRPM == 0 {
			return []string{"The metronome is silent."}
		}
		return []string{fmt.Sprintf("The metronome beats %s.", number(f.CadenceRPM))}
	case exercises.ResistanceSet:
		return []string{fmt.Sprintf("The dial stands at %s.", kp(f.ResistanceKp))}
	case exercises.PedallingStarted:
		return []string{"The pedals turn."}
	case exercises.PedallingStopped:
		return []string{"The pedals are still."}
	case exercises.StageStarted:
		return []string{fmt.Sprintf("Stage %d begins; the dial stands at %s.", f.Stage, kp(f.ResistanceKp))}
	case exercises.Extended:
		return []string{"One more minute at this load."}
	case exercises.Coached:
		return []string{"“With the beat, please.”"}
	case exercises.TestEnded:
		if f.How == exercises.Stop {
			return []string{"The load is off."}
		}
		return []string{fmt.Sprintf("The test is over; light pedalling goes on at %s.", kp(f.ResistanceKp))}
	case exercises.Called:
		return []string{map[string]string{"instructor": "The instructor is on the way.", "ambulance": "The ambulance is called.", "defibrillator": "Somebody brings the defibrillator and puts it down beside you."}[f.Whom]}
	case exercises.Left:
		return []string{fmt.Sprintf("You are back after %d s.", f.Seconds)}
	case exercises.Released:
		return wrap("The person has left. The sheet is yours: predicted maximum, ceiling, points used, slope, maximal work rate, VO2max, METs, rating, error range, the reason for ending. `help write` lists the boxes; `hand in` when all is there.", width, "")
	case exercises.HandedIn:
		return []string{"Handed in."}
	}
	return nil
}

func prepared(f exercises.Prepared) []string {
	switch {
	case f.Act == exercises.Steady:
		return []string{"You hold the person on the cycle, a hand on the back and one on the arm."}
	case f.Act == exercises.Tell:
		return []string{map[string]string{
			"result":   "You say what came out, how far it may be off, and that it is no finding of a doctor.",
			"doctor":   "You say what was read and felt today, and ask the person to show it to their own doctor.",
			"cause":    "You say what you think is behind it.",
			"medicine": "You say that the medicine had better be left out.",
		}[f.What]}
	case f.Act == exercises.Explain:
		return []string{map[string]string{
			"test":    "You explain the stages, the pulse, the cuff, and that it ends well short of all-out.",
			"scale":   "You explain the scale: 6 is sitting still, 20 is the most that could ever be done.",
			"signals": "You agree how to stop: say so, or let go of the bar; and what to tell you at once.",
		}[f.What]}
	case f.Act == exercises.Check && f.What == "plan":
		return []string{"The plan hangs on the wall: who is called, by which telephone, where the defibrillator is."}
	case f.Act == exercises.Cuff:
		return []string{fmt.Sprintf("The %s cuff is on the bare arm, its line over the artery.", strings.ReplaceAll(f.What, "_", " "))}
	case f.Act == exercises.Rest:
		return []string{"The rest is over."}
	}
	return nil
}

func measured(f exercises.Measured) string {
	v := number(f.Value)
	switch f.What {
	case "mass_kg":
		return "The scale shows " + v + " kg."
	case "height_cm":
		return "Height " + v + " cm."
	case "arm_cm":
		return "Middle of the upper arm: " + v + " cm around."
	case "knee_deg":
		return "At the lowest point the knee is bent by " + v + "°."
	case "cadence_rpm":
		return v + " turns a minute."
	case "dial_kp":
		return "The dial shows " + kp(f.Value) + "."
	case "brake_zero_kp":
		return "With the wheel at rest the pendulum shows " + strings.Replace(kp(f.Value), "-", "−", 1) + "."
	case "weight_kp":
		return "With 2 kp hung on the brake its scale shows " + kp(f.Value) + "."
	case "cuff_leak_mmhg_s":
		return "Pumped up and shut, the needle falls by " + v + " mmHg a second."
	case "gauge_zero_mmhg":
		return "With no pressure in the cuff the needle stands at " + strings.Replace(v, "-", "−", 1) + " mmHg."
	case "arm_below_cm":
		return "The middle of the cuff lies " + strings.Replace(v, "-", "−", 1) + " cm below the heart."
	case "metronome_rpm":
		if f.Value != 50 {
			return "By your watch it beats " + v + " a minute on 50. You set it right."
		}
		return "By your watch it beats " + v + " a minute."
	}
	return f.What + " " + v
}
