package scenarios

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"kilopond/physiology/body"
	"kilopond/physiology/unit"
)

// idForm is what a student can type and a file can be called; sourceForm is a key of physiology/SOURCES.md.
var (
	idForm     = regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)*$`)
	sourceForm = regexp.MustCompile(`^[A-Z][A-Z0-9]*(-[A-Z0-9]+)*$`)
)

// A bound is a range of a case with what it must stay within.
type bound struct {
	path      string
	r         *Range // nil is not given
	low, high float64
}

// CheckID says what is wrong with the name of a case; nil when nothing is.
func CheckID(id string) error {
	if !idForm.MatchString(id) {
		return fmt.Errorf("id %s: small letters, digits and single hyphens, beginning with a letter", quote(id))
	}
	return nil
}

// check notes what is wrong in meaning.
func (c *Case) check(d *Decoded) {
	if err := CheckID(c.ID); err != nil {
		d.Fault("id", "%v", err)
	}
	for _, x := range []struct{ path, text string }{{"title", c.Title}, {"spoiler", c.Spoiler}, {"teaches", c.Teaches}} {
		if strings.TrimSpace(x.text) == "" {
			d.Fault(x.path, "%s is blank", x.path)
		}
	}
	if c.Difficulty < 1 || c.Difficulty > 5 {
		d.Fault("difficulty", "difficulty %d: 1 to 5", c.Difficulty)
	}
	acts := []RightAct{RunToEnd, DoNotTest, EndTest, StopAtOnce, VerifyThenGo}
	if !slices.Contains(acts, c.RightAct) {
		d.Fault("right_act", "right_act %q: one of %s", c.RightAct, words(acts))
	}
	if len(c.Who.Sexes) == 0 {
		d.Fault("who.sexes", "sexes: at least one of M and F")
	}
	for i, s := range c.Who.Sexes {
		if s != unit.Male && s != unit.Female {
			d.Fault(fmt.Sprintf("who.sexes.%d", i), "sex %q: M or F", s)
		} else if slices.Contains(c.Who.Sexes[:i], s) {
			d.Fault(fmt.Sprintf("who.sexes.%d", i), "sex %s is given twice", s)
		}
	}
	if soundings := []Sounding{"", SilentGap, SoundsToZero, AsInTheBook}; !slices.Contains(soundings, c.Who.Artery) {
		d.Fault("who.artery", "artery %q: one of %s", c.Who.Artery, words(soundings[1:]))
	}
	spans := []bound{
		{"who.age_y", &c.Who.AgeY, 18, 79}, {"who.fitness_z", c.Who.FitnessZ, -3, 3}, {"who.build_z", c.Who.BuildZ, -3, 3},
		{"who.resting_hr_bpm", c.Who.RestHR, 38, 130}, {"who.resting_sbp_mmhg", c.Who.RestSBP, 80, 230},
		{"who.resting_dbp_mmhg", c.Who.RestDBP, 38, 130}, {"who.nerves_bpm", c.Who.NervesBpm, -5, 30},
		{"who.arm_cm", c.Who.ArmCM, 19, 53}, {"who.max_hr_above_predicted_bpm", c.Who.MaxHRAbove, -30, 30},
		{"who.settling_z", c.Who.SettlingZ, -2.5, 2.5}, {"who.drift_bpm_min", c.Who.Drift, -1, 10},
		{"who.first_stage_hr_bpm", c.Who.FirstStage, 60, 160},
	}
	if c.Since != nil {
		spans = append(spans, bound{"since.vo2max_percent", &c.Since.VO2Max, -40, 40}, bound{"since.resting_hr_bpm", c.Since.RestHR, -20, 20})
	}
	for i := range c.Reasons {
		r := &c.Reasons[i]
		at := fmt.Sprintf("reasons.%d.", i)
		spans = append(spans, bound{at + "resting_hr_bpm", r.RestHR, 38, 130}, bound{at + "resting_sbp_mmhg", r.RestSBP, 80, 230},
			bound{at + "resting_dbp_mmhg", r.RestDBP, 38, 130})
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
	c.checkPerson(d)
	c.checkCompetency(d)
	if a := c.Who.AgeY; a.Low != math.Trunc(a.Low) || a.High != math.Trunc(a.High) {
		d.Fault("who.age_y", "who.age_y: %g–%g: whole years", a.Low, a.High)
	}
	for i, n := range c.Names {
		if strings.TrimSpace(n.Name) == "" || strings.TrimSpace(n.Work) == "" {
			d.Fault(fmt.Sprintf("names.%d", i), "names.%d: name or work is blank", i)
		}
		if slices.ContainsFunc(c.Names[:i], func(o Name) bool { return o.Name == n.Name }) {
			d.Fault(fmt.Sprintf("names.%d.name", i), "name %s is given twice", quote(n.Name))
		}
		if n.Sex != unit.Male && n.Sex != unit.Female {
			d.Fault(fmt.Sprintf("names.%d.sex", i), "sex %q: M or F", n.Sex)
		}
	}
	for _, s := range c.Who.Sexes {
		if (s == unit.Male || s == unit.Female) && !slices.ContainsFunc(c.Names, func(n Name) bool { return n.Sex == s }) {
			d.Fault("names", "names: none for sex %s", s)
		}
	}
	c.checkAnswers(d, "health", c.Health)
	for i := range c.Reasons {
		checkLines(d, fmt.Sprintf("reasons.%d.looks", i), c.Reasons[i].Looks, 0)
	}
	checkLines(d, "voice.greeting", c.Voice.Greeting, 1)
	checkLines(d, "voice.consent", c.Voice.Consent, 1)
	checkLines(d, "voice.looks", c.Voice.Looks, 1)
	checkLines(d, "sources", c.Sources, 1)
	for i, key := range c.Sources {
		if !sourceForm.MatchString(key) && strings.TrimSpace(key) != "" {
			d.Fault(fmt.Sprintf("sources.%d", i), "source %s: a key of physiology/SOURCES.md, as TANAKA2001", quote(key))
		}
	}
	for key, lines := range c.Voice.Talk {
		if !slices.Contains(Efforts(), key) {
			d.FaultKey("voice.talk."+key, "voice.talk: %s: one of %s", quote(key), strings.Join(Efforts(), ", "))
			continue
		}
		checkLines(d, "voice.talk."+key, lines, 1)
	}
	if c.Voice.TalkOnly {
		for _, key := range Efforts() {
			if len(c.Voice.Talk[key]) < 2 {
				d.Fault("voice.talk_only", "voice.talk_only: two lines or more for each of %s, as nothing else is said", strings.Join(Efforts(), ", "))
				break
			}
		}
	}
	for key, lines := range c.Voice.Signs {
		if fault := signFault(key); fault != "" {
			d.FaultKey("voice.signs."+key, "voice.signs: %s", fault)
			continue
		}
		checkLines(d, "voice.signs."+key, lines, 1)
	}
	if c.Room != nil {
		c.Room.check(d)
	}
	for i, ill := range c.Ills {
		for _, fault := range ill.Check() {
			at, key := fmt.Sprintf("ills.%d", i), ""
			if key, _, _ = strings.Cut(fault, ":"); d.Has(at + "." + ill.Name() + "." + key) {
				at += "." + ill.Name() + "." + key
			}
			d.Fault(at, "ills.%d: %s", i, fault)
		}
		if n := ill.Nuisance; n != nil {
			if key := fmt.Sprintf("%s/%s/1", body.Harmless, n.Channel); len(c.Voice.Signs[key]) == 0 {
				d.Fault(fmt.Sprintf("ills.%d", i), "ills.%d: a nuisance needs words: voice.signs has no %s", i, key)
			}
		}
	}
}

func (c *Case) checkAnswers(d *Decoded, at string, answers []Answer) {
	for i, a := range answers {
		if !slices.Contains(questionKeys(), a.Question) {
			d.Fault(fmt.Sprintf("%s.%d.question", at, i), "question %s: one of %s", quote(a.Question), strings.Join(questionKeys(), ", "))
		}
		if slices.ContainsFunc(answers[:i], func(b Answer) bool { return b.Question == a.Question }) {
			d.Fault(fmt.Sprintf("%s.%d.question", at, i), "question %s is answered twice", quote(a.Question))
		}
		checkLines(d, fmt.Sprintf("%s.%d.says", at, i), a.Says, 1)
	}
}

// checkLines notes a list that is too short, and lines without a word in them.
func checkLines(d *Decoded, at string, lines []string, least int) {
	if len(lines) < least {
		d.Fault(at, "%s: at least one", at)
	}
	for i, line := range lines {
		if strings.TrimSpace(line) == "" {
			d.Fault(fmt.Sprintf("%s.%d", at, i), "%s.%d is blank", at, i)
		}
	}
}

// signFault says what is wrong with a key that should be sign/channel/grade, also with /work or /lying, of a sign that a body can show; "" when nothing.
func signFault(key string) string {
	part := strings.Split(signOf(key), "/")
	if len(part) != 3 {
		return quote(key) + " is not sign/channel/grade, as chest_discomfort/found/1"
	}
	var signs []string
	for _, s := range body.Signs() {
		signs = append(signs, string(s))
	}
	channels := []string{string(body.Unasked), string(body.Seen), string(body.Found)}
	switch {
	case !slices.Contains(signs, part[0]):
		return fmt.Sprintf("no sign %s%s", quote(part[0]), orNear(part[0], signs))
	case !slices.Contains(channels, part[1]):
		return fmt.Sprintf("%s: no channel %s%s", quote(key), quote(part[1]), orNear(part[1], channels))
	case len(part[2]) != 1 || part[2] < "1" || part[2] > "4":
		return fmt.Sprintf("%s: grade %s: 1 to 4", quote(key), quote(part[2]))
	}
	return ""
}

// orNear offers the nearest word, or all where none is near and they are few.
func orNear(word string, all []string) string {
	const few = 6
	if near := Nearest(word, all); near != "" {
		return "; did you mean " + near + "?"
	}
	if len(all) <= few {
		return ": one of " + strings.Join(all, ", ")
	}
	return "; `kilopond schema case` lists them"
}
