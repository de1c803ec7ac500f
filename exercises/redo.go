package exercises

import "kilopond/scenarios"

// A Redo says that the first lines of an attempt were carried over from an earlier one, so that somebody could go on otherwise from there.
type Redo struct {
	Lines int `json:"lines"` // carried over
	AtS   int `json:"at_s"`  // where the attempt becomes one of its own: seconds since the encounter began
}

// Until returns those first lines of an attempt whose commands were done by a second of the encounter.
func Until(lines []Line, atS int) []Line {
	n := 0
	for n < len(lines) && lines[n].AtS <= atS {
		n++
	}
	return lines[:n]
}

// Again carries out the commands of earlier lines on the same person under a new first line, whose Redo it fills, and returns where that leads.
// Lines that this subject would not give are a *Damage error.
func Again(h Header, sc scenarios.Scenario, earlier []Line) (*Session, error) {
	h.Redo = &Redo{Lines: len(earlier)}
	if len(earlier) > 0 {
		h.Redo.AtS = earlier[len(earlier)-1].AtS
	}
	return Resimulate(h, sc, earlier)
}
