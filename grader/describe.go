package grader

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"kilopond/physiology/protocol"
)

// ownSettings explains the fields that only the grader has.
var ownSettings = map[string]protocol.Setting{
	"name":               {Meaning: "what this rulebook is called", Source: "CHOICE-RULEBOOK"},
	"weights.safety":     {Meaning: "points of the safety part", Source: "CHOICE-WEIGHTS"},
	"weights.validity":   {Meaning: "points of the validity part", Source: "CHOICE-WEIGHTS"},
	"weights.procedure":  {Meaning: "points of the procedure part", Source: "CHOICE-WEIGHTS"},
	"weights.arithmetic": {Meaning: "points of the arithmetic and report part", Source: "CHOICE-WEIGHTS"},
	"pass_percent":       {Meaning: "percent of the points in reach that pass, with the gate open", Source: "CHOICE-WEIGHTS"},
}

// Describe lists every field of the rulebook with its dotted path, its value, what it means, the choices met, and where it comes from.
func (b Rulebook) Describe() []protocol.Setting {
	var all []protocol.Setting
	walk(reflect.ValueOf(b), "", &all)
	for i := range all {
		s := &all[i]
		bare := withoutNumbers(s.Path)
		about, ok := protocol.Explain(bare)
		if !ok {
			about = ownSettings[bare]
		}
		s.Meaning, s.Choices, s.Source = about.Meaning, about.Choices, about.Source
		if rule, ok := strings.CutPrefix(s.Path, "points."); ok {
			s.Meaning, s.Source = asks(rule), "CHOICE-POINTS"
		}
		if strings.HasPrefix(s.Path, "tolerances.") {
			s.Meaning, s.Source = toleranceMeaning(s.Path), "CHOICE-TOLERANCES"
		}
	}
	return all
}

func toleranceMeaning(path string) string {
	if strings.HasSuffix(path, ".full") {
		return "off by at most this: full credit"
	}
	return "off by this or more: no credit"
}

func asks(rule string) string {
	for _, r := range Rules() {
		if r.Name == rule {
			return r.Asks
		}
	}
	return ""
}

func withoutNumbers(path string) string {
	var keep []string
	for _, p := range strings.Split(path, ".") {
		if _, err := strconv.Atoi(p); err != nil {
			keep = append(keep, p)
		}
	}
	return strings.Join(keep, ".")
}

// walk lists the leaves of a struct by their wire names.
func walk(v reflect.Value, path string, all *[]protocol.Setting) {
	at := func(key string) string {
		if path == "" {
			return key
		}
		return path + "." + key
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			tag := v.Type().Field(i).Tag.Get("yaml")
			key, rest, _ := strings.Cut(tag, ",")
			switch {
			case strings.Contains(rest, "inline"):
				walk(v.Field(i), path, all)
			case strings.Contains(rest, "omitempty") && v.Field(i).IsZero():
			default:
				walk(v.Field(i), at(key), all)
			}
		}
	case reflect.Map:
		points, _ := v.Interface().(map[string]float64)
		for _, k := range sortedNames(points) {
			*all = append(*all, protocol.Setting{Path: at(k), Value: fmt.Sprint(points[k])})
		}
	case reflect.Slice:
		if v.Type().Elem().Kind() == reflect.Struct {
			for i := range v.Len() {
				walk(v.Index(i), at(strconv.Itoa(i)), all)
			}
			return
		}
		raw, err := json.Marshal(v.Interface())
		if err != nil {
			panic("grader: " + err.Error()) // numbers only
		}
		*all = append(*all, protocol.Setting{Path: path, Value: string(raw)})
	default:
		*all = append(*all, protocol.Setting{Path: path, Value: fmt.Sprint(v.Interface())})
	}
}
