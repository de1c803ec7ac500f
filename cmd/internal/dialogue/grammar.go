package dialogue

import (
	"strings"

	"kilopond/exercises"
)

// A verb is one thing that can be typed.
type verb struct {
	name  string
	group string // where help lists it; "" for a short form that stands for another
	usage string
	brief string // what it does, in a few words for the list
	says  string // the same in a sentence or two
	parse parser
}

// A parser turns the words after a verb into a command.
type parser func(args []string, s *exercises.State) (exercises.Command, *Problem)

// synonyms are other words of the trade for the same thing.
var synonyms = map[string]string{
	"rpe": "exertion", "bp": "pressure", "pulse": "count", "weigh": "mass", "start": "pedal", "next": "stage",
	"load": "resistance", "dial": "resistance", "end": "cooldown", "observe": "look", "handin": "hand_in", "weight": "mass",
	"warmup": "pedal", "pump": "pressure", "cool-down": "cooldown", "questions": "health",
}

// pairs are two words for one verb.
var pairs = map[string]string{
	"hand in": "hand_in", "cool down": "cooldown", "warm up": "pedal", "next stage": "stage", "strike out": "strike",
	"take pressure": "pressure", "count pulse": "count", "start pedalling": "pedal", "stop test": "stop", "blood pressure": "pressure",
}

const (
	groupRoom    = "The room"
	groupPerson  = "The person"
	groupSizes   = "Weighing, measuring, seating"
	groupMeasure = "Readings, at any time"
	groupTest    = "The test"
	groupEnd     = "The end"
	groupTime    = "Time"
	groupPaper   = "The sheet"
)

// groups stand in the order of a lab.
var groups = []string{groupRoom, groupPerson, groupSizes, groupMeasure, groupTest, groupEnd, groupTime, groupPaper}

