package scenarios

import (
	_ "embed"
	"fmt"
	"slices"
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
	Signs   map[string][]string `yaml:"signs"`   // by sign/channel/grade, or sign/channel/grade/work
}

// defaultVoice is read once; the file ships with the program and a test holds it to its form.
var defaultVoice = sync.OnceValue(func() commonVoice {
	var v commonVoice
	if err := DecodeStrict("voice.yaml", voiceFile, &v, nil); err != nil {
		panic("scenarios: " + err.Error())
	}
	return v
})

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

// band is the effort of somebody at work, or the rest before it, or the rest after it.
func band(rpe float64, pedalling bool) string {
	switch e := effort(rpe); {
	case pedalling && e == "none":
		return "easy" // nobody on turning pedals looks or talks as if at rest
	case !pedalling && e != "none":
		return "after"
	default:
		return e
	}
}

// turn picks the nth line of a list, starting where this subject starts, so that nobody says the same thing twice running.
func (s Scenario) turn(lines []string, label string, nth int) string {
	if len(lines) == 0 {
		return ""
	}
	start := s.Stream("turn/" + label).Uint64()
	return lines[(start+uint64(nth))%uint64(len(lines))]
}

// Talk is the answer to "how do you feel?" of somebody in whom nothing else is to be told.
func (s Scenario) Talk(rpe float64, pedalling bool, nth int) string {
	e := band(rpe, pedalling)
	return s.turn(defaultVoice().Talk[e], "talk/"+e, nth)
}

// Rating is what goes with pointing at the scale.
func (s Scenario) Rating(rpe float64, nth int) string {
	e := effort(rpe)
	return s.turn(defaultVoice().Rating[e], "rating/"+e, nth)
}

// Look is what is seen of somebody at this effort in whom nothing else is to be seen.
func (s Scenario) Look(rpe float64, pedalling bool, nth int) string {
	e := band(rpe, pedalling)
	return s.turn(defaultVoice().Look[e], "look/"+e, nth)
}

// Line is what the person says, or what is seen, of a sign at its grade; a lower grade's words serve when there are none. Lines of
// sign/channel/grade/work speak of pedals, saddle or load, and serve only while these are in use.
func (s Scenario) Line(sign body.Sign, ch body.Channel, grade, nth int, pedalling bool) string {
	for g := grade; g >= 1; g-- {
		key := fmt.Sprintf("%s/%s/%d", sign, ch, g)
		for _, voice := range []map[string][]string{s.Case.Voice.Signs, defaultVoice().Signs} {
			lines := voice[key]
			if pedalling {
				lines = slices.Concat(voice[key+"/"+atWork], lines)
			}
			if len(lines) > 0 {
				return s.turn(lines, key, nth)
			}
		}
	}
	return ""
}

// atWork is the last part of a key whose lines serve only on turning pedals.
const atWork = "work"
