package grader

import (
	"strings"
	"testing"

	"kilopond/exercises"
)

// A rating that was said and another that was written down: the one that was said is not on the sheet.
func TestAnotherRatingThanWasSaidIsNotOnTheSheet(t *testing.T) {
	book := Default()
	st := play(t, book, mustCase(t, string(well)), 0, miswrites(entryOf(exercises.KeyRPE, 2, 0), func(string) string { return "19" }))
	list := charges(Grade(book, st.course(t)))
	if len(list) != 1 || list[0].Rule != ruleRecorded.Name || !strings.Contains(list[0].Did, "was said, 19 stands there") {
		t.Errorf("charged %v", list)
	}
}
