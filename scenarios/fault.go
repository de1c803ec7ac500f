package scenarios

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// A Fault is one thing wrong in a file, with its place and the line itself.
type Fault struct {
	File         string
	Line, Column int    // from 1, in characters; 0 when the whole file is meant
	Text         string // the line, with what a terminal would act on made visible
	Message      string
}

// Faults are all faults of one file, in the order of their places.
type Faults []Fault

// mostTold is how many faults are printed; a file with more is another kind of file.
const mostTold = 40

func (f Faults) Error() string {
	var b strings.Builder
	for i, x := range f {
		if i > 0 {
			b.WriteByte('\n')
		}
		if i == mostTold {
			fmt.Fprintf(&b, "… and %d more", len(f)-mostTold)
			break
		}
		if x.Line == 0 {
			fmt.Fprintf(&b, "%s: %s", x.File, x.Message)
			continue
		}
		fmt.Fprintf(&b, "%s:%d:%d: %s", x.File, x.Line, x.Column, x.Message)
		if text, caret := window(x.Text, x.Column); text != "" {
			fmt.Fprintf(&b, "\n    %s\n    %s^", text, caret)
		}
	}
	return b.String()
}

// lineWidth is the most of a line that is printed.
const lineWidth = 100

// window returns the part of a line about the column, and the blank that puts a caret under it. Tabs are kept, so that the caret stands right.
func window(text string, column int) (part, blank string) {
	line := []rune(text)
	at := min(max(column-1, 0), len(line))
	from, to := 0, len(line)
	if len(line) > lineWidth {
		from = max(0, min(at-lineWidth/2, len(line)-lineWidth))
		to = from + lineWidth
	}
	var b, pad strings.Builder
	if from > 0 {
		b.WriteString("…")
		pad.WriteByte(' ')
	}
	b.WriteString(string(line[from:to]))
	if to < len(line) {
		b.WriteString("…")
	}
	for _, r := range line[from:at] {
		if r == '\t' {
			pad.WriteRune('\t')
		} else {
			pad.WriteByte(' ')
		}
	}
	return b.String(), pad.String()
}

// visible replaces what a terminal would act on, one character for one, so that columns stay.
func visible(line string) string {
	return strings.Map(func(r rune) rune {
		if r == '\t' || unicode.IsPrint(r) {
			return r
		}
		return unicode.ReplacementChar
	}, line)
}

// short cuts what no message needs.
func short(message string) string {
	const most = 300
	if r := []rune(message); len(r) > most {
		return string(r[:most]) + "…"
	}
	return message
}

// quote shows a value from a file inside a message: as it stands when it is short and printable, else quoted and cut.
func quote(value string) string {
	const most = 40
	if r := []rune(value); len(r) > most {
		return strconv.Quote(string(r[:most])) + "…"
	}
	if value == "" || visible(value) != value || strings.TrimSpace(value) != value {
		return strconv.Quote(value)
	}
	return value
}

// splitLines splits as YAML does, so that a line number always finds its line.
func splitLines(s string) []string {
	return strings.Split(strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u0085", "\n", "\u2028", "\n", "\u2029", "\n").Replace(s), "\n")
}
