package physiology

import (
	_ "embed"
	"strings"
)

//go:embed SOURCES.md
var sourcesPage string

// A Source is one row of SOURCES.md.
type Source struct {
	Key   string
	Title string // authors, title, year, place; or what the choice is
	Known string // how it is known: seen, from memory, common practice, choice, derived
	Takes string // what we take from it
}

// SourceOf returns the row of a key; ok is false when the page has none.
func SourceOf(key string) (s Source, ok bool) {
	for line := range strings.Lines(sourcesPage) {
		rest, found := strings.CutPrefix(line, "| "+key+" |")
		if !found {
			continue
		}
		cells := strings.Split(strings.TrimSuffix(strings.TrimSpace(rest), "|"), "|")
		if len(cells) != 3 {
			return Source{}, false
		}
		return Source{key, strings.TrimSpace(cells[0]), strings.TrimSpace(cells[1]), strings.TrimSpace(cells[2])}, true
	}
	return Source{}, false
}
