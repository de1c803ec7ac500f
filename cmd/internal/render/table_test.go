package render

import (
	"strings"
	"testing"
)

func TestCellsReachTheTerminalAsText(t *testing.T) {
	for _, f := range []Format{Text, Markdown} {
		var b strings.Builder
		if err := Write(&b, f, Table{Header: []string{"file"}, Wrap: -1, Rows: [][]string{{"a\x1b[31mred\x07"}}}, nil); err != nil {
			t.Fatal(err)
		}
		if strings.ContainsAny(b.String(), "\x1b\x07") || !strings.Contains(b.String(), `a\x1b[31mred\x07`) {
			t.Errorf("%s: %q", f, b.String())
		}
	}
}