var verbs = []verb{
	{"check", groupRoom, "check brake | weight | metronome | plan | cuff | gauge | arm", "the equipment and the emergency plan",
		"check brake sets the brake to zero with the wheel at rest; check weight hangs 2 kp on it; check metronome times it by your watch; check plan reads the emergency plan; check cuff pumps it up and shuts the valve; check gauge looks where the needle stands; check arm looks how high it lies. What is found wrong is set right. While the pedals turn, check cadence counts their turns; check dial reads the resistance.",
		oneOf(exercises.Check, "brake", "weight", "metronome", "plan", "cuff", "gauge", "arm", "cadence", "dial")},
	{"metronome", groupRoom, "metronome 50", "set the beat that the person follows",
		"Set the beat that the person follows, in turns of the pedals a minute; metronome 0 is silent.",
		single(exercises.Metronome, "metronome 50", false, func(c *exercises.Command, x float64) { c.CadenceRPM = x }, "rpm")},

	{"greet", groupPerson, "greet", "ask the person in", "Ask the person in.", bare(exercises.Greet)},
	{"explain", groupPerson, "explain test | scale | signals", "the test, the exertion scale, how to stop",
		"Explain the test; the scale of exertion, 6 to 20; the signals to stop.", oneOf(exercises.Explain, "test", "scale", "signals")},
	{"ask", groupPerson, "ask health | consent", "the health questions; consent",
		"ask health puts the health questions, ask consent asks for consent, ask exertion for a number on the scale, ask symptoms how the person feels.",
		oneOf(exercises.Ask, "health", "consent", "exertion", "symptoms")},
	{"decide", groupPerson, "decide test | rest | postpone | refer | refuse | emergency", "your answer to the screening",
		"Your answer to the screening: test today; rest, then take the readings again; another day; to a doctor first; no test; no test and help at once. It can be given again.",
		oneOf(exercises.Decide, "test", "rest", "postpone", "refer", "refuse", "emergency")},

	{"measure", groupSizes, "measure mass | height | arm", "scale, height rod, tape around the arm",
		"Weigh the person, measure the height, or the girth of the middle of the upper arm.", oneOf(exercises.Measure, "mass", "height", "arm")},
	// Source: [PICKERING2005].
	{"cuff", groupSizes, "cuff small adult | adult | large adult | thigh", "put a cuff on the arm",
		"Put a cuff on the bare arm. Each cuff has its range of girth printed on it: 22–26, 27–34, 35–44, 45–52 cm.", parseCuff},
	{"seat", groupSizes, "seat chair | cycle | lying | standing", "where the person sits, lies or stands", "Where the person sits, lies or stands.",
		oneOf(exercises.Seat, "chair", "cycle", "lying", "standing")},
	{"saddle", groupSizes, "saddle | saddle up | saddle down", "see the bend of the knee; move the saddle",
		"Look at the bend of the knee with the foot at the lowest point; raise or lower the saddle by a notch, and look again.", optional(exercises.Saddle, "up", "down")},
	{"rest", groupSizes, "rest 5", "quiet sitting, in minutes", "Let the person sit quietly, in minutes; rest 90 s is in seconds.", spanOf(exercises.Rest, "rest 5", 60)},

	{"count", groupMeasure, "count 15 | count 15 carotid", "count the pulse, in seconds",
		"Count the pulse at the wrist for so many seconds; with carotid, at the neck. It takes two seconds to find. The watch begins the count, not a beat, so the first mark counts as one. Each mark is a beat that you felt, a column a tenth of a second; in a list, each number is the time of a beat in seconds from the start of the count. The counting and the multiplying are yours.", parseCount},
	{"time", groupMeasure, "time 30 beats", "time so many beats", "Time so many beats by the watch. The first is called zero.", parseTime},
	{"helper", groupMeasure, "helper pulse 15 | pressure 180 | again", "send a helper, where the rules have one",
		"Send the helper at the wrist to count for so many seconds, or the one at the cuff to pump to so many mmHg, while you do something else; the report comes when it is done. Helpers are human: helper again has the last report said once more. The rules say whether you have any.", parseHelper},
	{"monitor", groupMeasure, "monitor", "read the display, where the rules have one",
		"Read the number on the monitor's display. The rules say whether there is one. What is graded is the count.", bare(exercises.Monitor)},
	{"pressure", groupMeasure, "pressure pump 180 valve 3", "pump to 180 mmHg; let down 3 mmHg a second",
		"Pump the cuff to so many mmHg and let it down at so many mmHg a second. You are told what is heard as the needle falls past each mark; a point is nothing heard. The two numbers are yours.", parsePressure},
	{"exertion", groupMeasure, "ask exertion", "a number on the scale of exertion", "Ask for a number on the scale of exertion, 6 to 20.", fixed(exercises.Command{Act: exercises.Ask, What: "exertion"})},
	{"symptoms", groupMeasure, "ask symptoms", "how the person feels", "Ask how the person feels.", fixed(exercises.Command{Act: exercises.Ask, What: "symptoms"})},
	{"look", groupMeasure, "look", "look at the person", "Look at the person: colour, breathing, grip, legs.", bare(exercises.Look)},
	{"cadence", groupMeasure, "check cadence | dial", "turns of the pedals; the resistance", "check cadence counts the turns of the pedals; check dial reads the resistance.",
		fixed(exercises.Command{Act: exercises.Check, What: "cadence"})},

	{"pedal", groupTest, "pedal", "the warm-up begins", "Pedalling begins, at the resistance that is set: the warm-up.", bare(exercises.Pedal)},
	{"stage", groupTest, "stage 0.5", "turn the dial to 0.5 kp, begin the next stage",
		"Turn the dial to so many kp and begin the next stage. A work rate can be typed with its unit: stage 300 kgm/min, at 50 turns a minute.",
		load(exercises.Stage, "stage 0.5 turns the dial to 0.5 kp and begins the next stage")},
	{"extend", groupTest, "extend", "one more minute at the same resistance", "One more minute in this stage, at the same resistance.", bare(exercises.Extend)},
	{"resistance", groupTest, "resistance 1.0", "turn the dial, no new stage", "Turn the dial to so many kp without beginning a stage.",
		load(exercises.Resistance, "resistance 1.0 turns the dial to 1.0 kp")},
	{"coach", groupTest, "coach", "call the person back to the rhythm", "Ask the person to take up the rhythm again.", bare(exercises.Coach)},

	{"cooldown", groupEnd, "cooldown 0.5", "end the test; light pedalling at 0.5 kp", "End the test; light pedalling goes on at so many kp.",
		load(exercises.CoolDown, "cooldown 0.5 ends the test with light pedalling at 0.5 kp")},
	{"stop", groupEnd, "stop", "load off and pedals still, at once",
		"End the test at once: load off, pedals still. In recovery it ends the light pedalling.", bare(exercises.Stop)},
	{"steady", groupEnd, "steady", "hold a person who sits on the cycle", "Hold a person who sits on the cycle: a hand on the back, a hand on the arm.", bare(exercises.Steady)},
	{"call", groupEnd, "call instructor | ambulance | defibrillator", "call for help, or have it brought",
		"Call the instructor or an ambulance, or have the defibrillator brought to the side, without leaving the person.", oneOf(exercises.Call, "instructor", "ambulance", "defibrillator")},
	{"fetch", groupEnd, "fetch help", "go for help yourself, for a minute", "Go for help yourself. For a minute nobody sees what happens.", parseFetch},
	{"tell", groupEnd, "tell result | doctor | cause | medicine", "what you tell the person at the end",
		"Tell the person the result, with how sure it is; to show a reading or a complaint to their doctor; what you think is behind it; to leave out a medicine.",
		oneOf(exercises.Tell, "result", "doctor", "cause", "medicine")},
	{"handover", groupEnd, "handover WHAT HAPPENED", "say in a sentence what happened", "Say in one sentence, to whoever comes: what happened and when, what you did, the last pulse and pressure, how it is now. It stands on the sheet.", nil},
	{"release", groupEnd, "release", "let the person go home", "Let the person go home. Then the sheet is yours.", bare(exercises.Release)},

	{"wait", groupTime, "wait 20", "let seconds pass, facing the person",
		"Let seconds pass, facing the person; wait 2 min or wait 1:30 too. It ends early when something happens.", spanOf(exercises.Wait, "wait 20", 1)},
	{"until", groupTime, "until 1:45", "wait for a time on the prompt's clock", "Let time pass up to a time on the clock that the prompt shows.", parseUntil},

	{"write", groupPaper, "write beats 28, hr 112", "write on the sheet", "", nil},
	{"sheet", groupPaper, "sheet", "read what is written", "Read what is written, each entry with its number; what is struck out stays legible. It takes no time.", nil},
	{"strike", groupPaper, "strike 4", "strike out entry 4", "Strike out entry 4; it stays legible. Then write it again.",
		single(exercises.Strike, "strike 4", true, func(c *exercises.Command, x float64) { c.Entry = int(x) }, "entry")},
	{"hand_in", groupPaper, "hand in", "close the sheet; then the report comes", "Hand in the sheet, when the person has left. Then the report comes.", bare(exercises.HandIn)},

	{"health", "", "ask health", "", "Put the health questions.", fixed(exercises.Command{Act: exercises.Ask, What: "health"})},
	{"consent", "", "ask consent", "", "Ask for consent.", fixed(exercises.Command{Act: exercises.Ask, What: "consent"})},
	{"mass", "", "measure mass", "", "Weigh the person.", fixed(exercises.Command{Act: exercises.Measure, What: "mass"})},
	{"help", "", "help", "", "List what can be done. help pressure says more of one word; words of the trade too: help ceiling.", nil},
	{"rules", "", "rules", "", "Print the rules of the house that are in force. It takes no time.", nil},
	{"quit", "", "quit", "", "Leave; nothing is lost. You go on later where you are now.", nil},
}

// verbNames are all words that a line can begin with, in a fixed order.
func verbNames() []string {
	var names []string
	for _, v := range verbs {
		names = append(names, strings.ReplaceAll(v.name, "_", " "))
	}
	return names
}

func verbNamed(name string) (verb, bool) {
	for _, v := range verbs {
		if v.name == name {
			return v, true
		}
	}
	return verb{}, false
}

func usageOf(name string) string {
	if v, ok := verbNamed(strings.ReplaceAll(name, " ", "_")); ok {
		return v.usage
	}
	return name
}
