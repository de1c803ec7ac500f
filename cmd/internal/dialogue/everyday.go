package dialogue

import "strings"

// fillers are words that change nothing; they are left out before an everyday phrase is looked for.
var fillers = map[string]bool{
	"the": true, "a": true, "an": true, "him": true, "her": true, "his": true, "them": true, "their": true, "person": true, "subject": true,
	"please": true, "now": true, "about": true, "at": true, "to": true, "on": true,
}

// everyday are other ways to say what can be done, as people at a first lab say it. The words after a phrase are kept, but after one that ends
// in "…", which is said in many ways.
var everyday = map[string]string{
	"hello …": "greet", "hi …": "greet", "say hello …": "greet", "greet …": "greet", "welcome …": "greet", "good morning …": "greet",
	"good afternoon …": "greet", "good day …": "greet",

	"how hard …": "exertion", "how heavy …": "exertion", "ask rpe": "exertion", "ask rating": "exertion", "ask how hard …": "exertion", "ask effort": "exertion",
	"how do you feel …": "symptoms", "how are you …": "symptoms", "how is it …": "symptoms", "how feel …": "symptoms", "are you ok …": "symptoms",
	"are you okay …": "symptoms", "are you all right …": "symptoms", "are you alright …": "symptoms", "are you fine …": "symptoms", "do you feel …": "symptoms", "you ok …": "symptoms", "ask how …": "symptoms", "ask feel …": "symptoms", "ask feeling …": "symptoms",
	"ask if ok …": "symptoms", "ask questions": "health", "ask history …": "health", "ask health questions": "health", "sign consent": "consent",
	"do you agree …": "consent", "do you consent …": "consent", "ask medicines": "health", "ask medicine": "health", "ask medication": "health", "ask illness": "health",
	"ask smoking": "health", "ask food": "health", "does it hurt …": "symptoms", "are you dizzy …": "symptoms", "are you in pain …": "symptoms", "any pain …": "symptoms",
	"ask pain": "symptoms", "ask dizzy": "symptoms", "can you go …": "symptoms", "is it ok …": "symptoms", "what do you see": "look", "what do i see": "look",

	"can you lie …": "seat lying", "can you sit …": "seat chair", "can you stand …": "seat standing", "what medicines …": "health", "what medicine …": "health", "do you take …": "health",
	"lie down": "seat lying", "lie": "seat lying", "lay down": "seat lying", "lie flat": "seat lying", "lay flat": "seat lying", "seat floor": "seat lying",
	"seat couch": "seat lying", "seat lie": "seat lying", "seat down": "seat chair", "sit down": "seat chair", "sit": "seat chair", "take seat": "seat chair",
	"sit chair": "seat chair", "sit cycle": "seat cycle", "sit bike": "seat cycle", "seat bike": "seat cycle", "seat bicycle": "seat cycle", "get bike": "seat cycle",
	"stand": "seat standing", "stand up": "seat standing",

	"take pulse": "count", "feel pulse": "count", "check pulse": "count", "measure pulse": "count", "take heart rate": "count", "check heart rate": "count",
	"take bp": "pressure", "check bp": "pressure", "measure bp": "pressure", "take blood pressure": "pressure", "check blood pressure": "pressure",
	"measure blood pressure": "pressure", "measure pressure": "pressure", "check pressure": "pressure",
	"measure weight": "measure mass", "measure arm girth": "measure arm", "look …": "look", "watch …": "look", "check colour …": "look", "check breathing …": "look",

	"check saddle": "saddle", "saddle height": "saddle", "raise saddle": "saddle up", "saddle higher": "saddle up", "lower saddle": "saddle down", "saddle lower": "saddle down",
	"set metronome": "metronome", "set resistance": "resistance", "set load": "resistance", "set dial": "resistance", "start test": "pedal", "begin": "pedal",
	"begin test": "pedal", "begin pedalling": "pedal", "start warm up": "pedal", "one more minute": "extend", "another minute": "extend", "extend 1": "extend",
	"extend stage": "extend", "emergency stop": "stop",
	"explain stop …": "explain signals", "explain how stop …": "explain signals", "explain rpe …": "explain scale", "explain stop signals": "explain signals",

	"call help": "call instructor", "call teacher": "call instructor", "call for help": "call instructor", "get defibrillator": "call defibrillator",
	"wait minute": "wait 1 min", "wait one minute": "wait 1 min", "wait until": "until", "wait till": "until",
	"postpone": "decide postpone", "refer …": "decide refer", "refuse": "decide refuse",
	"submit": "hand in", "hand over": "handover", "put cuff": "cuff", "note": "write", "note down": "write", "record": "write", "write down": "write",
}

