package grader

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// The same bytes on every processor: 300 whole tests by the reference proctor, every line of the attempt and the whole report.
func TestSamenessOfAttemptsAndReports(t *testing.T) {
	h := sha256.New()
	b := Default()
	for _, id := range []string{"uneventful", "tuesday-noon", "thursday-three", "friday-nine"} {
		c, err := scenarios.Load(id)
		if err != nil {
			t.Fatal(err)
		}
		for seed := range scenarios.Seed(75) {
			st := play(t, b, c, seed, nil)
			for _, l := range st.lines {
				raw, err := exercises.EncodeLine(l)
				if err != nil {
					t.Fatal(err)
				}
				h.Write(raw)
			}
			raw, err := json.Marshal(Grade(b, st.course(t)))
			if err != nil {
				t.Fatal(err)
			}
			h.Write(raw)
		}
	}
	got := hex.EncodeToString(h.Sum(nil))
	const path = "testdata/sameness.txt"
	if os.Getenv("UPDATE_GOLDEN") != "" {
		if err := os.WriteFile(path, []byte(got+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if strings.TrimSpace(string(want)) != got {
		t.Errorf("attempts and reports hash to %s, want %s", got, want)
	}
}
