package grader

import (
	"fmt"
	"sort"
	"strings"

	"kilopond/exercises"
	"kilopond/physiology/body"
	"kilopond/scenarios"
)

// A CasePreview is one test of a case by the reference proctor, with what was so beside what was done: for whoever writes cases.
type CasePreview struct {
	Case       string             `json:"case"`
	Seed       scenarios.Seed     `json:"seed"`
	Subject    exercises.Subject  `json:"subject"`
	RightAct   scenarios.RightAct `json:"right_act"`
	Done       scenarios.RightAct `json:"done"`
	End        string             `json:"end"` // why the test ended, or why there was none
	CeilingBpm *float64           `json:"ceiling_bpm"`
	PedalAtS   *int               `json:"pedal_at_s"` // null when nobody pedalled
	EndedAtS   *int               `json:"ended_at_s"`
	LastS      int                `json:"last_s"`
	Stages     []PreviewStage     `json:"stages"`
	Pulses     []PreviewReading   `json:"pulses"`
	Pressures  []PreviewReading   `json:"pressures"`
	Signs      []PreviewSign      `json:"signs"`
	Events     []PreviewEvent     `json:"events"`
}

// A PreviewStage is one stage.
type PreviewStage struct {
	Stage        int     `json:"stage"`
	FromS        int     `json:"from_s"`
	ToS          int     `json:"to_s"`
	ResistanceKp float64 `json:"resistance_kp"`
}

// A PreviewReading is one pulse in bpm, or one pressure in mmHg.
type PreviewReading struct {
	AtS       int      `json:"at_s"`
	Value     float64  `json:"value"`               // bpm, or systolic
	Diastolic *float64 `json:"diastolic,omitempty"` // of a pressure
	Truth     float64  `json:"truth"`               // bpm, or systolic
}

// A PreviewSign is a time during which a sign was there at a grade or above on a channel.
type PreviewSign struct {
	Sign    string `json:"sign"`
	Channel string `json:"channel"`
	Grade   int    `json:"grade"`
	FromS   int    `json:"from_s"`
	ToS     int    `json:"to_s"`
}

// A PreviewEvent is something that happened, as it would be told.
type PreviewEvent struct {
	AtS   int    `json:"at_s"`
	Where string `json:"where"`
	What  string `json:"what"`
}

// PreviewCase plays the case once and sets what was so beside what was done. An error is a fault of the proctor.
func PreviewCase(b Rulebook, one scenarios.Case, seed scenarios.Seed) (CasePreview, error) {
	played, err := Play(b, one.Draw(seed))
	if err != nil {
		return CasePreview{}, err
	}
	state := played.Session.State()
	c := ReadState(b, state)
	p := CasePreview{
		Case: one.ID, Seed: seed, Subject: state.Header.Subject, RightAct: one.RightAct, Done: ActTaken(b, c), LastS: state.ClockS,
		Stages: []PreviewStage{}, Pulses: []PreviewReading{}, Pressures: []PreviewReading{}, Signs: []PreviewSign{}, Events: []PreviewEvent{},
	}
	if hr, ok := houseCeiling(b, c); ok {
		bpm := float64(hr)
		p.CeilingBpm = &bpm
	}
	if begun(c) {
		p.PedalAtS = &c.PedalAtS
		if c.EndedAtS >= 0 {
			p.EndedAtS = &c.EndedAtS
		}
		if p.End = endReason(b, c, workUntil(c)); p.End == "" {
			p.End = fmt.Sprintf("%d stages qualify", len(qualifying(b, c)))
		}
	} else if why, ok := mayRefuse(b, c); ok {
		p.End = "no test: " + why
	}
	for _, s := range c.Stages {
		p.Stages = append(p.Stages, PreviewStage{s.Number, s.FromS, s.ToS, float64(s.Resistance)})
	}
	for _, k := range c.Counts {
		if whole(k) {
			p.Pulses = append(p.Pulses, PreviewReading{AtS: k.ToS, Value: float64(k.HR), Truth: float64(k.True)})
		}
	}
	for _, k := range c.Cuffs {
		if k.read() {
			low := float64(k.Diastolic)
			p.Pressures = append(p.Pressures, PreviewReading{AtS: k.ToS, Value: float64(k.Systolic), Diastolic: &low, Truth: float64(k.TrueSystolic)})
		}
	}
	for _, s := range c.Closing.Signs {
		p.Signs = append(p.Signs, PreviewSign{s.Sign, s.Channel, s.Grade, s.FromS, s.ToS})
	}
	p.Events = previewEvents(c, newLexicon(one))
	return p, nil
}

