package grader

import "strings"

// A Difference is one setting on which two rulebooks differ; a side that has no such setting is empty.
type Difference struct {
	Path    string `json:"path"`
	First   string `json:"first"`
	Second  string `json:"second"`
	Meaning string `json:"meaning"`
}

// Diff lists what differs between two rulebooks, in the order in which Describe prints them; their names and how
// well a row of the table is known are not compared.
func Diff(first, second Rulebook) []Difference {
	values := map[string]string{}
	for _, s := range second.Describe() {
		values[s.Path] = s.Value
	}
	all := []Difference{}
	seen := map[string]bool{}
	for _, s := range first.Describe() {
		seen[s.Path] = true
		if !remark(s.Path) && s.Value != values[s.Path] {
			all = append(all, Difference{s.Path, s.Value, values[s.Path], s.Meaning})
		}
	}
	for _, s := range second.Describe() {
		if !seen[s.Path] && !remark(s.Path) {
			all = append(all, Difference{s.Path, "", s.Value, s.Meaning})
		}
	}
	return all
}

// remark says whether a field is about the rulebook and no rule.
func remark(path string) bool { return path == "name" || strings.HasSuffix(path, ".how_known") }
