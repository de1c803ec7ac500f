package main

import (
	"encoding/json"
	"os"
	"reflect"
	"strings"
	"testing"

	"kilopond/physiology/body"
	"kilopond/scenarios"
)

const caseSchema = "testdata/schema/case.schema.json"

// TestCaseSchemaIsCurrent: the mechanisms and signs that a case file may name are those of the body. UPDATE_SCHEMA=1 writes them.
func TestCaseSchemaIsCurrent(t *testing.T) {
	raw, err := os.ReadFile(caseSchema)
	if err != nil {
		t.Fatal(err)
	}
	var doc map[string]any
	if err := json.Unmarshal(raw, &doc); err != nil {
		t.Fatal(err)
	}
	properties := doc["properties"].(map[string]any)
	properties["ills"] = map[string]any{"type": "array", "items": shapeOf(t, reflect.TypeFor[body.Ill](), 1)}
	properties["room"] = shapeOf(t, reflect.TypeFor[scenarios.Room](), 0)
	who := properties["who"].(map[string]any)["properties"].(map[string]any)
	for _, key := range []string{"arm_cm", "max_hr_above_predicted_bpm", "settling_z", "drift_bpm_min", "first_stage_hr_bpm"} {
		who[key] = shapeOf(t, reflect.TypeFor[scenarios.Range](), 0)
	}
	properties["since"] = shapeOf(t, reflect.TypeFor[scenarios.Since](), 0)
	properties["person"] = map[string]any{"type": "string", "pattern": "^[a-z][a-z0-9]*(-[a-z0-9]+)*$"}
	properties["competency"] = map[string]any{"type": "array", "items": map[string]any{"enum": scenarios.Competencies()}, "uniqueItems": true}
	properties["minimises"] = map[string]any{"type": "boolean"}
	properties["disagrees"] = map[string]any{"type": "boolean"}
	var signs []string
	for _, s := range body.Signs() {
		signs = append(signs, string(s))
	}
	voice := properties["voice"].(map[string]any)["properties"].(map[string]any)
	lines := map[string]any{"type": "array", "items": map[string]any{"type": "string"}, "minItems": 1}
	talk := map[string]any{}
	for _, e := range scenarios.Efforts() {
		talk[e] = lines
	}
	voice["talk"] = map[string]any{"type": "object", "properties": talk, "additionalProperties": false}
	voice["talk_only"] = map[string]any{"type": "boolean"}
	voice["signs"].(map[string]any)["patternProperties"] = map[string]any{"^(" + strings.Join(signs, "|") + ")/(unasked|seen|found)/[1-4](/(work|lying))?$": lines}
	want, err := json.MarshalIndent(doc, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	want = append(want, '\n')
	if os.Getenv("UPDATE_SCHEMA") != "" {
		if err := os.WriteFile(caseSchema, want, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if string(want) != string(raw) {
		t.Error("the schema of a case is behind the body: UPDATE_SCHEMA=1 go test ./cmd/kilopond -run CaseSchema")
	}
}

// shapeOf is the schema of a struct by its tags; exactly is how many of its fields must be there, 0 for those that are not omitted when empty.
func shapeOf(t *testing.T, typ reflect.Type, exactly int) map[string]any {
	t.Helper()
	if typ.Kind() == reflect.Pointer {
		typ = typ.Elem()
	}
	switch typ.Kind() {
	case reflect.Float64:
		return map[string]any{"type": "number"}
	case reflect.Int:
		return map[string]any{"type": "integer"}
	case reflect.Bool:
		return map[string]any{"type": "boolean"}
	case reflect.String:
		return map[string]any{"type": "string"}
	case reflect.Struct:
	default:
		t.Fatalf("%s has no shape here", typ)
	}
	fields, required := map[string]any{}, []any{}
	for f := range typ.Fields() {
		name, more, _ := strings.Cut(f.Tag.Get("json"), ",")
		fields[name] = shapeOf(t, f.Type, 0)
		if exactly == 0 && more != "omitempty" {
			required = append(required, name)
		}
	}
	shape := map[string]any{"type": "object", "properties": fields, "additionalProperties": false}
	if exactly > 0 {
		shape["minProperties"], shape["maxProperties"] = exactly, exactly
	} else if len(required) > 0 {
		shape["required"] = required
	}
	return shape
}