// previewEvents are what a case's writer wants to see: how the person came in, what the answers gave, each sign as it begins and as it is met, the
// loads, the pressures, the end.
func previewEvents(c *Course, words *lexicon) []PreviewEvent {
	all := []PreviewEvent{}
	add := func(at int, format string, args ...any) {
		all = append(all, PreviewEvent{at, where(c, at), fmt.Sprintf(format, args...)})
	}
	flagged := map[string]bool{}
	for _, f := range flags(c) {
		flagged[f] = true
	}
	for _, s := range begins(c.Closing.Signs) {
		add(s.FromS, "%s", s.What)
	}
	for _, k := range c.Cuffs {
		if k.read() {
			add(k.ToS, "%.0f/%.0f mmHg heard", k.Systolic, k.Diastolic)
		}
	}
	tells := func(said string) bool { return len(words.understand(said).signs) > 0 }
	walkedIn := false
	for _, e := range c.State.Events {
		switch f := e.Fact.(type) {
		case exercises.Noticed:
			if f.Unasked || !walkedIn || tells(f.Words) {
				walkedIn = true
				add(e.AtS, "%s", f.Words)
			}
		case exercises.Said:
			if f.Unasked || f.To == "greeting" || tells(f.Words) || f.To == "health" && flagged[f.About] {
				add(e.AtS, "“%s”", f.Words)
			}
		case exercises.Decided:
			add(e.AtS, "decided: %s", f.What)
		case exercises.PedallingStarted:
			add(e.AtS, "pedals")
		case exercises.StageStarted:
			add(e.AtS, "stage %d, %v kp", f.Stage, f.ResistanceKp)
		case exercises.Extended:
			add(e.AtS, "a minute more")
		case exercises.TestEnded:
			add(e.AtS, "the test is ended: %s", strings.ReplaceAll(string(f.How), "_", " "))
		case exercises.PedallingStopped:
			add(e.AtS, "the pedals are still")
		case exercises.Called:
			add(e.AtS, "called: %s", f.Whom)
		case exercises.Released:
			add(e.AtS, "released")
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].AtS < all[j].AtS })
	return all
}

// A beginning is what begins at one second of one sign.
type beginning struct {
	FromS int
	What  string
}

// begins says of each sign when it begins or grows, and how it can be met from then on: one line a second, of the highest grade.
func begins(spans []exercises.SignSpan) []beginning {
	how := map[body.Channel]string{body.Found: "to be found by asking or measuring", body.Seen: "to be seen", body.Unasked: "said or done unasked"}
	type at struct {
		sign  string
		fromS int
	}
	var order []at
	grade := map[at]map[body.Channel]int{}
	for _, s := range spans {
		k := at{s.Sign, s.FromS}
		if grade[k] == nil {
			grade[k] = map[body.Channel]int{}
			order = append(order, k)
		}
		ch := body.Channel(s.Channel)
		grade[k][ch] = max(grade[k][ch], s.Grade)
	}
	var all []beginning
	for _, k := range order {
		top := 0
		var ways []string
		for _, ch := range []body.Channel{body.Found, body.Seen, body.Unasked} {
			if g := grade[k][ch]; g > 0 {
				top = max(top, g)
				ways = append(ways, how[ch])
			}
		}
		all = append(all, beginning{k.fromS, fmt.Sprintf("%s, grade %d: %s", strings.ReplaceAll(k.sign, "_", " "), top, strings.Join(ways, ", "))})
	}
	return all
}
