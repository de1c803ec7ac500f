package main

import (
	"math"
	"strings"

	"kilopond/physiology/body"
	"kilopond/physiology/unit"
)

// A bout is one part of a work profile.
type bout struct {
	work    unit.WorkRate // kg·m/min
	percent float64       // of the person's own maximal work rate, when it is given so
	rest    bool          // still: on a chair before the first work, on the cycle after it
	seconds int
}

// Bounds of a profile.
const (
	hardestKgm     = 3000
	longestBoutMin = 240
	mostBouts      = 200
)

const profileHint = "parts of WORKRATExMINUTES: --profile restx5,150x3,450x3,0x5 or 90%x4"

// parseProfile reads a profile: parts of work rate × minutes, apart by commas.
func parseProfile(text string) ([]bout, error) {
	parts := strings.Split(text, ",")
	if len(parts) > mostBouts {
		return nil, usage(profileHint, "--profile: %d parts; %d at most", len(parts), mostBouts)
	}
	var all []bout
	for i, part := range parts {
		part = strings.TrimSpace(part)
		wrong := func(why string) error { return usage(profileHint, "--profile, part %d, %q: %s", i+1, part, why) }
		load, time, ok := strings.Cut(part, "x")
		if part == "" || !ok {
			return nil, wrong("not WORKRATExMINUTES")
		}
		minutes, err := decimal(time)
		if err != nil || !(minutes > 0 && minutes <= longestBoutMin) {
			return nil, wrong("minutes above 0, at most 240")
		}
		b := bout{seconds: int(math.Round(minutes * 60))}
		if b.seconds < 1 {
			return nil, wrong("shorter than a second")
		}
		switch number, percent := strings.CutSuffix(load, "%"); {
		case load == "rest":
			b.rest = true
		case percent:
			if b.percent, err = decimal(number); err != nil || !(b.percent >= 0 && b.percent <= 150) {
				return nil, wrong("0 to 150 % of the maximal work rate")
			}
		default:
			x, err := decimal(load)
			if err != nil || !(x >= 0 && x <= hardestKgm) {
				return nil, wrong("a work rate of 0 to 3000 kg·m/min, a percentage as 90%, or rest")
			}
			b.work = unit.WorkRate(x)
		}
		all = append(all, b)
	}
	return all, nil
}

// traceCadence is what the person is asked to pedal at.
const traceCadence unit.Cadence = 50

// setting is what the bout asks of the person; worked says whether they have pedalled before.
func (b bout) setting(t body.Traits, worked bool) body.Setting {
	switch {
	case b.rest && !worked:
		return body.Setting{Posture: body.Chair}
	case b.rest:
		return body.Setting{Posture: body.OnCycle}
	}
	work := b.work
	if b.percent > 0 {
		work = unit.WorkRate(b.percent/100) * t.MaxWorkRate()
	}
	return body.Setting{Posture: body.OnCycle, Pedalling: true, Metronome: traceCadence, Resistance: work.Resistance(traceCadence)}
}
