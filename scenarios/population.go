package scenarios

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"kilopond/physiology/body"
	"kilopond/physiology/instrument"
	"kilopond/physiology/unit"
)

// A Mix is who may walk in outside the cases.
type Mix string

const (
	General    Mix = "general"   // unscreened people of 18 to 79, spread evenly
	Volunteers Mix = "volunteer" // people who volunteer for a fitness test: leaner, no high resting pressure
	Students   Mix = "students"  // volunteers of a course: four in five are 18 to 35
)

// Mixes lists them.
func Mixes() []Mix { return []Mix{General, Volunteers, Students} }

// Ages of adults who are simulated at all, in years.
const (
	YoungestY = 18
	OldestY   = 79
)

// A Population draws people outside the cases. The zero value is not usable; see NewPopulation.
type Population struct {
	mix       Mix
	sexes     []unit.Sex
	low, high int
}

// NewPopulation returns the people of a mix, of the sexes given (none: both) and of the ages low to high, inclusive.
func NewPopulation(mix Mix, sexes []unit.Sex, low, high int) (Population, error) {
	if !slices.Contains(Mixes(), mix) {
		return Population{}, fmt.Errorf("mix %q: one of %s", mix, words(Mixes()))
	}
	if low > high || low < YoungestY || high > OldestY {
		return Population{}, fmt.Errorf("age-y %d:%d: from %d to %d, the lower first", low, high, YoungestY, OldestY)
	}
	return Population{mix, sexes, low, high}, nil
}

// A Person is one of a population, outside the cases.
type Person struct {
	Seed   Seed
	Traits body.Traits
	Artery instrument.Artery
	Ills   []body.Ill // rare, and only in the general mix
}

// fallers is the share of the general mix in whom systolic pressure falls while work rises. Source: [BENARI1990] a few per cent by the wide
// definition; [CHOICE-POPULATION] about one per cent for a true fall.
const fallers = 0.01

// The shares of the general mix in whom beats come early in work: often, and now and then. Source: [REFAAT2021] 1.8 %; [BLACKBURN1973] some in a third at the
// highest load; how many a minute [CHOICE-RHYTHM].
const oftenEarly, someEarly = 0.018, 0.33

// Draw returns the person of the seed.
func (p Population) Draw(seed Seed) Person {
	r := seed.Stream("person/subject")
	low, high := p.ages(r)
	person := Person{Seed: seed, Traits: body.DrawTraits(r, body.Who{Sexes: p.sexes, AgeLow: low, AgeHigh: high, Volunteer: p.mix != General})}
	person.Artery = instrument.DrawArtery(seed.Stream("person/artery"), person.Traits.RestSBP)
	if p.mix == General && r.Float64() < fallers {
		person.Ills = []body.Ill{{PressureFall: &body.FallingBP{Onset: body.Span{Low: 0.4, High: 0.8}, Fall: body.Span{Low: 15, High: 40}}}}
	}
	if p.mix == General {
		person.Ills = earlyBeats(person.Ills, r.Float64())
	}
	return person
}

// earlyBeats adds the premature beats of somebody who stands at u of all people.
func earlyBeats(ills []body.Ill, u float64) []body.Ill {
	beats := body.PrematureBeats{Onset: body.Span{Low: 0.3, High: 0.8}, PerMin: body.Span{Low: 0.2, High: 1.5}}
	switch {
	case u < oftenEarly:
		beats.PerMin = body.Span{Low: 7, High: 20}
	case u >= someEarly:
		return ills
	}
	return append(ills, body.Ill{PrematureBeats: &beats})
}

// youngTo is the age up to which most students are, and young their share. Source: [CHOICE-POPULATION].
const (
	youngTo = 35
	young   = 0.8
)

// ages are the bounds within which this person's age is drawn; it draws once.
func (p Population) ages(r *rand.Rand) (low, high int) {
	u := r.Float64()
	switch {
	case p.mix != Students || p.high <= youngTo || p.low > youngTo:
		return p.low, p.high
	case u < young:
		return p.low, youngTo
	}
	return youngTo + 1, p.high
}

// Day returns the person on a day, numbered from 1, from which their body is made.
func (p Person) Day(n int) body.Day {
	return body.DrawDay(p.Seed.Stream(fmt.Sprintf("person/day/%d", n)), nil)
}

// Begin makes b the body of the person on a day, seated on a chair, keeping its buffers.
func (p Person) Begin(b *body.Body, day int) {
	b.Reset(p.Traits, p.Day(day), p.Ills, p.Seed.Stream(fmt.Sprintf("person/ill/%d", day)), p.Stream("noise", day))
}

// Stream returns the generator that the person keeps for one purpose on one day.
func (p Person) Stream(label string, day int) *rand.Rand {
	return p.Seed.Stream(fmt.Sprintf("person/%s/%d", label, day))
}

// words are names in a row, as they are read.
func words[T ~string](all []T) string {
	var s []string
	for _, x := range all {
		s = append(s, string(x))
	}
	return strings.Join(s, ", ")
}
