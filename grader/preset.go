package grader

import (
	"fmt"

	"kilopond/physiology/protocol"
	"kilopond/scenarios"
)

// A PresetInfo is one rulebook that ships.
type PresetInfo struct {
	Name string `json:"name"`
	Says string `json:"says"`
}

// A preset is a rulebook that ships: what it changes in the default.
type preset struct {
	PresetInfo
	change func(*Rulebook)
}

// presets are the versions of the protocol met in print or in laboratories; each changes one thing. Source: [CSEP2009], [MEMORY-THREE-BANDS],
// [HAND] a fixed ceiling of 150; [EXRX] 70 % of reserve; [IWU-COUNT] 10-s counts; [PATH] pressures in recovery.
func presets() []preset {
	return []preset{
		{PresetInfo{"four-band", "the printed table of four bands; 15-s counts, steady within 5 bpm, 85 % of 220 − age (the default)"}, func(*Rulebook) {}},
		{PresetInfo{"three-band", "the older table of three bands (below 86, 86–100, above 100); its loads are from memory, confirm them first"}, func(b *Rulebook) {
			b.Bands = protocol.ThreeBands()
		}},
		{PresetInfo{"ceiling-150", "an older ceiling: 150 bpm at any age, and no rate above it in the line"}, func(b *Rulebook) {
			b.Ceiling = protocol.CeilingRule{Of: "fixed", Fixed: 150}
			b.WindowHigh = protocol.WindowFixed150
		}},
		{PresetInfo{"reserve-70", "a ceiling of 70 % of heart-rate reserve: it needs the resting rate"}, func(b *Rulebook) {
			b.Ceiling = protocol.CeilingRule{Of: "reserve", Fraction: 0.7}
		}},
		{PresetInfo{"count-10", "10-s counts times 6, steady within one beat of the count"}, func(b *Rulebook) {
			b.Count.Seconds, b.Steady = 10, protocol.WithinOneBeat
		}},
		{PresetInfo{"one-recovery-pressure", "five minutes of active recovery at 0.5 kp, the rate each minute, one pressure"}, func(b *Rulebook) {
			b.CoolDown.ActiveS, b.CoolDown.WatchS, b.CoolDown.Pressures = 300, 300, 1
		}},
	}
}

// Presets lists the rulebooks that ship.
func Presets() []PresetInfo {
	var all []PresetInfo
	for _, p := range presets() {
		all = append(all, p.PresetInfo)
	}
	return all
}

// Preset returns a rulebook that ships; the error offers the nearest name.
func Preset(name string) (Rulebook, error) {
	var names []string
	for _, p := range presets() {
		if p.Name == name {
			b := Default()
			b.Name = name
			p.change(&b)
			return b, nil
		}
		names = append(names, p.Name)
	}
	if near := scenarios.Nearest(name, names); near != "" {
		return Rulebook{}, fmt.Errorf("no rulebook %q; did you mean %s?", name, near)
	}
	return Rulebook{}, fmt.Errorf("no rulebook %q", name)
}
