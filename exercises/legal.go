package exercises

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

// A Refused says why a command cannot be done at all. Nothing happened and no time passed. What is possible but wrong is obeyed.
type Refused struct {
	What string // what and where
	Hint string // what to do
}

func (r *Refused) Error() string { return r.What }

func refuse(hint, format string, args ...any) *Refused {
	return &Refused{What: fmt.Sprintf(format, args...), Hint: hint}
}

// legal returns why the command cannot be done, or nil.
func (s *State) legal(c Command) *Refused {
	if s.Closed {
		return refuse("begin another with `kilopond drill`", "the sheet is handed in: nothing more can be done")
	}
	paper := c.Act == Write || c.Act == Strike || c.Act == HandIn
	if s.ReleasedAtS >= 0 && !paper {
		return refuse("write on the sheet, strike out, or hand in", "the person has left")
	}
	if whats, ok := durations[c.Act]; ok {
		if _, known := whats[c.What]; !known {
			return refuse("one of: "+strings.Join(sortedKeys(whats), ", "), "%s %q: not something to %s", c.Act, c.What, c.Act)
		}
	}
	switch c.Act {
	case Count, Time:
		return s.legalPulse(c)
	case Pressure:
		return s.legalPressure(c)
	case Helper:
		return s.legalHelp(c)
	case Monitor:
		if !monitored(s.Header) {
			return refuse("count 15 takes the pulse", "there is no monitor in this house")
		}
	case Wait:
		if c.Seconds < 1 || c.Seconds > longestWait {
			return refuse("for example: wait 20", "wait %d s: 1 to %d", c.Seconds, longestWait)
		}
	case Rest:
		switch {
		case c.Seconds < 1 || c.Seconds > longestRest:
			return refuse("for example: rest 5 (minutes)", "rest %d s: 1 to %d", c.Seconds, longestRest)
		case s.Pedalling:
			return refuse("end the test first", "nobody rests while pedalling")
		}
	case Metronome:
		if !(c.CadenceRPM >= 0 && c.CadenceRPM <= float64(instrument.MaxCadence)) {
			return refuse("0 is silent; the usual beat is 50", "metronome %v: 0 to %v", c.CadenceRPM, float64(instrument.MaxCadence))
		}
	case Resistance, Stage, CoolDown:
		return s.legalLoad(c)
	case Pedal:
		switch {
		case s.Where != "cycle":
			return refuse("seat cycle", "nobody is on the cycle")
		case s.EndedAtS >= 0:
			return refuse("the cool-down goes on by itself; a new test is another day", "the test has ended")
		case s.Pedalling:
			return refuse("stage 0.5 begins the first stage", "the pedals are turning already")
		}
	case Extend:
		if s.Phase() != Working {
			return refuse("stage 0.5 begins the first stage", "no stage is running")
		}
	case Coach:
		if !s.Pedalling {
			return refuse("pedal starts the warm-up", "the pedals are not turning")
		}
	case Stop:
		switch {
		case s.PedalFromS < 0:
			return refuse("decide postpone, refer or refuse sends the person home untested", "nothing is running")
		case s.EndedAtS >= 0 && !s.Pedalling:
			return refuse("watch, measure, and release when the time has come", "the pedals are still already")
		}
	case Check:
		if c.What == "cadence" && !s.Pedalling {
			return refuse("pedal starts the warm-up", "the pedals are not turning")
		}
		if c.What == "weight" && s.Pedalling {
			return refuse("hang it on before pedalling", "no weight can be hung on the brake while the wheel turns")
		}
		if c.What == "brake" && s.Pedalling {
			return refuse("the zero is set with the wheel at rest", "the brake's zero cannot be set while the wheel turns")
		}
	case Saddle:
		if s.Where != "cycle" || s.Pedalling {
			return refuse("seat cycle, before pedalling", "the saddle is set with the person on it and the pedals still")
		}
	case Seat:
		if s.Pedalling {
			return refuse("stop ends the test at once; cooldown 0.5 ends it with light pedalling", "the pedals are turning")
		}
	case Measure:
		if s.Pedalling {
			return refuse("after the test", "that cannot be measured while pedalling")
		}
	case Decide:
		if s.PedalFromS >= 0 && c.What != "test" {
			return refuse("stop or cooldown ends a test", "the test has begun")
		}
	case Release:
		if s.Pedalling {
			if s.EndedAtS >= 0 {
				return refuse("stop takes the load off and stills the pedals", "the pedals are turning")
			}
			return refuse("end the test first: cooldown 0.5, or stop", "the pedals are turning")
		}
	case Write:
		return s.legalWriting(c)
	case Strike:
		if c.Entry < 1 || c.Entry > len(s.Items) || s.Items[c.Entry-1].Struck {
			return refuse("sheet shows the numbers", "entry %d: not on the sheet, or struck out already", c.Entry)
		}
	case HandIn:
		if s.ReleasedAtS < 0 {
			return refuse("release, when the time has come", "the person is still here")
		}
	case Steady:
		switch s.Where {
		case "cycle":
		case "standing":
			return refuse("seat lying, or seat chair", "nobody who is about to fall is held up standing: take them down")
		default:
			return refuse("look, or measure", "the person is not on the cycle, and cannot fall from here")
		}
	case Greet, Explain, Ask, Cuff, Look, Call, Leave, Tell:
	default:
		return refuse("help lists what can be done", "%q: not something a proctor does here", string(c.Act))
	}
	return nil
}

