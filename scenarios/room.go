package scenarios

import (
	"fmt"
	"math/rand/v2"

	"kilopond/physiology/unit"
)

// A Room is what is wrong with the equipment. Every range is drawn for the person; nil is as it should be.
type Room struct {
	BrakeLow   *Range `json:"brake_low,omitempty" yaml:"brake_low,omitempty"`                     // fraction of the dial's force that is missing; below 0, too much
	BrakeSlips *Range `json:"brake_slips_after_s,omitempty" yaml:"brake_slips_after_s,omitempty"` // s of loaded work after which the belt slips
	BrakeDrift *Range `json:"brake_drift_per_min,omitempty" yaml:"brake_drift_per_min,omitempty"` // fraction of the force lost in a minute since it was set
	Metronome  *Range `json:"metronome_off_rpm,omitempty" yaml:"metronome_off_rpm,omitempty"`     // beats a minute above its dial
	CuffLeak   *Range `json:"cuff_leak_mmhg_s,omitempty" yaml:"cuff_leak_mmhg_s,omitempty"`       // mmHg/s on top of the valve
	GaugeZero  *Range `json:"gauge_zero_mmhg,omitempty" yaml:"gauge_zero_mmhg,omitempty"`         // where the needle stands without pressure
	ArmBelowCM *Range `json:"arm_cm_below_heart,omitempty" yaml:"arm_cm_below_heart,omitempty"`   // cm
	Monitor    bool   `json:"monitor_drops,omitempty" yaml:"monitor_drops,omitempty"`             // its strap slips
}

// spans are the ranges with their bounds, in a fixed order.
func (r *Room) spans() []struct {
	key       string
	r         *Range
	low, high float64
} {
	return []struct {
		key       string
		r         *Range
		low, high float64
	}{
		{"brake_low", r.BrakeLow, -0.4, 0.4}, {"brake_slips_after_s", r.BrakeSlips, 60, 1800}, {"brake_drift_per_min", r.BrakeDrift, 0.001, 0.1},
		{"metronome_off_rpm", r.Metronome, -10, 10}, {"cuff_leak_mmhg_s", r.CuffLeak, 0.5, 10}, {"gauge_zero_mmhg", r.GaugeZero, -20, 20},
		{"arm_cm_below_heart", r.ArmBelowCM, -30, 30},
	}
}

func (r *Room) check(d *Decoded) {
	given := 0
	for _, s := range r.spans() {
		if s.r == nil {
			continue
		}
		given++
		if s.r.Low > s.r.High {
			d.Fault("room."+s.key, "room.%s: low %g is above high %g", s.key, s.r.Low, s.r.High)
		} else if !(s.r.Low >= s.low && s.r.High <= s.high) {
			d.Fault("room."+s.key, "room.%s: %g–%g leaves %g–%g", s.key, s.r.Low, s.r.High, s.low, s.high)
		}
	}
	if given == 0 && !r.Monitor {
		d.Fault("room", "room: nothing is wrong in it; leave it out")
	}
}

// Equipment is the state in which the equipment is found, until a check sets it right. The zero value is as it should be.
type Equipment struct {
	BrakeLow    float64       // fraction of the dial's force that is missing
	SlipsAfterS int           // s of loaded work; 0 = never
	DriftPerMin float64       // fraction lost in a minute
	Metronome   unit.Cadence  // above its dial
	CuffLeak    float64       // mmHg/s
	GaugeZero   unit.Pressure // mmHg
	ArmBelowCM  float64       // cm

	MonitorDrops bool
}

// slipped is the fraction of the force that a slipped belt still gives. Source: [CHOICE-ROOM].
const slipped = 0.55

// Force is the force really on the flywheel, as a share of what the dial was set to, s seconds of loaded work into the test and set seconds after
// the dial was last turned.
func (e Equipment) Force(worked, set int) float64 {
	share := 1 - e.BrakeLow
	share *= 1 - min(0.6, float64(e.DriftPerMin*float64(set)/60))
	if e.SlipsAfterS > 0 && worked >= e.SlipsAfterS {
		share *= slipped
	}
	return share
}

// Pendulum is what the brake's own scale shows of its dial: a scale that reads low hides what it does not know of.
func (e Equipment) Pendulum(worked, set int) float64 {
	whole := e
	whole.BrakeLow = 0
	return whole.Force(worked, set)
}

// mmHgPerCM is the weight of a column of blood a centimetre high. Source: [CHOICE-ROOM].
const mmHgPerCM = 0.78

// Misread is how much higher than the truth every pressure is read.
func (e Equipment) Misread() unit.Pressure {
	return e.GaugeZero + unit.Pressure(unit.Round(mmHgPerCM*e.ArmBelowCM, 1))
}

// find draws the state of the equipment.
func (r *Room) find(src *rand.Rand) Equipment {
	var e Equipment
	if r == nil {
		return e
	}
	draw := func(x *Range, places int) float64 {
		u := src.Float64()
		if x == nil {
			return 0
		}
		return unit.Round(x.Low+float64(u*(x.High-x.Low)), places)
	}
	e.BrakeLow = draw(r.BrakeLow, 3)
	e.SlipsAfterS = int(draw(r.BrakeSlips, 0))
	e.DriftPerMin = draw(r.BrakeDrift, 4)
	e.Metronome = unit.Cadence(draw(r.Metronome, 0))
	e.CuffLeak = draw(r.CuffLeak, 1)
	e.GaugeZero = unit.Pressure(draw(r.GaugeZero, 0))
	e.ArmBelowCM = draw(r.ArmBelowCM, 0)
	e.MonitorDrops = r.Monitor
	return e
}

// Faults names what is wrong, for the truth.
func (e Equipment) Faults() []string {
	var all []string
	add := func(is bool, format string, args ...any) {
		if is {
			all = append(all, fmt.Sprintf(format, args...))
		}
	}
	add(e.BrakeLow != 0, "the brake gave %.0f %% of its dial", 100*(1-e.BrakeLow))
	add(e.SlipsAfterS > 0, "the belt slipped after %d s of loaded work", e.SlipsAfterS)
	add(e.DriftPerMin != 0, "the brake lost %.1f %% a minute", 100*e.DriftPerMin)
	add(e.Metronome != 0, "the metronome beat %+.0f a minute", float64(e.Metronome))
	add(e.CuffLeak != 0, "the cuff leaked %.1f mmHg/s", e.CuffLeak)
	add(e.GaugeZero != 0, "the gauge stood at %.0f mmHg without pressure", float64(e.GaugeZero))
	add(e.MonitorDrops, "the monitor's strap slipped")
	add(e.ArmBelowCM != 0, "the cuff lay %.0f cm below the heart", e.ArmBelowCM)
	return all
}
