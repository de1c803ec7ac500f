package scenarios

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"

	"kilopond/physiology/body"
	"kilopond/physiology/unit"
)

//go:embed library/*.yaml
var library embed.FS

// ErrNoCase says that the library has no case of that name.
var ErrNoCase = errors.New("no such case")

// IDs returns the names of the cases in the library, in alphabetical order.
func IDs() []string {
	files, err := library.ReadDir("library")
	if err != nil {
		panic("scenarios: " + err.Error()) // embedded: cannot be missing
	}
	var ids []string
	for _, f := range files {
		ids = append(ids, strings.TrimSuffix(f.Name(), ".yaml"))
	}
	return ids
}

// Library returns every case that ships.
func Library() ([]Case, error) {
	var all []Case
	for _, id := range IDs() {
		c, err := Load(id)
		if err != nil {
			return nil, err
		}
		all = append(all, c)
	}
	return all, nil
}

// Load reads one case of the library and no other. It returns ErrNoCase, with the nearest name, for one that is not there.
func Load(id string) (Case, error) {
	if !slices.Contains(IDs(), id) {
		if near := Nearest(id, IDs()); near != "" {
			return Case{}, fmt.Errorf("%w: %q; did you mean %s?", ErrNoCase, id, near)
		}
		return Case{}, fmt.Errorf("%w: %q", ErrNoCase, id)
	}
	data, err := library.ReadFile(path.Join("library", id+".yaml"))
	if err != nil {
		return Case{}, err
	}
	return DecodeCase(id+".yaml", data)
}

// DecodeCase reads a case. The error is Faults: everything that is wrong, each with its place.
func DecodeCase(file string, data []byte) (Case, error) {
	var c Case
	err := DecodeStrict(file, data, &c, func(d *Decoded) { c.check(d) })
	if err != nil {
		return Case{}, err
	}
	sum := sha256.Sum256(data)
	c.Hash = hex.EncodeToString(sum[:])
	return c, nil
}

// check notes what is wrong in meaning.
func (c *Case) check(d *Decoded) {
	if c.Difficulty < 1 || c.Difficulty > 5 {
		d.Fault("difficulty", "difficulty %d: 1 to 5", c.Difficulty)
	}
	acts := []RightAct{RunToEnd, DoNotTest, EndTest, StopAtOnce, VerifyThenGo}
	if !slices.Contains(acts, c.RightAct) {
		d.Fault("right_act", "right_act %q: one of %v", c.RightAct, acts)
	}
	if len(c.Who.Sexes) == 0 {
		d.Fault("who.sexes", "sexes: at least one of M and F")
	}
	for i, s := range c.Who.Sexes {
		if s != unit.Male && s != unit.Female {
			d.Fault(fmt.Sprintf("who.sexes.%d", i), "sex %q: M or F", s)
		}
	}
	spans := []struct {
		path      string
		r         *Range
		low, high float64
	}{
		{"who.age_y", &c.Who.AgeY, 18, 79}, {"who.fitness_z", c.Who.FitnessZ, -3, 3}, {"who.build_z", c.Who.BuildZ, -3, 3},
		{"who.resting_hr_bpm", c.Who.RestHR, 38, 130}, {"who.resting_sbp_mmhg", c.Who.RestSBP, 80, 230},
		{"who.resting_dbp_mmhg", c.Who.RestDBP, 38, 130}, {"who.nerves_bpm", c.Who.NervesBpm, -5, 30},
	}
	for i := range c.Reasons {
		r := &c.Reasons[i]
		at := fmt.Sprintf("reasons.%d.", i)
		spans = append(spans, []struct {
			path      string
			r         *Range
			low, high float64
		}{{at + "resting_hr_bpm", r.RestHR, 38, 130}, {at + "resting_sbp_mmhg", r.RestSBP, 80, 230}, {at + "resting_dbp_mmhg", r.RestDBP, 38, 130}}...)
		c.checkAnswers(d, at+"health", r.Health)
	}
	for _, s := range spans {
		if s.r == nil {
			continue
		}
		if s.r.Low > s.r.High {
			d.Fault(s.path, "%s: low %g is above high %g", s.path, s.r.Low, s.r.High)
		} else if s.r.Low < s.low || s.r.High > s.high {
			d.Fault(s.path, "%s: %g–%g leaves %g–%g", s.path, s.r.Low, s.r.High, s.low, s.high)
		}
	}
	for i, n := range c.Names {
		if n.Sex != unit.Male && n.Sex != unit.Female {
			d.Fault(fmt.Sprintf("names.%d.sex", i), "sex %q: M or F", n.Sex)
		}
	}
	for _, s := range c.Who.Sexes {
		if !slices.ContainsFunc(c.Names, func(n Name) bool { return n.Sex == s }) {
			d.Fault("names", "names: none for sex %s", s)
		}
	}
	c.checkAnswers(d, "health", c.Health)
	for name, lines := range map[string][]string{"voice.greeting": c.Voice.Greeting, "voice.consent": c.Voice.Consent, "voice.looks": c.Voice.Looks, "sources": c.Sources} {
		if len(lines) == 0 {
			d.Fault(name, "%s: at least one", name)
		}
	}
	for key, lines := range c.Voice.Signs {
		if !signKey(key) {
			d.Fault("voice.signs."+key, "voice.signs: %q is not sign/channel/grade", key)
		}
		if len(lines) == 0 {
			d.Fault("voice.signs."+key, "voice.signs.%s: at least one line", key)
		}
	}
	for i, ill := range c.Ills {
		for _, fault := range ill.Check() {
			d.Fault(fmt.Sprintf("ills.%d", i), "ills.%d: %s", i, fault)
		}
	}
}

func (c *Case) checkAnswers(d *Decoded, at string, answers []Answer) {
	for i, a := range answers {
		if !slices.Contains(questionKeys(), a.Question) {
			d.Fault(fmt.Sprintf("%s.%d.question", at, i), "question %q: one of %s", a.Question, strings.Join(questionKeys(), ", "))
		}
		if len(a.Says) == 0 {
			d.Fault(fmt.Sprintf("%s.%d", at, i), "%s.%d.says: at least one answer", at, i)
		}
	}
}

// signKey reports whether the key is sign/channel/grade of a sign that a body can show.
func signKey(key string) bool {
	part := strings.Split(key, "/")
	return len(part) == 3 && slices.Contains(body.Signs(), body.Sign(part[0])) &&
		slices.Contains([]body.Channel{body.Unasked, body.Seen, body.Found}, body.Channel(part[1])) &&
		len(part[2]) == 1 && part[2] >= "1" && part[2] <= "4"
}
