package grader

import (
	"fmt"
	"strconv"
	"strings"

	"kilopond/physiology/protocol"
	"kilopond/scenarios"
)

// SetAll changes single fields, each given as PATH=VALUE. A path given twice is wrong usage. The fields are checked together when all stand,
// since some values only go with others; the rulebook stays as it was when one fails.
func (b *Rulebook) SetAll(assignments []string) error {
	seen := map[string]bool{}
	next := b.clone()
	var paths []string
	for _, a := range assignments {
		path, _, _ := strings.Cut(a, "=")
		if seen[path] {
			return fmt.Errorf("--set %s: given twice", path)
		}
		seen[path] = true
		paths = append(paths, path)
		if err := next.assign(a); err != nil {
			return err
		}
	}
	var wrong []string
	next.check(func(_, format string, args ...any) { wrong = append(wrong, fmt.Sprintf(format, args...)) })
	if len(wrong) > 0 && len(assignments) > 0 {
		return fmt.Errorf("--set %s: %s", strings.Join(paths, ", "), strings.Join(wrong, "; "))
	}
	*b = next
	return nil
}

// Set changes one field: a dotted path as Describe prints it, and a YAML value on one line, as strictly read as in a file. The rulebook stays
// as it was when it fails.
func (b *Rulebook) Set(assignment string) error { return b.SetAll([]string{assignment}) }

// assign changes one field without asking whether the whole still works.
func (b *Rulebook) assign(assignment string) error {
	path, value, ok := strings.Cut(assignment, "=")
	if !ok || path == "" || strings.TrimSpace(value) == "" || strings.ContainsAny(value, "\n\r") {
		return fmt.Errorf("--set %q: write PATH=VALUE, for example steady=lt5", assignment)
	}
	settings := b.Describe()
	paths := make([]string, len(settings))
	exact := false
	for i, s := range settings {
		paths[i] = s.Path
		exact = exact || s.Path == path || strings.HasPrefix(s.Path, path+".")
	}
	if _, known := protocol.Explain(withoutNumbers(path)); !exact && !known { // a field that is left out while it is empty is known, too
		if near := scenarios.Nearest(path, paths); near != "" {
			return fmt.Errorf("--set %s: no such field; did you mean %s?", path, near)
		}
		return fmt.Errorf("--set %s: no such field; `kilopond rulebook show` lists them", path)
	}
	if inList(path) {
		return b.assignInBands(path, value)
	}
	text, err := asFile(path, value)
	if err != nil {
		return fmt.Errorf("--set %s: %w", path, err)
	}
	if err := scenarios.DecodeStrict("--set "+path, []byte(text), b, nil); err != nil {
		return plain(path, err)
	}
	return nil
}

// inList reports whether the path goes into a list by a number.
func inList(path string) bool {
	for _, part := range strings.Split(path, ".") {
		if _, err := strconv.Atoi(part); err == nil {
			return true
		}
	}
	return false
}

// assignInBands changes one field of one band: the bands are the only list of structures in a rulebook.
func (b *Rulebook) assignInBands(path, value string) error {
	parts := strings.Split(path, ".")
	if len(parts) != 3 {
		return fmt.Errorf("--set %s: give the whole of bands.N.work_rates_kgm_min, or one edge", path)
	}
	n, err := strconv.Atoi(parts[1])
	if err != nil || n < 0 || n >= len(b.Bands) {
		return fmt.Errorf("--set %s: bands are numbered 0 to %d", path, len(b.Bands)-1)
	}
	band := b.Bands[n]
	band.HowKnown = ""
	if err := scenarios.DecodeStrict("--set "+path, []byte(parts[2]+": "+value), &band, nil); err != nil {
		return plain(path, err)
	}
	b.Bands[n] = band
	return nil
}

// asFile writes a path and a value as the file that says the same.
func asFile(path, value string) (string, error) {
	var b strings.Builder
	parts := strings.Split(path, ".")
	for i, p := range parts {
		if p == "" || strings.ContainsAny(p, " :{}[],\"'#&*!|>%@`") {
			return "", fmt.Errorf("%q is not a path", path)
		}
		fmt.Fprintf(&b, "%s%s:", strings.Repeat("  ", i), p)
		if i < len(parts)-1 {
			b.WriteByte('\n')
		}
	}
	b.WriteString(" " + value + "\n")
	return b.String(), nil
}

// plain takes the place out of faults: a flag has only one line.
func plain(path string, err error) error {
	faults, ok := err.(scenarios.Faults)
	if !ok {
		return err
	}
	var all []string
	for _, f := range faults {
		all = append(all, f.Message)
	}
	return fmt.Errorf("--set %s: %s", path, strings.Join(all, "; "))
}

// clone copies what a change could reach.
func (b Rulebook) clone() Rulebook {
	points := make(map[string]float64, len(b.Points))
	for k, v := range b.Points {
		points[k] = v
	}
	b.Points = points
	bands := append(b.Bands[:0:0], b.Bands...)
	for i := range bands {
		bands[i].WorkRates = append(bands[i].WorkRates[:0:0], bands[i].WorkRates...)
	}
	b.Bands = bands
	return b
}