func (s *State) legalPulse(c Command) *Refused {
	if c.What != "" && c.What != string(instrument.Radial) && c.What != string(instrument.Carotid) {
		return refuse("radial or carotid", "pulse at the %s: not a place to count here", c.What)
	}
	if c.Act == Time {
		if c.Beats < 10 || c.Beats > 60 {
			return refuse("for example: time 30 beats", "%d beats: 10 to 60", c.Beats)
		}
		return nil
	}
	return legalWindow(c.Seconds)
}

// legalWindow refuses a count of a length that nobody uses.
func legalWindow(seconds int) *Refused {
	if !slices.Contains([]int{6, 10, 15, 20, 30, 60}, seconds) {
		return refuse("for example: 15", "a count of %d s: 6, 10, 15, 20, 30 or 60", seconds)
	}
	return nil
}

func (s *State) legalPressure(c Command) *Refused {
	switch {
	case s.CuffOn == "":
		return refuse("cuff small, adult, large or thigh puts one on", "no cuff is on the arm")
	case c.PumpMmHg < instrument.MinPump || c.PumpMmHg > instrument.MaxPump:
		return refuse("for example: pressure pump 180 valve 3", "pump to %d mmHg: the gauge goes from %d to %d", c.PumpMmHg, instrument.MinPump, instrument.MaxPump)
	case !(c.ValveMmHgS >= instrument.MinValve && c.ValveMmHgS <= instrument.MaxValve):
		return refuse("for example: pressure pump 180 valve 3", "valve %v mmHg/s: %v to %v", c.ValveMmHgS, instrument.MinValve, instrument.MaxValve)
	}
	return nil
}

func (s *State) legalLoad(c Command) *Refused {
	if !(c.ResistanceKp >= 0 && unit.Resistance(c.ResistanceKp) <= instrument.MaxResistance) {
		return refuse("at 50 rpm each 0.5 kp is 150 kg·m/min", "resistance %v kp: this brake goes from 0 to %v", c.ResistanceKp, float64(instrument.MaxResistance))
	}
	if c.Act == Resistance {
		return nil
	}
	switch {
	case s.EndedAtS >= 0:
		return refuse("resistance turns the dial", "the test has ended")
	case !s.Pedalling:
		return refuse("seat cycle, then pedal", "the pedals are not turning")
	}
	return nil
}

// numeric are the keys whose entry must hold numbers.
var numeric = map[Key]bool{
	KeyAge: true, KeyMass: true, KeyHeight: true, KeyArm: true, KeyMaxHR: true, KeyCeiling: true, KeyCeilingCount: true, KeyBandCounts: true,
	KeyBeats: true, KeyHR: true, KeyBP: true, KeyRPE: true, KeyCadence: true, KeyResistance: true, KeyPoints: true, KeySlope: true,
	KeyMaxWorkRate: true, KeyVO2Abs: true, KeyVO2Rel: true, KeyMETs: true, KeyErrorRange: true,
}

// Keys lists every box of the sheet, in the order of the page.
func Keys() []Key {
	return []Key{
		KeyAge, KeyMass, KeyHeight, KeyArm, KeyMaxHR, KeyCeiling, KeyCeilingCount, KeyBandCounts,
		KeyBeats, KeyHR, KeyBP, KeyRPE, KeyCadence, KeyResistance, KeySymptoms, KeyReason, KeyHandOver,
		KeyPoints, KeySlope, KeyMaxWorkRate, KeyVO2Abs, KeyVO2Rel, KeyMETs, KeyRating, KeyErrorRange, KeyNoEstimate,
	}
}

var pressureText = regexp.MustCompile(`^\d{1,3}/\d{1,3}(/\d{1,3})?$`)

func (s *State) legalWriting(c Command) *Refused {
	if len(c.Entries) == 0 || len(c.Entries) > 12 {
		return refuse("for example: write beats 28, hr 112", "%d entries: 1 to 12 at a time", len(c.Entries))
	}
	for _, e := range c.Entries {
		switch {
		case !slices.Contains(Keys(), e.Key):
			return refuse("help write lists the boxes", "the sheet has no box %q", string(e.Key))
		case strings.TrimSpace(e.Text) == "" || len([]rune(e.Text)) > longest(e.Key) || !legible(e.Text):
			return refuse(fmt.Sprintf("1 to %d letters", longest(e.Key)), "%s: nothing to write, or too much", e.Key)
		case e.Key == KeyBP && !pressureText.MatchString(e.Text):
			return refuse("for example: write bp 148/72", "bp_mmhg %q: systolic/diastolic", e.Text)
		case e.Key != KeyBP && numeric[e.Key] && !numbers(e.Text):
			return refuse("a number, without its unit", "%s %q: not a number", e.Key, e.Text)
		case e.Stage < RecoveryStage || e.Stage > max(s.Stage, 0) || e.Minute < 0 || e.Minute > 60:
			return refuse("stages are numbered from 1", "stage %d, minute %d: not on this sheet", e.Stage, e.Minute)
		}
	}
	return nil
}

// longest is how many letters a box holds: a sentence in that of the hand-over.
func longest(k Key) int {
	if k == KeyHandOver {
		return 240
	}
	return 80
}

// legible reports whether a text reads back from the file as it was written and cannot turn a terminal about.
func legible(text string) bool {
	return utf8.ValidString(text) && strings.IndexFunc(text, func(r rune) bool { return !unicode.IsGraphic(r) }) < 0
}

// numbers reports whether a text is one finite number or several apart by blanks.
func numbers(text string) bool {
	for _, f := range strings.Fields(text) {
		if x, err := strconv.ParseFloat(f, 64); err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

func sortedKeys(m map[string]int) []string {
	var keys []string
	for k := range m {
		if k != "" {
			keys = append(keys, k)
		}
	}
	sort.Strings(keys)
	return keys
}
