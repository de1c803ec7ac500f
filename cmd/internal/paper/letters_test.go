package paper

import (
	"slices"
	"testing"
)

// Names that can be set are, with accents that came apart put together; those whose script the typeface lacks, or which would come out wrong, are known.
func TestUnset(t *testing.T) {
	sets := []string{"Łukasz Żółć", "Nguyễn Văn An", "Σοφία Παπά", "Иван Петров", "Zoe\u0308 Bronte\u0308", "O'Brien-Ngọc, Séan", "kg·m/min ≤ 5 − 3", ""}
	no := []string{"ليلى حسن", "דוד לוי", "王小明", "山田 太郎", "김민준", "अनिता शर्मा", "สมชาย ใจดี", "Ana 😀", "x\u0304\u0335"}
	got, err := Unset(slices.Concat(sets, no)...)
	if err != nil || !slices.Equal(got, no) {
		t.Errorf("cannot be set: %q, %v; want %q", got, err, no)
	}
	f, err := emptyFolio("a4", "", "")
	if err != nil {
		t.Fatal(err)
	}
	for s, want := range map[string]string{"Zoe\u0308": "Zoë", "דוד x": "□□□ x", "a\tb\nc\x07": "a b c"} {
		if got := f.printable(s); got != want {
			t.Errorf("%q is set as %q, want %q", s, got, want)
		}
	}
}
