package render

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"
)

func TestWrapKeepsWordsAndWidth(t *testing.T) {
	text := "A pressure begun at 2:00 cannot end before the 2:45 count; finish it before the dial is turned. " + strings.Repeat("x", 40)
	lines := Wrap(text, 30, "- ", "  ")
	if got := strings.Join(strings.Fields(strings.Join(lines, " ")), " "); got != "- "+text {
		t.Errorf("words were lost or changed:\n%s", got)
	}
	for i, l := range lines {
		if n := len([]rune(l)); n > 30 && !strings.Contains(l, "xxx") {
			t.Errorf("line %d has %d letters: %q", i, n, l)
		}
		if want := map[bool]string{true: "- ", false: "  "}[i == 0]; !strings.HasPrefix(l, want) {
			t.Errorf("line %d begins %q, want %q", i, l[:2], want)
		}
	}
	if got := Wrap("  ", 10, "", ""); got != nil {
		t.Errorf("nothing wraps to %q", got)
	}
}

func TestNumbersPrintTrueSigns(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Num(-1.25, 1), "−1.2"}, {Num(40, 0), "40"}, {Signed(3.14159, 2), "+3.14"}, {Signed(-0.5, 1), "−0.5"}, {Signed(0, 1), "0.0"},
		{Clock(0), "0:00"}, {Clock(165), "2:45"}, {Clock(3600), "60:00"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

// Every format carries every cell; none lets a cell break the form.
func TestTableInEveryFormat(t *testing.T) {
	table := Table{Header: []string{"id", "slope"}, Right: []bool{false, true}, Wrap: -1,
		Rows: [][]string{{"a|b", "0.1"}, {"say \"hm\", then", "12.5"}}}
	for _, f := range []Format{Text, Markdown, CSV, JSON} {
		var b bytes.Buffer
		if err := Write(&b, f, table, map[string]string{"id": "<a|b>"}); err != nil {
			t.Fatalf("%s: %v", f, err)
		}
		out := b.String()
		switch f {
		case CSV:
			rows, err := csv.NewReader(&b).ReadAll()
			if err != nil || len(rows) != 3 || rows[1][0] != "a|b" || rows[2][0] != `say "hm", then` {
				t.Errorf("csv reads back as %q, %v", rows, err)
			}
		case Markdown:
			for _, line := range strings.Split(strings.TrimSpace(out), "\n") {
				if n := strings.Count(strings.ReplaceAll(line, `\|`, ""), "|"); n != 3 {
					t.Errorf("markdown line with %d bars: %q", n, line)
				}
			}
		case JSON:
			if !strings.Contains(out, "<a|b>") {
				t.Errorf("json escapes what needs none: %s", out)
			}
		case Text:
			lines := strings.Split(strings.TrimRight(out, "\n"), "\n")
			if len(lines) != 4 || !strings.HasSuffix(lines[2], " 0.1") || !strings.HasSuffix(lines[3], " 12.5") || len(lines[2]) != len(lines[3]) {
				t.Errorf("text is not in columns:\n%s", out)
			}
		}
	}
}
