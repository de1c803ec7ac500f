package grader

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"sort"
	"strings"

	"kilopond/physiology/instrument"
	"kilopond/physiology/protocol"
	"kilopond/scenarios"
)

// A Rulebook is the rules of a house: the protocol's arithmetic and timing, what each rule is worth, the gate, the tolerances.
type Rulebook struct {
	Name           string `json:"name" yaml:"name"`
	BasedOn        string `json:"-" yaml:"based_on,omitempty"` // in a file: the shipped rulebook that it changes
	protocol.Rules `yaml:",inline"`
	Weights        Weights            `json:"weights" yaml:"weights"`
	Points         map[string]float64 `json:"points" yaml:"points"` // by rule; within a part only proportions matter
	PassPercent    float64            `json:"pass_percent" yaml:"pass_percent"`
	Tolerances     Tolerances         `json:"tolerances" yaml:"tolerances"`
}

// Weights are the points of the four parts.
type Weights struct {
	Safety     float64 `json:"safety" yaml:"safety"`
	Validity   float64 `json:"validity" yaml:"validity"`
	Procedure  float64 `json:"procedure" yaml:"procedure"`
	Arithmetic float64 `json:"arithmetic" yaml:"arithmetic"`
}

// Of returns the weight of a part.
func (w Weights) Of(p Part) float64 {
	switch p {
	case Safety:
		return w.Safety
	case Validity:
		return w.Validity
	case Procedure:
		return w.Procedure
	}
	return w.Arithmetic
}

// A Tolerance gives full credit up to Full, none from None on, and a straight line between.
type Tolerance struct {
	Full float64 `json:"full" yaml:"full"`
	None float64 `json:"none" yaml:"none"`
}

// Credit returns the credit of an answer that is off by the distance, in the tolerance's unit.
func (t Tolerance) Credit(off float64) float64 { return share(off, t.Full, t.None) }

// Tolerances are how far an answer may be off. Percent are of the right answer.
type Tolerances struct {
	Ceiling  Tolerance `json:"ceiling_bpm" yaml:"ceiling_bpm"`
	StageHR  Tolerance `json:"stage_hr_bpm" yaml:"stage_hr_bpm"`
	WorkRate Tolerance `json:"max_work_rate_percent" yaml:"max_work_rate_percent"`
	VO2      Tolerance `json:"vo2max_percent" yaml:"vo2max_percent"`
	PulseBPM Tolerance `json:"pulse_bpm" yaml:"pulse_bpm"`
	RestBP   Tolerance `json:"resting_pressure_mmhg" yaml:"resting_pressure_mmhg"`
	WorkSBP  Tolerance `json:"working_systolic_mmhg" yaml:"working_systolic_mmhg"`
	WorkDBP  Tolerance `json:"working_diastolic_mmhg" yaml:"working_diastolic_mmhg"`
}

// Default returns the complete rulebook that ships. Source: [CHOICE-WEIGHTS]; tolerances [CHOICE-TOLERANCES].
func Default() Rulebook {
	points := proctorPoints()
	for name, p := range arithmeticPoints() {
		points[name] = p
	}
	return Rulebook{
		Name:        "four-band",
		Rules:       protocol.Default(),
		Weights:     Weights{Safety: 40, Validity: 30, Procedure: 15, Arithmetic: 15},
		Points:      points,
		PassPercent: 85,
		Tolerances: Tolerances{
			Ceiling: Tolerance{1, 2}, StageHR: Tolerance{0.5, 2}, WorkRate: Tolerance{1, 5}, VO2: Tolerance{2, 8},
			PulseBPM: Tolerance{4, 12}, RestBP: Tolerance{4, 10}, WorkSBP: Tolerance{6, 16}, WorkDBP: Tolerance{8, 20},
		},
	}
}

// DecodeRulebook reads a rulebook file: it says only what differs from the shipped rulebook that it names in based_on, or from the default.
// The error is scenarios.Faults.
func DecodeRulebook(file string, data []byte) (Rulebook, error) {
	b := Default()
	err := scenarios.DecodeStrict(file, data, &b, func(d *scenarios.Decoded) { b.checkFile(d.Fault) })
	if err != nil {
		return Rulebook{}, err
	}
	if b.BasedOn != "" {
		base, err := Preset(b.BasedOn)
		if err != nil {
			return Rulebook{}, err
		}
		b = base
		if err := scenarios.DecodeStrict(file, data, &b, func(d *scenarios.Decoded) { b.checkFile(d.Fault) }); err != nil {
			return Rulebook{}, err
		}
		b.BasedOn = ""
	}
	return b, nil
}

// checkFile is check, and the name that only a file has.
func (b Rulebook) checkFile(fault func(path, format string, args ...any)) {
	if b.BasedOn != "" {
		if _, err := Preset(b.BasedOn); err != nil {
			fault("based_on", "based_on: %v", err)
			return
		}
	}
	b.check(fault)
}

