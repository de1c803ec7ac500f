package scenarios

import (
	"fmt"
	"reflect"
	"strings"

	"go.yaml.in/yaml/v4"
)

// key checks a key of a table, and notes that it has been seen.
func (d *Decoded) key(n *yaml.Node, path string, seen map[string]bool) bool {
	switch {
	case n.Kind != yaml.ScalarNode || n.Anchor != "" || n.Tag == "!!null" || n.Style&yaml.TaggedStyle != 0:
		d.at(n, fmt.Sprintf("a key in %s must be a plain word", last(path)))
		return false
	case seen[n.Value]:
		d.at(n, fmt.Sprintf("%s is given twice", join(path, quote(n.Value))))
		return false
	}
	seen[n.Value] = true
	return true
}

// survey notes what must not be anywhere, also under keys that are not known.
func (d *Decoded) survey(n *yaml.Node, path string, depth int) {
	if n.Tag == "!!null" || !d.plain(n, path, depth) {
		return
	}
	for _, c := range n.Content {
		d.survey(c, path, depth+1)
	}
}

func (d *Decoded) fillMap(n *yaml.Node, v reflect.Value, path string, depth int) {
	if n.Kind != yaml.MappingNode {
		d.bad(n, path, fmt.Sprintf("%s must be a table of key: value", last(path)))
		return
	}
	if v.IsNil() {
		v.Set(reflect.MakeMap(v.Type()))
	}
	defer d.empty()()
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := n.Content[i]
		if !d.key(key, path, seen) {
			continue
		}
		d.keys[join(path, key.Value)] = key
		item := reflect.New(v.Type().Elem()).Elem()
		d.fill(n.Content[i+1], item, join(path, key.Value), depth+1)
		v.SetMapIndex(reflect.ValueOf(key.Value).Convert(v.Type().Key()), item)
	}
}

// A field is one key of a struct, inlined structs opened up.
type field struct {
	key      string
	index    []int
	optional bool
}

func fieldsOf(t reflect.Type) []field {
	var all []field
	for i := range t.NumField() {
		f := t.Field(i)
		tag, rest, _ := strings.Cut(f.Tag.Get("yaml"), ",")
		switch {
		case tag == "-" || !f.IsExported():
		case strings.Contains(rest, "inline"):
			for _, inner := range fieldsOf(f.Type) {
				inner.index = append([]int{i}, inner.index...)
				all = append(all, inner)
			}
		default:
			if tag == "" {
				tag = strings.ToLower(f.Name)
			}
			all = append(all, field{tag, []int{i}, strings.Contains(rest, "omitempty")})
		}
	}
	return all
}

func (d *Decoded) fillStruct(n *yaml.Node, v reflect.Value, path string, depth int) {
	if n.Kind != yaml.MappingNode {
		d.bad(n, path, fmt.Sprintf("%s must be a table of key: value", last(path)))
		return
	}
	fields, met := d.fields[v.Type()]
	if !met {
		fields = fieldsOf(v.Type())
		d.fields[v.Type()] = fields
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		if !d.key(key, path, seen) {
			continue
		}
		found := false
		for _, f := range fields {
			if f.key == key.Value {
				d.fill(value, v.FieldByIndex(f.index), join(path, f.key), depth+1)
				found = true
				break
			}
		}
		if !found {
			d.at(key, d.unknown(path, key.Value, fields))
			d.survey(value, join(path, quote(key.Value)), depth+1)
		}
	}
	for _, f := range fields {
		if !d.held && !f.optional && !seen[f.key] {
			d.bad(n, join(path, f.key), fmt.Sprintf("%s is missing", join(path, f.key)))
		}
	}
}

func (d *Decoded) unknown(path, key string, fields []field) string {
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = f.key
	}
	message := fmt.Sprintf("unknown key %s", join(path, quote(key)))
	if near := Nearest(key, names); near != "" {
		message += fmt.Sprintf("; did you mean %s?", near)
	}
	return message
}
