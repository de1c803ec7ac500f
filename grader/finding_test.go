package grader

import (
	"path/filepath"
	"strings"
	"testing"
	"unicode"
)

// TestFindingsAreShortAndPlain reads every finding of the bad scripts as a student would: at most sixty words that say what could be known,
// what was done, and what the rule asks, with no praise, no blame, no word of software.
func TestFindingsAreShortAndPlain(t *testing.T) {
	banned := []string{"!", "invalid", "session", "parameter", "null", "NaN", "unfortunately", "well done", "great", "careless", "you failed", "wrong", "%!", "..", "”.”", "—"}
	for _, r := range Rules() {
		s := readScript(t, filepath.Join("testdata", r.Name, "bad.txtar"))
		book := Default()
		for _, set := range s.set {
			if err := book.Set(set); err != nil {
				t.Fatal(err)
			}
		}
		st := play(t, book, mustCase(t, s.who), s.seed, habits()[s.habit]())
		for _, f := range Grade(book, st.course(t)).Findings {
			if f.Known == "" || f.Did == "" || f.Should == "" || f.Why == "" || len(f.Sources) == 0 || f.Where == "" {
				t.Errorf("%s: a part is missing in %+v", f.Rule, f)
			}
			text := strings.Join([]string{f.Known, f.Did, f.Should}, " ")
			if n := len(strings.Fields(text)); n > 60 {
				t.Errorf("%s: %d words: %s", f.Rule, n, text)
			}
			// What the person said is theirs; the rest is ours.
			ours := text
			for {
				from, to := strings.Index(ours, "“"), strings.Index(ours, "”")
				if from < 0 || to < from {
					break
				}
				ours = ours[:from] + ours[to+len("”"):]
			}
			for _, bad := range banned {
				if strings.Contains(strings.ToLower(ours), bad) {
					t.Errorf("%s says %q: %s", f.Rule, bad, text)
				}
			}
			for _, part := range []string{f.Known, f.Did, f.Should} {
				first := []rune(part)[0]
				if !unicode.IsUpper(first) && !unicode.IsDigit(first) && first != '“' || !strings.HasSuffix(part, ".") && !strings.HasSuffix(part, "”") {
					t.Errorf("%s: not a sentence: %q", f.Rule, part)
				}
			}
		}
	}
}