// check notes what cannot work, each at its path.
func (b Rulebook) check(fault func(path, format string, args ...any)) {
	for _, f := range b.Rules.Check() {
		fault(f.Path, "%s", f.Message)
	}
	b.checkBrake(fault)
	b.checkReach(fault)
	known := map[string]bool{}
	for _, r := range Rules() {
		known[r.Name] = true
	}
	for _, name := range sortedNames(b.Points) {
		if !known[name] {
			fault("points."+name, "points.%s: no rule of that name", name)
		} else if !finite(b.Points[name]) {
			fault("points."+name, "points.%s: %v is not 0 or more", name, b.Points[name])
		}
	}
	if !(b.PassPercent >= 0 && b.PassPercent <= 100) { // turned round so that not-a-number fails too
		fault("pass_percent", "pass_percent %v: 0 to 100", b.PassPercent)
	}
	w := b.Weights
	if !finite(w.Safety) || !finite(w.Validity) || !finite(w.Procedure) || !finite(w.Arithmetic) || w.Safety+w.Validity+w.Procedure+w.Arithmetic == 0 {
		fault("weights", "weights: none may be negative, and not all may be 0")
	}
	for _, t := range b.Tolerances.named() {
		path := "tolerances." + t.name
		switch {
		case !finite(t.Full) || !finite(t.None):
			fault(path, "%s: full %v, none %v: both 0 or more", path, t.Full, t.None)
		case t.None <= t.Full:
			fault(path, "%s: no credit from %v on is not above full credit up to %v", path, t.None, t.Full)
		}
	}
}

// checkBrake notes loads that no brake can be set to.
func (b Rulebook) checkBrake(fault func(path, format string, args ...any)) {
	if b.Cadence <= 0 {
		return
	}
	for i, band := range b.Bands {
		for j, w := range band.WorkRates {
			if load := w.Resistance(b.Cadence); load > instrument.MaxResistance {
				fault(fmt.Sprintf("bands.%d.work_rates_kgm_min.%d", i, j), "bands.%d: %v kg·m/min at %v rpm are %.1f kp, and the brake goes to %v", i, float64(w), float64(b.Cadence), float64(load), float64(instrument.MaxResistance))
			}
		}
	}
}

// checkReach notes a part of the grade of which no point can be reached, since none of its rules has any.
func (b Rulebook) checkReach(fault func(path, format string, args ...any)) {
	worth := map[Part]float64{}
	for _, r := range Rules() {
		worth[r.Part] += b.Points[r.Name]
	}
	w := b.Weights
	all := w.Safety + w.Validity + w.Procedure + w.Arithmetic
	for _, p := range []struct {
		part   Part
		name   string
		weight float64
	}{{Safety, "safety", w.Safety}, {Validity, "validity", w.Validity}, {Procedure, "procedure", w.Procedure}, {Arithmetic, "arithmetic", w.Arithmetic}} {
		if p.weight > 0 && worth[p.part] == 0 {
			fault("weights."+p.name, "weights.%s %v: every rule of that part has 0 points, so %v of %v points can never be reached", p.name, p.weight, p.weight, all)
		}
	}
}

// finite says whether a number is 0 or more and at most a million: no points, weight or tolerance is larger.
func finite(x float64) bool { return x >= 0 && x <= 1e6 }

// A namedTolerance is one tolerance with its wire name.
type namedTolerance struct {
	name string
	Tolerance
}

func (t Tolerances) named() []namedTolerance {
	return []namedTolerance{
		{"ceiling_bpm", t.Ceiling}, {"stage_hr_bpm", t.StageHR}, {"max_work_rate_percent", t.WorkRate}, {"vo2max_percent", t.VO2},
		{"pulse_bpm", t.PulseBPM}, {"resting_pressure_mmhg", t.RestBP}, {"working_systolic_mmhg", t.WorkSBP}, {"working_diastolic_mmhg", t.WorkDBP},
	}
}

func sortedNames(m map[string]float64) []string {
	names := make([]string, 0, len(m))
	for n := range m {
		names = append(names, n)
	}
	sort.Strings(names)
	return names
}

// JSON is the rulebook as it stands in an attempt's first line.
func (b Rulebook) JSON() json.RawMessage {
	raw, err := json.Marshal(b)
	if err != nil {
		panic("grader: a rulebook cannot be written: " + err.Error()) // only NaN could do that, and Check refuses it
	}
	return raw
}

// Hash is the SHA-256 of JSON, in hex.
func (b Rulebook) Hash() string {
	sum := sha256.Sum256(b.JSON())
	return hex.EncodeToString(sum[:])
}

// FromJSON reads a rulebook back from an attempt. What could not have been in force there is an error.
func FromJSON(raw json.RawMessage) (Rulebook, error) {
	var b Rulebook
	if err := json.Unmarshal(raw, &b); err != nil {
		return Rulebook{}, errors.New("rulebook of the attempt: it is none that this program can read")
	}
	var wrong []string
	b.check(func(_, format string, args ...any) { wrong = append(wrong, fmt.Sprintf(format, args...)) })
	if len(wrong) > 0 {
		return Rulebook{}, fmt.Errorf("rulebook of the attempt: %s", strings.Join(wrong, "; "))
	}
	return b, nil
}
