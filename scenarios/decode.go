package scenarios

import (
	"fmt"
	"math"
	"reflect"
	"sort"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"
)

// MaxFile is the size in bytes beyond which no honest file goes.
const MaxFile = 256 << 10

// maxDepth is how deep an honest file is nested at most.
const maxDepth = 24

// A Decoded is a file that has been read, with the place of each value, for checks of meaning.
type Decoded struct {
	file   string
	lines  []string
	places map[string]*yaml.Node // of values
	keys   map[string]*yaml.Node // of tables whose keys the file chooses
	broken []string              // dotted paths whose value could not be read
	faults Faults
	fields map[reflect.Type][]field // of the structs met so far
	held   bool                     // what is being filled held values before: a field left out keeps its own, a zero too
}

// Fault notes a fault of meaning at a dotted path, or at the nearest parent that is in the file. Where the value itself, or a part of it, could not
// be read, nothing more is said: what it means is not known.
func (d *Decoded) Fault(path, format string, args ...any) {
	for _, b := range d.broken {
		if b == "" || b == path || strings.HasPrefix(b, path+".") || strings.HasPrefix(path, b+".") {
			return
		}
	}
	for {
		if n, ok := d.places[path]; ok || path == "" {
			d.at(n, fmt.Sprintf(format, args...))
			return
		}
		path = path[:max(0, strings.LastIndexByte(path, '.'))]
	}
}

// FaultKey notes a fault of a key that a file chose itself, at the key.
func (d *Decoded) FaultKey(path, format string, args ...any) {
	if n, ok := d.keys[path]; ok {
		d.at(n, fmt.Sprintf(format, args...))
		return
	}
	d.Fault(path, format, args...)
}

// Has reports whether the file gives a value at the path.
func (d *Decoded) Has(path string) bool { _, ok := d.places[path]; return ok }

func (d *Decoded) at(n *yaml.Node, message string) {
	f := Fault{File: d.file, Message: short(visible(message))}
	if n != nil {
		f.Line, f.Column = n.Line, n.Column
		if n.Line >= 1 && n.Line <= len(d.lines) {
			f.Text = visible(d.lines[n.Line-1])
		}
	}
	d.faults = append(d.faults, f)
}

// bad notes that the value at path cannot be read.
func (d *Decoded) bad(n *yaml.Node, path, message string) {
	d.broken = append(d.broken, path)
	d.at(n, message)
}

// DecodeStrict reads one YAML document into the struct that into points to, and then runs check on it. It reports every fault at once as Faults:
// unknown or repeated keys, wrong types, fractions where whole numbers belong, numbers that look octal, empty values, aliases, tags, a second
// document, and what check finds in values that could be read. A struct field without omitempty must be given, unless into
// holds values already: then what the file leaves out stays as it was.
func DecodeStrict(file string, data []byte, into any, check func(*Decoded)) error {
	d := &Decoded{file: file, places: map[string]*yaml.Node{}, keys: map[string]*yaml.Node{}, fields: map[reflect.Type][]field{}}
	if len(data) > MaxFile {
		return Faults{{File: file, Message: fmt.Sprintf("too large: a file of this kind has at most %d bytes", MaxFile)}}
	}
	d.lines = splitLines(strings.TrimPrefix(string(data), "\ufeff"))
	if f := d.notText(data); f != nil {
		return f
	}
	root, err := d.parse(data)
	if err != nil {
		return err
	}
	v := reflect.ValueOf(into).Elem()
	d.held = !v.IsZero()
	d.fill(root, v, "", 0)
	if check != nil {
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

// plain reports whether the node is one of the plain forms that files here are written in, and notes why not.
func (d *Decoded) plain(n *yaml.Node, path string, depth int) bool {
	switch {
	case depth > maxDepth:
		d.bad(n, path, "nested too deep")
	case n.Kind == yaml.AliasNode || n.Anchor != "":
		d.bad(n, path, "anchors and aliases are not used here: write the value out")
	case n.Style&yaml.TaggedStyle != 0:
		d.bad(n, path, fmt.Sprintf("the tag %s is not used here", quote(n.Tag)))
	case n.Tag == "!!null":
		d.bad(n, path, fmt.Sprintf("%s is empty: give a value or leave the line out", last(path)))
	default:
		return true
	}
	return false
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
	if !d.plain(n, path, depth) {
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			v.Set(reflect.New(v.Type().Elem()))
			defer d.empty()()
		}
		d.fill(n, v.Elem(), path, depth)
	case reflect.Struct:
		d.fillStruct(n, v, path, depth)
	case reflect.Map:
		d.fillMap(n, v, path, depth)
	case reflect.Slice:
		if n.Kind != yaml.SequenceNode {
			d.bad(n, path, fmt.Sprintf("%s must be a list", last(path)))
			return
		}
		list := reflect.MakeSlice(v.Type(), len(n.Content), len(n.Content))
		defer d.empty()()
		for i, c := range n.Content {
			d.fill(c, list.Index(i), join(path, strconv.Itoa(i)), depth+1)
		}
		v.Set(list)
	default:
		if n.Kind != yaml.ScalarNode {
			d.bad(n, path, fmt.Sprintf("%s must be %s", last(path), want(v)))
			return
		}
		d.fillScalar(n, v, path)
	}
}

// empty says that what is filled next holds nothing yet, until the function it returns is called.
func (d *Decoded) empty() func() {
	held := d.held
	d.held = false
	return func() { d.held = held }
}

func (d *Decoded) fillScalar(n *yaml.Node, v reflect.Value, path string) {
	quoted := n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0
	switch v.Kind() {
	case reflect.String:
		if n.Tag != "!!str" && !quoted && n.Tag != "!!timestamp" && n.Tag != "!!int" && n.Tag != "!!float" {
			d.bad(n, path, fmt.Sprintf("%s must be text, not %s: put it in quotation marks", last(path), quote(n.Value)))
			return
		}
		v.SetString(n.Value)
	case reflect.Bool:
		if n.Value != "true" && n.Value != "false" || quoted {
			d.bad(n, path, fmt.Sprintf("%s must be true or false, not %s", last(path), quote(n.Value)))
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
	if len(bare) > 1 && bare[0] == '0' && strings.IndexByte("0123456789oO", bare[1]) >= 0 {
		d.bad(n, path, fmt.Sprintf("%s: %s begins with 0 and looks octal: write it without", last(path), quote(n.Value)))
		return
	}
	x, err := strconv.ParseFloat(n.Value, 64)
	if err != nil || quoted || math.IsNaN(x) || math.IsInf(x, 0) || strings.ContainsAny(n.Value, "xX_") {
		d.bad(n, path, fmt.Sprintf("%s must be %s, not %s", last(path), want(v), quote(n.Value)))
		return
	}
	if v.Kind() == reflect.Float64 {
		v.SetFloat(x)
		return
	}
	if x != math.Trunc(x) || math.Abs(x) > 1e15 {
		d.bad(n, path, fmt.Sprintf("%s must be a whole number, not %s", last(path), quote(n.Value)))
		return
	}
	if v.Kind() == reflect.Uint64 {
		if x < 0 {
			d.bad(n, path, fmt.Sprintf("%s must not be negative", last(path)))
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
