package protocol

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"kilopond/physiology/unit"
)

// An InputKey is one input of a formula.
type InputKey struct {
	Name     string
	Unit     string
	Meaning  string
	Low      float64 // −Inf when there is no bound, and for a text
	High     float64 // +Inf when there is no bound, and for a text
	Optional bool
	text     []string // the texts that are taken; nil for a number
	list     bool     // numbers apart by blanks
	pairs    bool     // WORKRATE:HR pairs apart by blanks
}

// MarshalJSON gives null for a bound that there is not, and for those of a text.
func (k InputKey) MarshalJSON() ([]byte, error) {
	bound := func(x float64) *float64 {
		if math.IsInf(x, 0) || k.Low == k.High {
			return nil
		}
		return &x
	}
	return json.Marshal(struct {
		Name     string   `json:"name"`
		Unit     string   `json:"unit"`
		Meaning  string   `json:"meaning"`
		Low      *float64 `json:"low"`
		High     *float64 `json:"high"`
		OneOf    []string `json:"one_of,omitempty"`
		Optional bool     `json:"optional,omitempty"`
	}{k.Name, k.Unit, k.Meaning, bound(k.Low), bound(k.High), k.text, k.Optional})
}

// A BadInput says which input of a formula cannot be used, and what would be.
type BadInput struct{ Key, Why, Hint string }

func (b *BadInput) Error() string {
	if b.Key == "" {
		return b.Why
	}
	return b.Key + ": " + b.Why
}

// inputs reads the values of a formula and keeps the first fault.
type inputs struct {
	given map[string]string
	keys  []InputKey
	err   *BadInput
	steps []string
	warns []string
}

func (in *inputs) fail(key, hint, format string, args ...any) {
	if in.err == nil {
		in.err = &BadInput{key, fmt.Sprintf(format, args...), hint}
	}
}

func (in *inputs) key(name string) InputKey {
	for _, k := range in.keys {
		if k.Name == name {
			return k
		}
	}
	panic("protocol: the formula has no input " + name)
}

func (in *inputs) has(name string) bool { _, ok := in.given[name]; return ok }

// number parses and checks one number of an input.
func (in *inputs) number(k InputKey, text string) float64 {
	x, err := strconv.ParseFloat(text, 64)
	if x == 0 {
		x = 0 // −0 is 0
	}
	switch {
	case err != nil || math.IsNaN(x) || math.IsInf(x, 0) || strings.ContainsAny(text, "xXpP_"): // a plain number, not one of a program
		in.fail(k.Name, "a number"+in.bounds(k), "%q is not a number", text)
	case x < k.Low || x > k.High:
		in.fail(k.Name, "a number"+in.bounds(k), "%s is out of range", text)
	}
	return x
}

func (in *inputs) bounds(k InputKey) string {
	if math.IsInf(k.High, 1) {
		return ""
	}
	return fmt.Sprintf(" from %s to %s", num(k.Low), num(k.High))
}

func (in *inputs) num(name string) float64 { return in.number(in.key(name), in.given[name]) }

func (in *inputs) numOr(name string, otherwise float64) float64 {
	if !in.has(name) {
		return otherwise
	}
	return in.num(name)
}

func (in *inputs) text(name string) string {
	k, v := in.key(name), in.given[name]
	if k.text != nil && !slices.Contains(k.text, v) {
		in.fail(name, "one of: "+strings.Join(k.text, ", "), "%q is not known", v)
	}
	return v
}

func (in *inputs) nums(name string) []float64 {
	k := in.key(name)
	var all []float64
	for _, f := range strings.Fields(in.given[name]) {
		all = append(all, in.number(k, f))
	}
	if len(all) == 0 {
		in.fail(name, "numbers apart by blanks", "no numbers")
	}
	return all
}

// points reads WORKRATE:HR pairs.
func (in *inputs) points(name string) (work, hr []float64) {
	k := in.key(name)
	for _, f := range strings.Fields(in.given[name]) {
		w, h, ok := strings.Cut(f, ":")
		if !ok {
			in.fail(name, `for example "300:112 450:127"`, "%q is not VALUE:HR", f)
			return nil, nil
		}
		work = append(work, in.number(k, w))
		hr = append(hr, in.number(InputKey{Name: name, Low: 30, High: 240}, h))
	}
	if len(work) == 0 {
		in.fail(name, `for example "300:112 450:127"`, "no pairs")
	}
	return work, hr
}

// sex also takes the words.
func (in *inputs) sex() unit.Sex {
	if s, ok := unit.ParseSex(in.given["sex"]); ok {
		return s
	}
	return unit.Sex(in.text("sex"))
}

func (in *inputs) step(format string, args ...any) {
	in.steps = append(in.steps, fmt.Sprintf(format, args...))
}

func (in *inputs) warn(format string, args ...any) {
	in.warns = append(in.warns, fmt.Sprintf(format, args...))
}
