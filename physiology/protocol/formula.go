package protocol

import (
	"math"
	"slices"
	"sort"
	"strings"

	"kilopond/physiology/unit"
)

// A Formula is one published formula or table, with what it takes and gives.
type Formula struct {
	Kind     string            `json:"kind"`
	Says     string            `json:"says"`
	Keys     []InputKey        `json:"keys"`
	Quantity string            `json:"quantity"`
	Unit     string            `json:"unit"`
	Source   string            `json:"source"`
	work     func(*inputs) any // a float64 or a string
}

// Worked is a formula worked on numbers, line by line.
type Worked struct {
	Kind     string            `json:"kind"`
	Inputs   map[string]string `json:"inputs"`
	Quantity string            `json:"quantity"`
	Unit     string            `json:"unit"`
	Value    any               `json:"value"` // a number, or text for categories; yes/no kinds give 1 or 0
	Steps    []string          `json:"steps"`
	Warnings []string          `json:"warnings,omitempty"`
	Source   string            `json:"source"`
}

// Formulas returns every published formula and table that the tool uses, in the order of a test.
func Formulas() []Formula { return slices.Clone(allFormulas) }

// Kinds lists their names in alphabetical order.
func Kinds() []string {
	var all []string
	for _, f := range allFormulas {
		all = append(all, f.Kind)
	}
	sort.Strings(all)
	return all
}

// FormulaOf returns one formula; ok is false when there is none of that kind.
func FormulaOf(kind string) (Formula, bool) {
	for _, f := range allFormulas {
		if f.Kind == kind {
			return f, true
		}
	}
	return Formula{}, false
}

// Work works a formula. The error is a *BadInput that names the input; it never panics on what was typed.
func Work(kind string, given map[string]string) (Worked, error) {
	f, ok := FormulaOf(kind)
	if !ok {
		return Worked{}, &BadInput{Why: "no formula of the kind " + kind, Hint: "formula list names them"}
	}
	in := &inputs{given: given, keys: f.Keys}
	names := make([]string, 0, len(given))
	for name := range given {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		if !f.takes(name) {
			in.fail(name, "it takes "+f.takesText(), "%s takes no such input", kind)
		}
	}
	for _, k := range f.Keys {
		if !k.Optional && !in.has(k.Name) {
			in.fail(k.Name, "it takes "+f.takesText(), "is missing")
		}
	}
	if in.err != nil {
		return Worked{}, in.err
	}
	value := f.work(in)
	if x, isNumber := value.(float64); isNumber && in.err == nil && (math.IsNaN(x) || math.IsInf(x, 0)) {
		in.fail("", "check the numbers", "these inputs give no value")
	}
	if in.err != nil {
		return Worked{}, in.err
	}
	return Worked{Kind: kind, Inputs: given, Quantity: f.Quantity, Unit: f.unitOf(given), Value: value, Steps: list(in.steps), Warnings: in.warns, Source: f.Source}, nil
}

func (f Formula) takes(name string) bool {
	for _, k := range f.Keys {
		if k.Name == name {
			return true
		}
	}
	return false
}

func (f Formula) takesText() string {
	var names []string
	for _, k := range f.Keys {
		if k.Optional {
			names = append(names, "["+k.Name+"]")
		} else {
			names = append(names, k.Name)
		}
	}
	return strings.Join(names, ", ")
}

// unitOf is the unit of the value, where it depends on what was given or wanted.
func (f Formula) unitOf(given map[string]string) string {
	switch f.Kind {
	case "single_stage":
		if _, ok := given["vo2_l_min"]; ok {
			return "L/min"
		}
	case "estimate":
		switch given["want"] {
		case "max_work_rate_kgm_min":
			return "kgm/min"
		case "mets":
			return "METs"
		}
	}
	return f.Unit
}

func yes(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

func hrs(x []float64) []unit.HR {
	all := make([]unit.HR, len(x))
	for i, v := range x {
		all[i] = unit.HR(v)
	}
	return all
}
