package scenarios

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"sort"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"
)

// A Fault is one thing wrong in a file, with its place and the line itself.
type Fault struct {
	File         string
	Line, Column int // from 1; 0 when the whole file is meant
	Text         string
	Message      string
}

// Faults are all faults of one file, in the order of their places.
type Faults []Fault

func (f Faults) Error() string {
	var b strings.Builder
	for i, x := range f {
		if i > 0 {
			b.WriteByte('\n')
		}
		if x.Line == 0 {
			fmt.Fprintf(&b, "%s: %s", x.File, x.Message)
			continue
		}
		fmt.Fprintf(&b, "%s:%d:%d: %s", x.File, x.Line, x.Column, x.Message)
		if x.Text != "" {
			fmt.Fprintf(&b, "\n    %s\n    %s^", x.Text, caretPad(x.Text, x.Column))
		}
	}
	return b.String()
}

// caretPad is the blank before the caret, with tabs kept so that it stands under the place.
func caretPad(text string, column int) string {
	var pad strings.Builder
	for i, r := range []rune(text) {
		if i >= column-1 {
			break
		}
		if r == '\t' {
			pad.WriteRune('\t')
		} else {
			pad.WriteByte(' ')
		}
	}
	return pad.String()
}

// The size and depth beyond which no honest file goes.
const (
	maxFile  = 256 << 10
	maxDepth = 24
)

// A Decoded is a file that has been read, with the place of each value, for checks of meaning.
type Decoded struct {
	file   string
	lines  []string
	places map[string]*yaml.Node
	faults Faults
}

// Fault notes a fault at a dotted path, or at the nearest parent that is in the file.
func (d *Decoded) Fault(path, format string, args ...any) {
	for {
		if n, ok := d.places[path]; ok || path == "" {
			d.at(n, fmt.Sprintf(format, args...))
			return
		}
		path = path[:max(0, strings.LastIndexByte(path, '.'))]
	}
}

// Has reports whether the file gives a value at the path.
func (d *Decoded) Has(path string) bool { _, ok := d.places[path]; return ok }

func (d *Decoded) at(n *yaml.Node, message string) {
	f := Fault{File: d.file, Message: message}
	if n != nil {
		f.Line, f.Column = n.Line, n.Column
		if n.Line >= 1 && n.Line <= len(d.lines) {
			f.Text = d.lines[n.Line-1]
		}
	}
	d.faults = append(d.faults, f)
}

// DecodeStrict reads one YAML document into the struct that into points to, and then runs check on it. It reports every fault at once as Faults:
// unknown or repeated keys, wrong types, fractions where whole numbers belong, numbers that look octal, empty values, aliases, a second
// document, and what check finds. A struct field without omitempty must be given, unless it already holds a value.
func DecodeStrict(file string, data []byte, into any, check func(*Decoded)) error {
	d := &Decoded{file: file, places: map[string]*yaml.Node{}}
	if len(data) > maxFile {
		return Faults{{File: file, Message: fmt.Sprintf("%d bytes: a file of this kind has at most %d", len(data), maxFile)}}
	}
	d.lines = strings.Split(strings.ReplaceAll(strings.TrimPrefix(string(data), "\ufeff"), "\r\n", "\n"), "\n")
	root, err := d.parse(data)
	if err != nil {
		return err
	}
	d.fill(root, reflect.ValueOf(into).Elem(), "", 0)
	if len(d.faults) == 0 && check != nil {
		check(d)
	}
	if len(d.faults) == 0 {
		return nil
	}
	sort.SliceStable(d.faults, func(i, j int) bool {
		a, b := d.faults[i], d.faults[j]
		return a.Line < b.Line || a.Line == b.Line && a.Column < b.Column
	})
	return d.faults
}

func (d *Decoded) parse(data []byte) (*yaml.Node, error) {
	l, err := yaml.NewLoader(bytes.NewReader(data))
	if err != nil {
		return nil, d.syntax(err)
	}
	var doc, second yaml.Node
	if err := l.Load(&doc); err != nil {
		if errors.Is(err, io.EOF) {
			return nil, Faults{{File: d.file, Message: "empty: nothing to read"}}
		}
		return nil, d.syntax(err)
	}
	if err := l.Load(&second); err == nil {
		d.at(&second, "a second document: one file holds one")
		return nil, d.faults
	} else if !errors.Is(err, io.EOF) {
		return nil, d.syntax(err)
	}
	if len(doc.Content) == 0 {
		return nil, Faults{{File: d.file, Message: "empty: nothing to read"}}
	}
	return doc.Content[0], nil
}