// nearby are words that stand for nothing that can be done, with what comes near.
var nearby = map[string]string{
	// a question that is not known
	"are":  "ask health, ask symptoms, ask exertion and ask consent are what can be asked",
	"can":  "ask health, ask symptoms, ask exertion and ask consent are what can be asked",
	"did":  "ask health, ask symptoms, ask exertion and ask consent are what can be asked",
	"does": "ask health, ask symptoms, ask exertion and ask consent are what can be asked",
	"have": "ask health, ask symptoms, ask exertion and ask consent are what can be asked",
	"is":   "ask health, ask symptoms, ask exertion and ask consent are what can be asked",
	"what": "ask health, ask symptoms, ask exertion and ask consent are what can be asked",
	"when": "ask health, ask symptoms, ask exertion and ask consent are what can be asked",
	"why":  "ask health, ask symptoms, ask exertion and ask consent are what can be asked",

	"emergency": "stop ends the test at once; call instructor | ambulance | defibrillator",
	"increase":  "resistance 1.0 turns the dial; stage 1.0 begins a stage with it",
	"turn":      "resistance 1.0 turns the dial; stage 1.0 begins a stage with it",
	"set":       "resistance 1.0 turns the dial; metronome 50 sets the beat",
	"continue":  "the person goes on by themself; wait 20 lets time pass",
	"go":        "the person goes on by themself; wait 20 lets time pass",
	"faster":    "coach calls the person back to the rhythm",
	"slower":    "coach calls the person back to the rhythm",
	"encourage": "coach calls the person back to the rhythm",
	"water":     "nothing is given here; help lists what can be done",
	"sugar":     "nothing is given here; help lists what can be done",
	"give":      "nothing is given here; help lists what can be done",
	"send":      "release lets the person go; decide says your answer to the screening",
	"dont":      "decide postpone | refer | refuse is your answer to the screening",
	"don't":     "decide postpone | refer | refuse is your answer to the screening",
	"do":        "ask health asks the questions; decide postpone | refer | refuse is your answer to them",
	"put":       "cuff small adult | adult | large adult | thigh puts one on",
	"bye":       "release lets the person go home",
	"goodbye":   "release lets the person go home",
	"get":       "call instructor | ambulance | defibrillator keeps you beside the person; fetch help: you go yourself",
	"finish":    "cooldown 0.5 ends the test; release lets the person go; hand in closes the sheet",
	"done":      "cooldown 0.5 ends the test; release lets the person go; hand in closes the sheet",
	"recover":   "cooldown 0.5 begins the recovery with light pedalling",
	"recovery":  "cooldown 0.5 begins the recovery with light pedalling",
}

// verbatim are verbs after which every word stands as it was typed.
var verbatim = map[string]bool{"write": true, "handover": true, "help": true}

// longestPhrase is how many words an everyday phrase has at most.
const longestPhrase = 4

// plainly turns an everyday way of saying something into the words that stand in help; words that are understood as they are stay.
func plainly(words []string) []string {
	if verbatim[words[0]] {
		return words
	}
	var bare []string
	at := []int{} // where in words each of bare stands
	for i, w := range words {
		w = strings.TrimRight(w, "?!.,")
		if !fillers[w] && w != "" {
			bare, at = append(bare, w), append(at, i)
		}
	}
	for n := min(longestPhrase, len(bare)); n > 0; n-- {
		phrase := strings.Join(bare[:n], " ")
		if to, ok := everyday[phrase+" …"]; ok {
			return strings.Fields(to)
		}
		if to, ok := everyday[phrase]; ok {
			rest := bare[n:]
			if verbatim[to] {
				rest = words[at[n-1]+1:]
			}
			return append(strings.Fields(to), rest...)
		}
	}
	if len(bare) == 0 {
		return words
	}
	return bare
}
