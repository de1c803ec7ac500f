package render

import (
	"bytes"
	"io"
	"strings"
)

// A Narrow passes text of 80 columns on to a place that may have fewer, as a terminal that was made small or letters that were made large: prose is
// wrapped again, and what stands in columns stays.
type Narrow struct {
	to     io.Writer
	middle bool // of a line
}

// NewNarrow returns a writer of prose. It looks at the width anew each time.
func NewNarrow(to io.Writer) *Narrow { return &Narrow{to: to} }

func (n *Narrow) Write(b []byte) (int, error) {
	width := Width(n.to)
	if width >= usualWidth {
		n.middle = len(b) > 0 && b[len(b)-1] != '\n'
		return n.to.Write(b)
	}
	var out strings.Builder
	for rest := b; len(rest) > 0; {
		line, after, whole := bytes.Cut(rest, []byte("\n"))
		text := string(line)
		if whole && !n.middle && columns(text) > width && !inColumns(text) {
			indent := text[:len(text)-len(strings.TrimLeft(text, " "))]
			text = strings.Join(Wrap(text, width, indent, indent), "\n")
		}
		out.WriteString(text)
		if whole {
			out.WriteByte('\n')
		}
		n.middle, rest = !whole, after
	}
	if _, err := io.WriteString(n.to, out.String()); err != nil {
		return 0, err
	}
	return len(b), nil
}

// inColumns says whether a line has gaps that mean something.
func inColumns(line string) bool { return strings.Contains(strings.TrimSpace(line), "  ") }
