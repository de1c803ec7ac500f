package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v4"

	"kilopond/grader"
)

// kilopond runs a command line and returns what it wrote.
func kilopond(t testing.TB, stdin string, args ...string) (stdout, stderr string, code int) {
	t.Helper()
	var out, errs bytes.Buffer
	code = run(context.Background(), args, strings.NewReader(stdin), &out, &errs)
	return out.String(), errs.String(), code
}

func schema(t *testing.T, name string) *jsonschema.Schema {
	t.Helper()
	s, err := jsonschema.NewCompiler().Compile("testdata/schema/" + name + ".schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func holds(t *testing.T, name, doc string) {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(strings.NewReader(doc))
	if err != nil {
		t.Fatalf("%s: not JSON: %v", name, err)
	}
	if err := schema(t, name).Validate(v); err != nil {
		t.Errorf("%s: %v", name, err)
	}
}

func TestResultsHoldToTheirSchemas(t *testing.T) {
	for _, c := range []struct {
		schema string
		args   []string
	}{
		{"estimate", []string{"estimate", "--age-y", "40", "--sex", "F", "--mass-kg", "70", "--stage", "300:112", "--stage", "450:127"}},
		{"estimate", []string{"estimate", "--age-y", "40", "--sex", "male", "--mass-kg", "70", "--stage", "300:112"}},
		{"estimate", []string{"estimate", "--age-y", "40", "--sex", "F", "--mass-kg", "70", "--stage", "300:90", "--stage", "450:100"}},
		{"formula", []string{"formula", "max_hr", "max_hr=220-age", "age_y=20"}},
		{"formula", []string{"formula", "category", "sex=M", "age_y=20", "vo2_ml_kg_min=48.9"}},
		{"formula-list", []string{"formula", "list"}},
		{"formula-show", []string{"formula", "show", "category"}},
		{"case-show", []string{"case", "show", "uneventful"}},
		{"case-show", []string{"case", "show", "tuesday-noon", "--spoil"}},
		{"version", []string{"version"}},
		{"branch", []string{"branch", "--hr-bpm", "92"}},
		{"population", []string{"population", "--n", "40", "--mix", "students"}},
		{"trace", []string{"trace", "--profile", "restx1,150x3,90%x2,0x1", "--n", "3"}},
		{"trials", []string{"trials", "--n", "60", "--age-y", "50:79", "--days", "2"}},
		{"trials-by-decade", []string{"trials", "--n", "60", "--by-decade"}},
		{"fidelity", []string{"fidelity", "--quick", "--row", "A01,V01"}},
		{"agreement", []string{"agreement", "testdata/pairs.csv"}},
		{"demo", []string{"demo", "uneventful", "--seed", "7"}},
		{"demo", []string{"demo", "tuesday-noon", "--seed", "1"}},
		{"demo", []string{"demo", "thursday-three", "--seed", "3"}},
		{"case-list", []string{"case", "list"}},
		{"case-check", []string{"case", "check", "uneventful", "--people", "20"}},
		{"case-list", []string{"case", "list", "--spoil"}},
		{"case-preview", []string{"case", "preview", "sunday-noon", "--seed", "3"}},
		{"case-preview", []string{"case", "preview", "tuesday-noon"}},
		{"rulebook-list", []string{"rulebook", "list"}},
		{"rulebook-show", []string{"rulebook", "show"}},
		{"rulebook-why", []string{"rulebook", "show", "--why"}},
		{"rulebook-check", []string{"rulebook", "check", "ceiling-150"}},
		{"skill-list", []string{"skill", "list"}},
		{"skill-due", []string{"skill", "--progress", "absent.jsonl"}},
		{"grade-sheet", []string{"grade", "sheet", "--age-y", "40", "--sex", "F", "--mass-kg", "70", "--stage", "150:26=104,104", "--stage", "300:110,114:158/74", "--vo2max-ml-kg-min", "25.2"}},
		{"grade-sheet", []string{"grade", "sheet", "--real", "--age-y", "40", "--sex", "F", "--mass-kg", "70", "--rest-bp-mmhg", "170/90", "--stage", "150:84,84", "--stage", "300:110,124"}},
		{"grade-sheet", []string{"grade", "sheet", "testdata/sheets.csv"}},
		{"rulebook-diff", []string{"rulebook", "diff", "four-band", "count-10"}},
	} {
		out, errs, code := kilopond(t, "", append(c.args, "--format", "json")...)
		if code != 0 || errs != "" {
			t.Errorf("%v: exit %d, %s", c.args, code, errs)
			continue
		}
		holds(t, c.schema, out)
	}
}

func TestGradeHoldsToItsSchema(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.jsonl")
	if _, errs, code := kilopond(t, "greet\ndecide refuse\nrelease\nhand in\n", "drill", "tuesday-noon", "--seed", "1", "--out", path); code != 0 {
		t.Fatalf("exit %d: %s", code, errs)
	}
	out, errs, code := kilopond(t, "", "grade", path, "--format", "json")
	if code != 0 {
		t.Fatalf("exit %d: %s", code, errs)
	}
	holds(t, "grade", out)
	if out, errs, code = kilopond(t, "", "verify", path, "--format", "json"); code != 0 {
		t.Fatalf("exit %d: %s", code, errs)
	}
	holds(t, "verify", out)
	if out, _, code = kilopond(t, "", "verify", "absent.jsonl", "testdata/pairs.csv", "--format", "json"); code != 1 {
		t.Fatalf("exit %d of files that do not hold", code)
	}
	holds(t, "verify", out)
	script, err := os.ReadFile("testdata/first-drill.txt")
	if err != nil {
		t.Fatal(err)
	}
	path = filepath.Join(t.TempDir(), "b.jsonl")
	if _, errs, code := kilopond(t, string(script), "drill", "uneventful", "--seed", "7", "--out", path); code != 0 {
		t.Fatalf("exit %d: %s", code, errs)
	}
	if out, errs, code = kilopond(t, "", "grade", path, "--format", "json"); code != 0 || !strings.Contains(out, `"split": {`) {
		t.Fatalf("exit %d, or no split: %s", code, errs)
	}
	holds(t, "grade", out)
}

// The files that ship hold to the schemas that editors are given.
func TestFilesHoldToTheirSchemas(t *testing.T) {
	files, err := filepath.Glob("../../scenarios/library/*.yaml")
	if err != nil || len(files) < 4 {
		t.Fatalf("%d cases, %v", len(files), err)
	}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		var v any
		if err := yaml.Load(data, &v); err != nil {
			t.Fatal(err)
		}
		raw, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		holds(t, "case", string(raw))
	}
	for _, p := range grader.Presets() {
		b, err := grader.Preset(p.Name)
		if err != nil {
			t.Fatal(err)
		}
		holds(t, "rulebook", string(b.JSON()))
	}
}

func TestEverySchemaIsPrinted(t *testing.T) {
	for _, name := range schemaNames() {
		out, _, code := kilopond(t, "", "schema", name)
		if code != 0 || !json.Valid([]byte(out)) {
			t.Errorf("schema %s: exit %d", name, code)
		}
	}
}
