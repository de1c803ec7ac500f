package render

import (
	"bytes"
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"testing/quick"
	"unicode"
)

const wicked = "a\x1b[31mred\x07 \u009b2J \u202eback \x7f \U000e0041 \r\t.\nß 𝛼 李"

// Whatever is written, in whatever pieces, nothing comes out that could turn a terminal about.
func TestPlainIsTheSameInPieces(t *testing.T) {
	whole := Legible(wicked)
	for size := 1; size < len(wicked); size++ {
		var b bytes.Buffer
		p := NewPlain(&b)
		for rest := []byte(wicked); len(rest) > 0; {
			n := min(size, len(rest))
			if wrote, err := p.Write(rest[:n]); err != nil || wrote != n {
				t.Fatalf("%d of %d written, %v", wrote, n, err)
			}
			rest = rest[n:]
		}
		if b.String() != whole {
			t.Fatalf("in pieces of %d: %q, want %q", size, b.String(), whole)
		}
	}
}

func TestPlainHasNoControls(t *testing.T) {
	if err := quick.Check(func(text []byte) bool {
		var b bytes.Buffer
		if _, err := NewPlain(&b).Write(text); err != nil {
			return false
		}
		return strings.IndexFunc(b.String(), func(r rune) bool { return r != '\n' && r != '\t' && !unicode.IsGraphic(r) }) < 0
	}, &quick.Config{MaxCount: 5000}); err != nil {
		t.Error(err)
	}
}

// In every format what a cell holds is text; JSON gives it back as it was.
func TestEveryFormatIsLegible(t *testing.T) {
	for _, f := range []Format{Text, Markdown, CSV, JSON} {
		var b strings.Builder
		if err := Write(&b, f, Table{Header: []string{"name"}, Wrap: -1, Rows: [][]string{{wicked}}}, map[string]string{"name": wicked}); err != nil {
			t.Fatal(err)
		}
		if strings.ContainsFunc(b.String(), func(r rune) bool { return r != '\n' && r != '\t' && !unicode.IsGraphic(r) }) {
			t.Errorf("%s: %q", f, b.String())
		}
		if f == JSON {
			back := map[string]string{}
			if err := json.Unmarshal([]byte(b.String()), &back); err != nil || back["name"] != wicked {
				t.Errorf("%q, %v", back["name"], err)
			}
		}
	}
}

type shut struct{}

func (shut) Write([]byte) (int, error) { return 0, errors.New("shut") }

func TestPlainPassesAFaultOn(t *testing.T) {
	for _, text := range []string{"plain", wicked} {
		if _, err := NewPlain(shut{}).Write([]byte(text)); err == nil {
			t.Errorf("%q: no error", text)
		}
	}
}
