package scenarios

import (
	"math/rand/v2"

	"kilopond/physiology/body"
	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

// A Scenario is one subject of a case, drawn by a seed, and the state in which the equipment was left.
type Scenario struct {
	Case   Case
	Seed   Seed
	Name   Name
	Traits body.Traits
	Day    body.Day
	Artery instrument.Artery
	Health []Told

	Greeting string
	Consent  string
	Arriving string // what is seen when the person walks in

	Equipment Equipment       // what is wrong with it, until it is checked
	BrakeZero unit.Resistance // what the pendulum shows unloaded, until it is set to zero
	KneeDeg   int             // bend of the knee at the bottom of the stroke, as the saddle stands
	LegReach  int             // degrees of knee bend for one step of the saddle
}

// A Told is one health question with the person's answer.
type Told struct {
	Key, Question, Says string
	Flag                bool // a careful proctor does not pass over this
}

// Stream returns the generator that the subject keeps for one purpose.
func (s Scenario) Stream(label string) *rand.Rand { return s.Case.stream(s.Seed, label) }

// stream salts a label with the case, so that the same seed is somebody else in another case.
func (c Case) stream(seed Seed, label string) *rand.Rand { return seed.Stream(c.Hash + "/" + label) }

// Draw returns the subject that the seed brings in. The same case bytes, seed and Model give the same person everywhere.
func (c Case) Draw(seed Seed) Scenario {
	s := Scenario{Case: c, Seed: seed}
	words := s.Stream("words")
	who := c.Who
	if len(c.Reasons) > 0 {
		reason := c.Reasons[words.IntN(len(c.Reasons))]
		who = who.with(reason)
		s.Health = tell(words, c.Health, reason.Health)
		s.Arriving = pick(words, reason.Looks)
	} else {
		s.Health = tell(words, c.Health, nil)
	}
	s.settle(who)
	s.Artery = who.Artery.draw(s.whoStream("artery"), s.Traits.RestSBP)
	s.Name = pickName(words, c.Names, s.Traits.Sex)
	if c.Person != "" {
		s.Name = pickName(s.whoStream("name"), c.Names, s.Traits.Sex)
	}
	s.Greeting = pick(words, c.Voice.Greeting)
	s.Consent = pick(words, c.Voice.Consent)
	if looks := pick(words, c.Voice.Looks); s.Arriving == "" {
		s.Arriving = looks
	}
	room := s.Stream("room")
	zeros := []unit.Resistance{0, 0, 0, 0.1, -0.1, 0.2} // Source: [CHOICE-ROOM].
	s.BrakeZero = zeros[room.IntN(len(zeros))]
	s.KneeDeg = 5 * (1 + room.IntN(10)) // 5–50 degrees. Source: [CHOICE-ROOM].
	s.LegReach = 5
	s.Equipment = c.Room.find(s.Stream("equipment"))
	return s
}

// Body returns the subject's body at second 0.
func (s Scenario) Body() *body.Body {
	return body.New(s.Traits, s.Day, s.Case.Ills, s.Stream("ill"), s.Stream("noise"))
}

// Truth returns what is so of the subject.
func (s Scenario) Truth() Truth {
	t := s.Traits
	truth := Truth{
		CaseID: s.Case.ID, Model: Model, Seed: s.Seed, RightAct: s.Case.RightAct,
		Sex: string(t.Sex), AgeY: int(t.Age),
		HeightCM: unit.Round(float64(t.Height), 1), MassKg: unit.Round(float64(t.Mass), 1), ArmCM: unit.Round(float64(t.Arm), 1),
		RestingHRbpm: unit.Round(float64(t.RestHR), 1), RestingSBP: unit.Round(float64(t.RestSBP), 1), RestingDBP: unit.Round(float64(t.RestDBP), 1),
		MaxHRbpm: unit.Round(float64(t.TrueMaxHR), 1),
		VO2MaxL:  unit.Round(t.VO2Max.LitresPerMin(), 3), VO2MaxRel: unit.Round(float64(t.VO2Max.Per(t.Mass)), 2),
		O2CostMlMinW: unit.Round(t.O2Cost, 2),
		Spoiler:      s.Case.Spoiler, Teaches: s.Case.Teaches,
	}
	for _, h := range s.Health {
		if h.Flag {
			truth.Flags = append(truth.Flags, h.Key)
		}
	}
	truth.Room = s.Equipment.Faults()
	for _, i := range s.Case.Ills {
		truth.Ills = append(truth.Ills, i.Name())
	}
	return truth
}

// tell draws an answer to every question; the answers of a reason go before those of the case, and those before the plain ones.
func tell(r *rand.Rand, of, reason []Answer) []Told {
	var told []Told
	for _, q := range Questions() {
		a := answerTo(q.Key, reason)
		if a == nil {
			a = answerTo(q.Key, of)
		}
		if a == nil {
			plain := defaultVoice().Answers[q.Key]
			told = append(told, Told{q.Key, q.Text, pick(r, plain), false})
			continue
		}
		told = append(told, Told{q.Key, q.Text, pick(r, a.Says), a.Flag})
	}
	return told
}

func answerTo(key string, answers []Answer) *Answer {
	for i := range answers {
		if answers[i].Question == key {
			return &answers[i]
		}
	}
	return nil
}

// pick draws one line; it draws once even from an empty list.
func pick(r *rand.Rand, lines []string) string {
	n := r.Uint64()
	if len(lines) == 0 {
		return ""
	}
	return lines[n%uint64(len(lines))]
}

func pickName(r *rand.Rand, names []Name, sex unit.Sex) Name {
	var fit []Name
	for _, n := range names {
		if n.Sex == sex {
			fit = append(fit, n)
		}
	}
	n := r.Uint64()
	if len(fit) == 0 {
		return Name{Name: "the person", Sex: sex}
	}
	return fit[n%uint64(len(fit))]
}

func (r *Range) pair() *[2]float64 {
	if r == nil {
		return nil
	}
	return &[2]float64{r.Low, r.High}
}

func (w Who) with(r Reason) Who {
	if r.RestHR != nil {
		w.RestHR = r.RestHR
	}
	if r.RestSBP != nil {
		w.RestSBP = r.RestSBP
	}
	if r.RestDBP != nil {
		w.RestDBP = r.RestDBP
	}
	return w
}

func (w Who) bounds() body.Who {
	return body.Who{
		Sexes: w.Sexes, AgeLow: int(w.AgeY.Low), AgeHigh: int(w.AgeY.High),
		FitnessZ: w.FitnessZ.pair(), BuildZ: w.BuildZ.pair(),
		RestHR: w.RestHR.pair(), RestSBP: w.RestSBP.pair(), RestDBP: w.RestDBP.pair(),
		Active: w.Active, Volunteer: true,
	}
}

// A Reticence is how much of what is felt the person tells when asked.
type Reticence int

const (
	Open      Reticence = iota // what is felt is told
	Minimises                  // a first question is waved away, a second answered
	Disagrees                  // slight and middling trouble is denied, whoever asks and how often
)

// deniedGrade is the highest grade that can be kept from a proctor who asks: what is worse breaks out. Source: [CHOICE-RETICENCE].
const deniedGrade = 2

// Reticence returns how the person answers when asked how they feel.
func (s Scenario) Reticence() Reticence {
	switch {
	case s.Case.Disagrees:
		return Disagrees
	case s.Case.Minimises:
		return Minimises
	}
	return Open
}

// HeldBack reports whether a person who has not yet been asked keeps the symptom back when asked.
func (s Scenario) HeldBack(y body.Symptom) bool {
	return s.Reticence() != Open && y.Channel == body.Found && y.Grade <= deniedGrade && s.Line(y.Sign, y.Channel, y.Grade, 0, Moment{Pedalling: true}) != ""
}
