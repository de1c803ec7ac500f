package scenarios

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
)

// inPlainWords says what the parser's commonest complaints mean to somebody who writes a file.
var inPlainWords = []struct{ has, say string }{
	{"cannot start any token", "a character that cannot stand here; indent with spaces, not tabs, and put such text in quotation marks"},
	{"unexpected end of stream", "the file ends inside a quotation: the closing mark is missing"},
	{"unknown anchor", "a * begins an alias: put the text in quotation marks"},
	{"mapping values are not allowed", "a second colon, or an indent too many: put text that holds a colon in quotation marks"},
	{"did not find expected key", "the indent does not fit the lines above, or a quotation mark above is not closed"},
	{"exceeded", "nested too deep"},
}

// notText returns the fault of a file that cannot be text in UTF-8, at the first byte that shows it.
func (d *Decoded) notText(data []byte) error {
	if bytes.HasPrefix(data, []byte{0xff, 0xfe}) || bytes.HasPrefix(data, []byte{0xfe, 0xff}) {
		return Faults{{File: d.file, Message: "UTF-16: save it as UTF-8"}}
	}
	for i, line := range d.lines {
		column := 0
		for at := 0; at < len(line); {
			r, size := utf8.DecodeRuneInString(line[at:])
			column++
			message := ""
			switch {
			case r == utf8.RuneError && size == 1:
				message = fmt.Sprintf("byte %#02x is not UTF-8: save the file as UTF-8", line[at])
			case r == 0:
				message = "a zero byte: this is no text file"
			case r < ' ' && r != '\t' || r == 0x7f:
				message = fmt.Sprintf("control character %#02x", r)
			}
			if message != "" {
				return Faults{{File: d.file, Line: i + 1, Column: column, Text: visible(line), Message: message}}
			}
			at += size
		}
	}
	return nil
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
	message = strings.TrimPrefix(message, "yaml: ")
	for _, p := range inPlainWords {
		if strings.Contains(message, p.has) {
			message = p.say
			break
		}
	}
	d.at(n, "not YAML: "+message)
	return d.faults
}
