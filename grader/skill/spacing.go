package skill

import (
	"math"
	"time"
)

const day = 24 * time.Hour

// Gap is after how long a skill is due again when it is to be known so long from now: 26 % of a week, 7.5 % of a year, and a power law
// between, so that 20–40 % and 5–10 % are met and the first gap ends before the same hour two days later. Source: [CEPEDA2008].
func Gap(horizon time.Duration) time.Duration {
	const (
		week, year     = 7.0, 365.0
		ofWeek, ofYear = 0.26, 0.075
	)
	days := max(0, horizon.Hours()/24)
	power := math.Log(ofYear/ofWeek) / math.Log(year/week)
	share := ofWeek * math.Pow(min(year, max(week, days))/week, power)
	return time.Duration(share * days * float64(day))
}

// sittingApart is how far apart two answers lie when they belong to two sittings: what is done within the same day does not space anything.
// Source: [CHOICE-SKILL-SPACING].
const sittingApart = 8 * time.Hour

// firstHorizon is how long a skill is to be kept after the first sitting: until the lab of next week. Each further sitting doubles it, up to a
// year. Source: [CHOICE-SKILL-SPACING].
const (
	firstHorizon = 7 * day
	lastHorizon  = 365 * day
)

// A spacing is when one skill was sat, and when it is due.
type spacing struct {
	sittings int
	last     time.Time // of the answers
	step     int       // doublings of the horizon that the present sitting has earned
	sitting  []outcome // of the present one
}

// take notes an answer.
func (s *spacing) take(at time.Time, o outcome) {
	if len(s.sitting) == 0 || at.Sub(s.last) >= sittingApart {
		switch {
		case len(s.sitting) == 0:
		case s.badly(): // it begins again with the short gap
			s.step = 0
		case at.Sub(s.last) >= s.gap()/2: // one that comes sooner lengthens nothing
			s.step++
		}
		s.sittings++
		s.sitting = nil
	}
	s.last = at
	s.sitting = append(s.sitting, o)
}

// badly says whether the present sitting went so that the level might go down.
func (s *spacing) badly() bool { return shareRight(s.sitting) < downBelow }

// gap is how long after the last answer the skill is due: a day when the last sitting went badly.
func (s *spacing) gap() time.Duration {
	if s.badly() {
		return day
	}
	horizon := time.Duration(firstHorizon)
	for range s.step {
		horizon = min(2*horizon, lastHorizon)
	}
	return Gap(horizon)
}

// due is when the skill is due again; zero, at once, when it was never sat.
func (s *spacing) due() time.Time {
	if len(s.sitting) == 0 {
		return time.Time{}
	}
	return s.last.Add(s.gap())
}
