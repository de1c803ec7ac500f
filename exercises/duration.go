package exercises

// How long things take a practised proctor, in seconds. Source: [CHOICE-DURATIONS].
var durations = map[Act]map[string]int{
	Check:      {"brake": 20, "metronome": 15, "plan": 20, "cadence": 3, "dial": 2, "weight": 40, "cuff": 12, "gauge": 2, "arm": 4},
	Greet:      {"": 10},
	Explain:    {"test": 30, "scale": 20, "signals": 15},
	Ask:        {"health": 60, "consent": 20, "exertion": 4, "symptoms": 5},
	Measure:    {"mass": 15, "height": 15, "arm": 15},
	Cuff:       {"small_adult": 20, "adult": 20, "large_adult": 20, "thigh": 20},
	Saddle:     {"": 10, "up": 10, "down": 10},
	Seat:       {"chair": 10, "cycle": 10, "lying": 10, "standing": 5},
	Decide:     {"test": 2, "rest": 2, "postpone": 2, "refer": 2, "refuse": 2, "emergency": 2},
	Helper:     {"pulse": 2, "pressure": 2, "again": 3},
	Monitor:    {"": 1},
	Look:       {"": 2},
	Metronome:  {"": 2},
	Pedal:      {"": 2},
	Resistance: {"": 1},
	Stage:      {"": 1},
	Extend:     {"": 0},
	Coach:      {"": 3},
	CoolDown:   {"": 1},
	Stop:       {"": 3},
	Steady:     {"": 2},
	Call:       {"instructor": 5, "ambulance": 15, "defibrillator": 5},
	Leave:      {"": 60},
	Tell:       {"result": 15, "doctor": 10, "cause": 10, "medicine": 10},
	Release:    {"": 2},
	Write:      {"": 2},
	Strike:     {"": 1},
	HandIn:     {"": 0},
}

// findPulseS is how long it takes to find the artery and the second hand. Source: [CHOICE-DURATIONS].
const findPulseS = 2

// The longest single wait and rest that can be asked for, in seconds: longer is a slip of the pen.
const (
	longestWait = 600
	longestRest = 1200
)

// longestClockS is beyond what any attempt comes to, also one that ran live at its fastest while the computer slept over a weekend: a hundred days, in s.
// A file whose clock goes further was not written by this program, and would be judged for hours, minute by minute. Source: [CHOICE-DURATIONS].
const longestClockS = 100 * 24 * 3600
