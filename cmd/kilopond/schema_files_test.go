package main

import (
	"os"
	"strings"
	"testing"

	"kilopond/scenarios"
)

// The loader and the schema of an editor refuse the same case files where a schema can know, and take each of the library.
func TestCaseSchemaAgreesWithTheLoader(t *testing.T) {
	s := schema(t, "case")
	raw, err := os.ReadFile("../../scenarios/library/tuesday-noon.yaml")
	if err != nil {
		t.Fatal(err)
	}
	good := string(raw)
	for _, c := range []struct {
		from, to       string // of the good file
		loader, schema bool   // refuses
	}{
		{"difficulty: ", "difficulty: 1.5 #", true, true},
		{"difficulty: ", "difficulty: many #", true, true},
		{"difficulty: ", "difficulty: 9 #", true, true},
		{"difficulty: ", "dificulty: ", true, true},
		{"right_act: ", "right_act: leave #", true, true},
		{"teaches: ", "teach: ", true, true},
		{"title: ", "title: [a]\nteaches_not: ", true, true},
		{"  sexes: ", "  sexes: [X] #", true, true},
		{"  sexes: ", "  sexs: ", true, true},
		{"  age_y: ", "  age_y: 40 #", true, true},
		{"  age_y: ", "  age_y: {low: 40} #", true, true},
		{"sources: ", "sources: [] #", true, true},
		{"difficulty: ", "competency: [juggling]\ndifficulty: ", true, true},
		{"  resting_sbp_mmhg: ", "  resting_sbp_mmhg: {low: 108, high: 1380} #", true, true},
		// Two things together, and what stands elsewhere: only the loader knows.
		{"  age_y: ", "  age_y: {low: 50, high: 40} #", true, false},
		{"", "", false, false},
	} {
		if !strings.Contains(good, c.from) {
			t.Errorf("%q is not in the file", c.from)
			continue
		}
		text := strings.Replace(good, c.from, c.to, 1)
		_, err := scenarios.DecodeCase("tuesday-noon.yaml", []byte(text))
		if got := err != nil; got != c.loader {
			t.Errorf("loader, refused %v: %s (%v)", got, c.to, err)
		}
		if got := refusedBy(t, s, text); got != c.schema {
			t.Errorf("schema, refused %v: %s", got, c.to)
		}
	}
}
