package exercises

// An Act is one thing that a proctor does. Each takes the time that it takes in life; writing down takes two seconds.
type Act string

const (
	// Before the person comes, and in any order.
	Check   Act = "check"   // What: brake, weight, metronome, plan, cuff, gauge, arm; while pedalling also cadence, dial
	Greet   Act = "greet"   //
	Explain Act = "explain" // What: test, scale, signals
	Ask     Act = "ask"     // What: health, consent, exertion, symptoms
	Measure Act = "measure" // What: mass, height, arm
	Cuff    Act = "cuff"    // What: small_adult, adult, large_adult, thigh
	Saddle  Act = "saddle"  // What: "" (look at the knee), up, down
	Seat    Act = "seat"    // What: chair, cycle, lying, standing
	Rest    Act = "rest"    // Seconds, quietly seated
	Decide  Act = "decide"  // What: test, rest, postpone, refer, refuse, emergency

	// Measuring, at any time.
	Count    Act = "count"    // Seconds; What: radial (default), carotid
	Time     Act = "time"     // Beats: the time that so many beats take; What as for Count
	Pressure Act = "pressure" // PumpMmHg, ValveMmHgS
	Helper   Act = "helper"   // What: pulse (Seconds), pressure (PumpMmHg), again
	Monitor  Act = "monitor"  // read the display
	Look     Act = "look"     //
	Wait     Act = "wait"     // Seconds

	// Running the test.
	Metronome  Act = "metronome"  // CadenceRPM; 0 is silent
	Pedal      Act = "pedal"      // start pedalling (warm-up) at the resistance that is set
	Resistance Act = "resistance" // ResistanceKp: turn the dial, no new stage
	Stage      Act = "stage"      // ResistanceKp: turn the dial and begin the next stage
	Extend     Act = "extend"     // one more minute at the same work rate
	Coach      Act = "coach"      // ask the person to take up the rhythm again
	CoolDown   Act = "cooldown"   // ResistanceKp: end the test, light pedalling goes on
	Stop       Act = "stop"       // end the test at once: load off, pedals stopped
	Steady     Act = "steady"     // a hand on the back and one on the arm of a person on the cycle
	Call       Act = "call"       // What: instructor, ambulance, defibrillator
	Leave      Act = "leave"      // go for help in person: for a minute nobody sees what happens
	Tell       Act = "tell"       // What: result, doctor, cause, medicine
	Release    Act = "release"    // let the person go

	// The sheet.
	Write  Act = "write"   // Entries
	Strike Act = "strike"  // Entry: number of the entry to strike out
	HandIn Act = "hand_in" // closes the attempt
)

// A Command is what the proctor says to do, as logged. Fields that an act does not use are zero.
type Command struct {
	Act          Act     `json:"act"`
	What         string  `json:"what,omitempty"`
	Seconds      int     `json:"seconds,omitempty"`
	Beats        int     `json:"beats,omitempty"`
	PumpMmHg     int     `json:"pump_mmhg,omitempty"`
	ValveMmHgS   float64 `json:"valve_mmhg_s,omitempty"`
	ResistanceKp float64 `json:"resistance_kp,omitempty"`
	CadenceRPM   float64 `json:"cadence_rpm,omitempty"`
	Entry        int     `json:"entry,omitempty"`
	Entries      []Entry `json:"entries,omitempty"`
}

// An Entry is one thing written on the data sheet, under one of the keys of sheet.go.
type Entry struct {
	Key  Key    `json:"key"`
	Text string `json:"text"` // as written
	// Stage and Minute say which reading is meant; 0 means the place of the latest reading of that kind.
	Stage  int `json:"stage,omitempty"`
	Minute int `json:"minute,omitempty"`
}