// syntax turns a fault of the YAML itself into a Fault.
func (d *Decoded) syntax(err error) error {
	var one *yaml.LoadError
	n := &yaml.Node{}
	message := err.Error()
	if errors.As(err, &one) {
		n.Line, n.Column = one.Mark.Line, one.Mark.Column
		message = one.Message
	}
	d.at(n, "not YAML: "+strings.TrimPrefix(message, "yaml: "))
	return d.faults
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

// fill puts the node's value into v and notes what is wrong on the way.
func (d *Decoded) fill(n *yaml.Node, v reflect.Value, path string, depth int) {
	d.places[path] = n
	switch {
	case depth > maxDepth:
		d.at(n, "nested too deep")
		return
	case n.Kind == yaml.AliasNode || n.Anchor != "":
		d.at(n, "anchors and aliases are not used here: write the value out")
		return
	case n.Tag == "!!null":
		d.at(n, fmt.Sprintf("%s is empty: give a value or leave the line out", last(path)))
		return
	case strings.HasPrefix(n.Tag, "!") && !strings.HasPrefix(n.Tag, "!!"):
		d.at(n, fmt.Sprintf("tag %s is not used here", n.Tag))
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			v.Set(reflect.New(v.Type().Elem()))
		}
		d.fill(n, v.Elem(), path, depth)
	case reflect.Struct:
		d.fillStruct(n, v, path, depth)
	case reflect.Map:
		d.fillMap(n, v, path, depth)
	case reflect.Slice:
		if n.Kind != yaml.SequenceNode {
			d.at(n, fmt.Sprintf("%s must be a list", last(path)))
			return
		}
		list := reflect.MakeSlice(v.Type(), len(n.Content), len(n.Content))
		for i, c := range n.Content {
			d.fill(c, list.Index(i), join(path, strconv.Itoa(i)), depth+1)
		}
		v.Set(list)
	default:
		if n.Kind != yaml.ScalarNode {
			d.at(n, fmt.Sprintf("%s must be %s", last(path), want(v)))
			return
		}
		d.fillScalar(n, v, path)
	}
}

func (d *Decoded) fillScalar(n *yaml.Node, v reflect.Value, path string) {
	quoted := n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0
	switch v.Kind() {
	case reflect.String:
		if n.Tag != "!!str" && !quoted && n.Tag != "!!timestamp" && n.Tag != "!!int" && n.Tag != "!!float" {
			d.at(n, fmt.Sprintf("%s must be text, not %s", last(path), n.Value))
			return
		}
		v.SetString(n.Value)
	case reflect.Bool:
		if n.Value != "true" && n.Value != "false" || quoted {
			d.at(n, fmt.Sprintf("%s must be true or false, not %s", last(path), n.Value))
			return
		}
		v.SetBool(n.Value == "true")
	case reflect.Int, reflect.Int64, reflect.Uint64, reflect.Float64:
		d.fillNumber(n, v, path, quoted)
	default:
		panic("scenarios: a field of a type that the decoder does not know: " + v.Type().String())
	}
}

func (d *Decoded) fillNumber(n *yaml.Node, v reflect.Value, path string, quoted bool) {
	bare := strings.TrimLeft(n.Value, "+-")
	if len(bare) > 1 && bare[0] == '0' && bare[1] >= '0' && bare[1] <= '9' {
		d.at(n, fmt.Sprintf("%s: %s begins with 0 and looks octal: write it without", last(path), n.Value))
		return
	}
	x, err := strconv.ParseFloat(n.Value, 64)
	if err != nil || quoted || math.IsNaN(x) || math.IsInf(x, 0) || strings.ContainsAny(n.Value, "xX_") {
		d.at(n, fmt.Sprintf("%s must be %s, not %s", last(path), want(v), n.Value))
		return
	}
	if v.Kind() == reflect.Float64 {
		v.SetFloat(x)
		return
	}
	if x != math.Trunc(x) || math.Abs(x) > 1e15 {
		d.at(n, fmt.Sprintf("%s must be a whole number, not %s", last(path), n.Value))
		return
	}
	if v.Kind() == reflect.Uint64 {
		if x < 0 {
			d.at(n, fmt.Sprintf("%s must not be negative", last(path)))
			return
		}
		v.SetUint(uint64(x))
		return
	}
	v.SetInt(int64(x))
}

func want(v reflect.Value) string {
	switch v.Kind() {
	case reflect.String:
		return "text"
	case reflect.Bool:
		return "true or false"
	case reflect.Float64:
		return "a number"
	}
	return "a whole number"
}

func last(path string) string {
	if path == "" {
		return "the file"
	}
	return path
}

func (d *Decoded) fillMap(n *yaml.Node, v reflect.Value, path string, depth int) {
	if n.Kind != yaml.MappingNode {
		d.at(n, fmt.Sprintf("%s must be a table of key: value", last(path)))
		return
	}
	if v.IsNil() {
		v.Set(reflect.MakeMap(v.Type()))
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := n.Content[i]
		if seen[key.Value] {
			d.at(key, fmt.Sprintf("%s is given twice", join(path, key.Value)))
			continue
		}
		seen[key.Value] = true
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
		d.at(n, fmt.Sprintf("%s must be a table of key: value", last(path)))
		return
	}
	fields := fieldsOf(v.Type())
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		if seen[key.Value] {
			d.at(key, fmt.Sprintf("%s is given twice", join(path, key.Value)))
			continue
		}
		seen[key.Value] = true
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
		}
	}
	for _, f := range fields {
		if !f.optional && !seen[f.key] && v.FieldByIndex(f.index).IsZero() {
			d.at(n, fmt.Sprintf("%s is missing", join(path, f.key)))
		}
	}
}

func (d *Decoded) unknown(path, key string, fields []field) string {
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = f.key
	}
	message := fmt.Sprintf("unknown key %s", join(path, key))
	if near := Nearest(key, names); near != "" {
		message += fmt.Sprintf("; did you mean %s?", near)
	}
	return message
}
