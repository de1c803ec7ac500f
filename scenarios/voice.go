package scenarios

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"kilopond/physiology/body"
)

//go:embed voice.yaml
var voiceFile []byte

// A commonVoice holds what anybody may say or look like; a case overrides what it needs.
type commonVoice struct {
	Answers map[string][]string `yaml:"answers"` // to health questions, when nothing is the matter
	Talk    map[string][]string `yaml:"talk"`    // answers to "how do you feel?" by effort
	Rating  map[string][]string `yaml:"rating"`  // words with a rating of exertion, by effort
	Look    map[string][]string `yaml:"look"`    // what is seen, by effort
	Signs   map[string][]string `yaml:"signs"`   // by sign/channel/grade, and …/work or …/lying
}

// defaultVoice is read once; the file ships with the program and a test holds it to its form.
var defaultVoice = sync.OnceValue(func() commonVoice {
	var v commonVoice
	if err := DecodeStrict("voice.yaml", voiceFile, &v, nil); err != nil {
		panic("scenarios: " + err.Error())
	}
	return v
})

// Efforts returns the keys of what is said and seen of the well: see Moment.Effort.
func Efforts() []string {
	return []string{"standing", "none", "easy", "moderate", "hard", "very_hard", "cooling", "after", "rested", "lying"}
}

// effort names a band of exertion. Source: [CHOICE-VOICE].
func effort(rpe float64) string {
	switch {
	case rpe < 8:
		return "none"
	case rpe < 11.5:
		return "easy"
	case rpe < 14.5:
		return "moderate"
	case rpe < 17:
		return "hard"
	}
	return "very_hard"
}

// A Moment is what a person is doing when something is said or seen.
type Moment struct {
	RPE       float64
	Posture   body.Posture
	Pedalling bool
	Begun     bool // the pedals have turned at some time
	Ended     bool // the work is over
}

// Effort names what the person is doing: one of standing, none (sits before the test), easy, moderate, hard, very_hard (at work), cooling (light
// pedals after it), after, rested, lying.
func (m Moment) Effort() string {
	e := effort(m.RPE)
	switch {
	case m.Pedalling && m.Ended:
		return "cooling"
	case m.Pedalling && e == "none":
		return "easy" // nobody on turning pedals looks or talks as if at rest
	case m.Pedalling:
		return e
	case m.Posture == body.Lying:
		return "lying"
	case m.Begun && e != "none": // somebody warm or short of breath on arrival has nothing to rest from
		return "after"
	case m.Ended:
		return "rested"
	case m.Posture == body.Standing:
		return "standing"
	}
	return "none"
}

// lineUp puts lines into an order of this subject's own, so that two people who share them do not say them one after the other alike.
func (s Scenario) lineUp(lines []string, label string) []string {
	order := s.Stream("turn/" + label).Perm(len(lines))
	up := make([]string, len(lines))
	for i, k := range order {
		up[i] = lines[k]
	}
	return up
}

// turn picks the nth line of a list in this subject's order, so that nobody says the same thing twice running.
func (s Scenario) turn(lines []string, label string, nth int) string {
	if len(lines) == 0 {
		return ""
	}
	return s.lineUp(lines, label)[nth%len(lines)]
}

// between lets two lists take turns, the own one first, until either is at its end and the rest of the other follows.
func between(own, common []string) []string {
	both := make([]string, 0, len(own)+len(common))
	for i := range max(len(own), len(common)) {
		if i < len(own) {
			both = append(both, own[i])
		}
		if i < len(common) {
			both = append(both, common[i])
		}
	}
	return both
}

// Talk is the answer to "how do you feel?" of somebody in whom nothing else is to be told, asked for the nth time at this effort.
func (s Scenario) Talk(effort string, nth int) string {
	own := s.lineUp(s.Case.Voice.Talk[effort], "own/"+effort)
	if s.Case.Voice.TalkOnly && len(own) > 0 {
		return own[nth%len(own)]
	}
	both := between(own, s.lineUp(defaultVoice().Talk[effort], "talk/"+effort))
	if len(both) == 0 {
		return ""
	}
	return both[nth%len(both)]
}

// Rating is what goes with pointing at the scale.
func (s Scenario) Rating(rpe float64, nth int) string {
	e := effort(rpe)
	return s.turn(defaultVoice().Rating[e], "rating/"+e, nth)
}

// Look is what is seen of somebody at this effort in whom nothing else is to be seen, looked at for the nth time.
func (s Scenario) Look(effort string, nth int) string {
	return s.turn(defaultVoice().Look[effort], "look/"+effort, nth)
}

// Line is what the person says, or what is seen, of a sign at its grade; a lower grade's words serve when there are none. Lines of
// sign/channel/grade/work speak of pedals, saddle or load, and serve only while these are in use; lines of …/lying serve alone while somebody lies.
func (s Scenario) Line(sign body.Sign, ch body.Channel, grade, nth int, m Moment) string {
	for g := grade; g >= 1; g-- {
		key := fmt.Sprintf("%s/%s/%d", sign, ch, g)
		for _, voice := range []map[string][]string{s.Case.Voice.Signs, defaultVoice().Signs} {
			lines := voice[key]
			switch down := voice[key+"/"+whenLying]; {
			case m.Pedalling:
				lines = slices.Concat(voice[key+"/"+atWork], lines)
			case m.Posture == body.Lying && len(down) > 0:
				lines = down
			}
			if len(lines) > 0 {
				return s.turn(lines, key, nth)
			}
		}
	}
	return ""
}

// atWork and whenLying are last parts of a key: lines that serve only on turning pedals, and only lying down.
const (
	atWork    = "work"
	whenLying = "lying"
)

// signOf is a key without what it says of place.
func signOf(key string) string {
	return strings.TrimSuffix(strings.TrimSuffix(key, "/"+atWork), "/"+whenLying)
}
