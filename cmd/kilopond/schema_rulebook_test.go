package main

import (
	"encoding/json"
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"go.yaml.in/yaml/v4"

	"kilopond/grader"
	"kilopond/physiology/protocol"
)

const rulebookSchema = "testdata/schema/rulebook.schema.json"

// TestRulebookSchemaIsCurrent: every field that a rulebook has, and no other, with the bounds within which it is read. UPDATE_SCHEMA=1 writes them.
func TestRulebookSchemaIsCurrent(t *testing.T) {
	raw, err := os.ReadFile(rulebookSchema)
	if err != nil {
		t.Fatal(err)
	}
	var doc map[string]any
	if err := json.Unmarshal(raw, &doc); err != nil {
		t.Fatal(err)
	}
	shape := withoutRequired(shapeOfFile(t, reflect.TypeFor[grader.Rulebook]()))
	fields := shape["properties"].(map[string]any)
	old := doc["properties"].(map[string]any)
	fields["bands"], fields["points"] = old["bands"], old["points"]
	for path, b := range protocol.Bounds() {
		into := fields
		keys := strings.Split(path, ".")
		for _, key := range keys[:len(keys)-1] {
			into = into[key].(map[string]any)["properties"].(map[string]any)
		}
		last := keys[len(keys)-1]
		field, ok := into[last].(map[string]any)
		if !ok {
			t.Fatalf("%s has a bound and no field", path)
		}
		if b.OneOf != nil {
			into[last] = map[string]any{"enum": b.OneOf}
			continue
		}
		field["minimum"], field["maximum"] = b.Low, b.High
	}
	fields["pass_percent"] = map[string]any{"type": "number", "minimum": 0, "maximum": 100}
	doc["properties"] = fields
	want, err := json.MarshalIndent(doc, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	want = append(want, '\n')
	if os.Getenv("UPDATE_SCHEMA") != "" {
		if err := os.WriteFile(rulebookSchema, want, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if string(want) != string(raw) {
		t.Error("the schema of a rulebook is behind it: UPDATE_SCHEMA=1 go test ./cmd/kilopond -run RulebookSchema")
	}
}

// shapeOfFile is the shape of what a person writes: by the tags of YAML, with embedded structs in their place.
func shapeOfFile(t *testing.T, typ reflect.Type) map[string]any {
	t.Helper()
	switch typ.Kind() {
	case reflect.Struct:
	case reflect.Map:
		return map[string]any{"type": "object"}
	case reflect.Slice:
		return map[string]any{"type": "array", "items": shapeOfFile(t, typ.Elem())}
	default:
		return shapeOf(t, typ, 0)
	}
	fields := map[string]any{}
	for f := range typ.Fields() {
		name, more, _ := strings.Cut(f.Tag.Get("yaml"), ",")
		if more == "inline" {
			for k, v := range shapeOfFile(t, f.Type)["properties"].(map[string]any) {
				fields[k] = v
			}
			continue
		}
		fields[name] = shapeOfFile(t, f.Type)
	}
	return map[string]any{"type": "object", "properties": fields, "additionalProperties": false}
}

// withoutRequired leaves nothing required: a rulebook file says only what differs.
func withoutRequired(shape map[string]any) map[string]any {
	delete(shape, "required")
	return shape
}

// refusedBy says whether a schema refuses a YAML text.
func refusedBy(t *testing.T, s *jsonschema.Schema, text string) bool {
	t.Helper()
	var v any
	if err := yaml.Load([]byte(text), &v); err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	raw, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(string(raw)))
	if err != nil {
		t.Fatal(err)
	}
	return s.Validate(doc) != nil
}

// The loader and the schema of an editor refuse the same rulebooks where a schema can know: names, types, bounds, choices. What takes two settings
// together, an editor cannot know.
func TestRulebookSchemaAgreesWithTheLoader(t *testing.T) {
	s := schema(t, "rulebook")
	both := func(text string, wantLoader, wantSchema bool) {
		t.Helper()
		_, err := grader.DecodeRulebook("x.yaml", []byte(text))
		if got := err != nil; got != wantLoader {
			t.Errorf("loader, refused %v: %s (%v)", got, text, err)
		}
		if got := refusedBy(t, s, text); got != wantSchema {
			t.Errorf("schema, refused %v: %s", got, text)
		}
	}
	for path, b := range protocol.Bounds() {
		keys := strings.Split(path, ".")
		line := func(value any) string {
			text := fmt.Sprint(value)
			for i := len(keys) - 1; i > 0; i-- {
				text = fmt.Sprintf("{%s: %s}", keys[i], text)
			}
			return keys[0] + ": " + text + "\n"
		}
		if b.OneOf != nil {
			both(line("another"), true, true)
			continue
		}
		both(line(b.Low-1), true, true)
		both(line(b.High+1), true, true)
	}
	for _, text := range []string{
		"stedy: le5\n", "count: {second: 15}\n", "max_extensions: [3]\n", "max_extensions: 1.5\n", "name: [ours]\n", "bands: []\n", "bands: [{below_bpm: 80}]\n", "pass_percent: 101\n",
		"points: {consent: -1}\n", "weights: {safety: much}\n", "screening: {repeat_when_high: 1}\n", "crew: me\n", "tolerances: {pulse_bpm: {full: low}}\n", "tolerances: {pulse_bpn: {full: 1}}\n",
	} {
		both(text, true, true)
	}
	for _, text := range []string{ // two settings together, names of rules and of rulebooks
		"count: {seconds: 10}\n", "stop: {above_sbp_mmhg: 180}\n", "bands: [{work_rates_kgm_min: [300, 200]}]\n", "stage_s: 170\n", "points: {consnet: 1}\n", "based_on: five-band\n",
	} {
		both(text, true, false)
	}
	for _, text := range []string{"name: ours\n", "max_extensions: 0\nwarm_up_s: 0\n", "based_on: three-band\nnorms: us-cycle\ncount: {from_minute: 2}\n", "ceiling: {of: fixed, fraction: 0, fixed_bpm: 150}\n"} {
		both(text, false, false)
	}
}
