package dialogue

import (
	"math"
	"strings"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// A verb is one thing that can be typed.
type verb struct {
	name  string
	group string // where help lists it
	usage string
	says  string // what it does, in a sentence
	parse func(args []string, s *exercises.State) (exercises.Command, *Problem)
}

// synonyms are other words of the trade for the same thing.
var synonyms = map[string]string{
	"rpe": "exertion", "bp": "pressure", "pulse": "count", "weigh": "mass", "start": "pedal", "next": "stage",
	"load": "resistance", "dial": "resistance", "end": "cooldown", "observe": "look", "handin": "hand_in",
}

const (
	groupRoom    = "The room"
	groupPerson  = "The person"
	groupMeasure = "Measuring"
	groupTest    = "The test"
	groupPaper   = "The sheet"
)

// verbs is filled once; it refers to functions that look at it for hints.
var verbs = []verb{
	{"check", groupRoom, "check brake | metronome | plan | cadence | dial", "Set the brake to zero, time the metronome, read the emergency plan; while pedalling, count the cadence or read the dial.", oneOf(exercises.Check, "brake", "metronome", "plan", "cadence", "dial")},
	{"metronome", groupRoom, "metronome 50", "Set the beat that the person follows; 0 is silent.", single(exercises.Metronome, "metronome 50", func(c *exercises.Command, x float64) { c.CadenceRPM = x }, "rpm")},
	{"greet", groupPerson, "greet", "Ask the person in.", bare(exercises.Greet)},
	{"explain", groupPerson, "explain test | scale | signals", "Explain the test, the scale of exertion (6 to 20), the signals to stop.", oneOf(exercises.Explain, "test", "scale", "signals")},
	{"ask", groupPerson, "ask health | consent | exertion | symptoms", "Put the health questions, ask for consent, for a rating of exertion, how they feel.", oneOf(exercises.Ask, "health", "consent", "exertion", "symptoms")},
	{"decide", groupPerson, "decide test | rest | postpone | refer | refuse", "Your answer to the screening: test today, rest and measure again, another day, to a doctor first, no test.", oneOf(exercises.Decide, "test", "rest", "postpone", "refer", "refuse")},
	{"seat", groupPerson, "seat chair | cycle | lying", "Where the person sits or lies.", oneOf(exercises.Seat, "chair", "cycle", "lying")},
	{"saddle", groupPerson, "saddle | saddle up | saddle down", "Look at the bend of the knee at the lowest point; raise or lower the saddle by a notch.", optional(exercises.Saddle, "up", "down")},
	{"rest", groupPerson, "rest 5", "Let the person sit quietly, in minutes.", parseRest},
	{"look", groupPerson, "look", "Look at the person: colour, breathing, grip, legs.", bare(exercises.Look)},
	{"coach", groupPerson, "coach", "Ask the person to take up the rhythm again.", bare(exercises.Coach)},
	{"call", groupPerson, "call instructor | ambulance", "Call for help.", oneOf(exercises.Call, "instructor", "ambulance")},
	{"release", groupPerson, "release", "Let the person go home.", bare(exercises.Release)},
	{"measure", groupMeasure, "measure mass | height | arm", "Weigh, measure the height, the girth of the middle of the upper arm.", oneOf(exercises.Measure, "mass", "height", "arm")},
	{"cuff", groupMeasure, "cuff small_adult | adult | large_adult | thigh", "Put a cuff on the bare arm. Its printed range is for the girth of the arm: 22–26, 27–34, 35–44, 45–52 cm.", parseCuff},
	{"count", groupMeasure, "count 15 [carotid]", "Count the pulse by the watch, in seconds. Each mark is a beat; the counting is yours.", parseCount},
	{"time", groupMeasure, "time 30 beats", "Time so many beats, the first called zero.", single(exercises.Time, "time 30 beats", func(c *exercises.Command, x float64) { c.Beats = int(x) }, "beats")},
	{"pressure", groupMeasure, "pressure pump 180 valve 3", "Pump the cuff to so many mmHg and let it down at so many mmHg a second. You hear what is heard as the needle falls past each mark.", parsePressure},
	{"wait", groupMeasure, "wait 20", "Let seconds pass, facing the person.", single(exercises.Wait, "wait 20", func(c *exercises.Command, x float64) { c.Seconds = int(math.Round(x)) }, "s", "seconds")},
	{"until", groupMeasure, "until 1:45", "Let time pass up to a time on the clock that the prompt shows.", parseUntil},
	{"pedal", groupTest, "pedal", "Pedalling begins, at the resistance that is set: the warm-up.", bare(exercises.Pedal)},
	{"stage", groupTest, "stage 0.5", "Turn the dial, in kp, and begin the next stage.", func(a []string, _ *exercises.State) (exercises.Command, *Problem) {
		return load(exercises.Stage, a, "stage 0.5 turns the dial to 0.5 kp and begins the next stage")
	}},
	{"resistance", groupTest, "resistance 1.0", "Turn the dial without beginning a stage.", func(a []string, _ *exercises.State) (exercises.Command, *Problem) {
		return load(exercises.Resistance, a, "resistance 1.0 turns the dial to 1.0 kp")
	}},
	{"extend", groupTest, "extend", "One more minute at the same load.", bare(exercises.Extend)},
	{"cooldown", groupTest, "cooldown 0.5", "End the test; light pedalling goes on at so many kp.", func(a []string, _ *exercises.State) (exercises.Command, *Problem) {
		return load(exercises.CoolDown, a, "cooldown 0.5 ends the test with light pedalling at 0.5 kp")
	}},
	{"stop", groupTest, "stop", "End the test at once: load off, pedals still, the person steadied. In recovery it ends the light pedalling.", bare(exercises.Stop)},
	{"strike", groupPaper, "strike 4", "Strike out entry 4; it stays legible. Then write it again.", single(exercises.Strike, "strike 4", func(c *exercises.Command, x float64) { c.Entry = int(x) })},
	{"hand_in", groupPaper, "hand in", "Hand in the sheet. Then the report comes.", bare(exercises.HandIn)},
	{"exertion", "", "ask exertion", "Ask for a rating of exertion.", fixed(exercises.Command{Act: exercises.Ask, What: "exertion"})},
	{"symptoms", "", "ask symptoms", "Ask how the person feels.", fixed(exercises.Command{Act: exercises.Ask, What: "symptoms"})},
	{"health", "", "ask health", "Put the health questions.", fixed(exercises.Command{Act: exercises.Ask, What: "health"})},
	{"consent", "", "ask consent", "Ask for consent.", fixed(exercises.Command{Act: exercises.Ask, What: "consent"})},
	{"mass", "", "measure mass", "Weigh the person.", fixed(exercises.Command{Act: exercises.Measure, What: "mass"})},
}

func verbNames() []string {
	names := []string{"write", "help", "rules", "sheet", "quit"}
	for name := range verbIndex() {
		names = append(names, name)
	}
	return names
}

func verbIndex() map[string]verb {
	all := map[string]verb{}
	for _, v := range verbs {
		all[v.name] = v
	}
	return all
}

func usageOf(name string) string {
	if v, ok := verbIndex()[name]; ok {
		return v.usage
	}
	return name
}

// bare is a verb that takes nothing.
func bare(act exercises.Act) func([]string, *exercises.State) (exercises.Command, *Problem) {
	return func(args []string, _ *exercises.State) (exercises.Command, *Problem) {
		if len(args) > 0 {
			return exercises.Command{}, problem("type it alone", "“%s” takes nothing after it.", strings.ReplaceAll(string(act), "_", " "))
		}
		return exercises.Command{Act: act}, nil
	}
}

func fixed(c exercises.Command) func([]string, *exercises.State) (exercises.Command, *Problem) {
	return func([]string, *exercises.State) (exercises.Command, *Problem) { return c, nil }
}

// oneOf is a verb that takes one word of a list.
func oneOf(act exercises.Act, whats ...string) func([]string, *exercises.State) (exercises.Command, *Problem) {
	return func(args []string, _ *exercises.State) (exercises.Command, *Problem) {
		hint := "one of: " + strings.Join(whats, ", ")
		if len(args) != 1 {
			return exercises.Command{}, problem(hint, "%s what?", capital(string(act)))
		}
		for _, w := range whats {
			if args[0] == w {
				return exercises.Command{Act: act, What: w}, nil
			}
		}
		if near := scenarios.Nearest(args[0], whats); near != "" {
			hint = "did you mean " + string(act) + " " + near + "?"
		}
		return exercises.Command{}, problem(hint, "“%s” is not something to %s.", args[0], act)
	}
}

// optional is a verb that takes one word of a list, or none.
func optional(act exercises.Act, whats ...string) func([]string, *exercises.State) (exercises.Command, *Problem) {
	one := oneOf(act, whats...)
	return func(args []string, s *exercises.State) (exercises.Command, *Problem) {
		if len(args) == 0 {
			return exercises.Command{Act: act}, nil
		}
		return one(args, s)
	}
}

// single is a verb that takes one number.
func single(act exercises.Act, usage string, set func(*exercises.Command, float64), units ...string) func([]string, *exercises.State) (exercises.Command, *Problem) {
	return func(args []string, _ *exercises.State) (exercises.Command, *Problem) {
		found, rest := numbersIn(args, units...)
		if len(found) != 1 || len(rest) > 0 || math.Abs(found[0]) > 1e6 || math.IsNaN(found[0]) {
			return exercises.Command{}, problem("for example: "+usage, "One number belongs here.")
		}
		c := exercises.Command{Act: act}
		set(&c, found[0])
		return c, nil
	}
}

func parseRest(args []string, _ *exercises.State) (exercises.Command, *Problem) {
	found, rest := numbersIn(args, "min", "minutes", "minute")
	if len(found) != 1 || len(rest) > 0 || !(found[0] > 0 && found[0] < 1000) {
		return exercises.Command{}, problem("for example: rest 5", "How many minutes?")
	}
	return exercises.Command{Act: exercises.Rest, Seconds: int(math.Round(60 * found[0]))}, nil
}

func parseUntil(args []string, s *exercises.State) (exercises.Command, *Problem) {
	if len(args) != 1 {
		return exercises.Command{}, problem("for example: until 1:45", "Until when?")
	}
	at, ok := parseClock(args[0])
	if !ok {
		return exercises.Command{}, problem("minutes and seconds, for example: until 1:45", "“%s” is not a time.", args[0])
	}
	left := at - (s.ClockS - s.PhaseFromS())
	if left <= 0 {
		return exercises.Command{}, problem("wait 20 lets seconds pass", "%s is past.", args[0])
	}
	return exercises.Command{Act: exercises.Wait, Seconds: left}, nil
}

func parseCuff(args []string, s *exercises.State) (exercises.Command, *Problem) {
	name := strings.Join(args, "_")
	switch name {
	case "small":
		name = "small_adult"
	case "large":
		name = "large_adult"
	}
	return oneOf(exercises.Cuff, "small_adult", "adult", "large_adult", "thigh")([]string{name}, s)
}

func parseCount(args []string, _ *exercises.State) (exercises.Command, *Problem) {
	found, rest := numbersIn(args, "s", "sec", "seconds")
	c := exercises.Command{Act: exercises.Count}
	for _, w := range rest {
		switch w {
		case "radial", "carotid":
			c.What = w
		case "pulse", "beats":
		default:
			return c, problem("for example: count 15, or count 15 carotid", "“%s” is not a place to count.", w)
		}
	}
	if len(found) != 1 || found[0] != math.Trunc(found[0]) || math.Abs(found[0]) > 1e6 {
		return c, problem("for example: count 15", "Count for how many seconds?")
	}
	c.Seconds = int(found[0])
	return c, nil
}

func parsePressure(args []string, _ *exercises.State) (exercises.Command, *Problem) {
	found, rest := numbersIn(args, "mmhg", "mmhg/s", "pump", "valve")
	if len(found) != 2 || len(rest) > 0 || math.Abs(found[0]) > 1e6 {
		return exercises.Command{}, problem("for example: pressure pump 180 valve 3", "How high to pump, and how fast to let the air out?")
	}
	return exercises.Command{Act: exercises.Pressure, PumpMmHg: int(math.Round(found[0])), ValveMmHgS: found[1]}, nil
}
