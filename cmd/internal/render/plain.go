package render

import (
	"fmt"
	"io"
	"os"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/term"
)

// Legible writes as its number what cannot be printed and could turn a terminal about; lines and tabs stay. JSON reads those numbers, but for the
// first thirty-two, which it has written so itself.
func Legible(text string) string {
	if strings.IndexFunc(text, unprintable) < 0 {
		return text
	}
	var b strings.Builder
	for _, r := range text {
		switch {
		case !unprintable(r):
			b.WriteRune(r)
		case r < ' ':
			fmt.Fprintf(&b, `\x%02x`, r)
		case r > 0xffff:
			high, low := utf16.EncodeRune(r)
			fmt.Fprintf(&b, `\u%04x\u%04x`, high, low)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
	}
	return b.String()
}

func unprintable(r rune) bool {
	return r != '\n' && r != '\t' && (r == unicode.ReplacementChar || !unicode.IsGraphic(r) && !unicode.Is(unicode.Join_Control, r))
}

// A Plain passes text on, legible; what it passes on can be a file, a pipe or a terminal.
type Plain struct {
	to   io.Writer
	half []byte // the beginning of a character
}

// NewPlain returns a writer to which text goes.
func NewPlain(to io.Writer) *Plain { return &Plain{to: to} }

func (p *Plain) Write(b []byte) (int, error) {
	if len(p.half) == 0 && ordinary(b) {
		return p.to.Write(b)
	}
	all := append(p.half, b...)
	end := len(all)
	for back := 1; back < utf8.UTFMax && back <= len(all); back++ {
		if last := all[len(all)-back:]; utf8.RuneStart(last[0]) {
			if !utf8.FullRune(last) {
				end -= back
			}
			break
		}
	}
	if _, err := io.WriteString(p.to, Legible(string(all[:end]))); err != nil {
		return 0, err
	}
	p.half = append([]byte{}, all[end:]...)
	return len(b), nil
}

// ordinary says that there is nothing to look at in a text.
func ordinary(b []byte) bool {
	for _, c := range b {
		if c < ' ' && c != '\n' && c != '\t' || c >= 0x7f {
			return false
		}
	}
	return true
}

// Terminal is the terminal to which a writer goes, if it does.
func Terminal(w io.Writer) (*os.File, bool) {
	for through := true; through; {
		switch x := w.(type) {
		case *Plain:
			w = x.to
		case *Narrow:
			w = x.to
		default:
			through = false
		}
	}
	f, ok := w.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return nil, false
	}
	return f, true
}
