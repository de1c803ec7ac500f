package grader

import (
	"testing"

	"kilopond/exercises"
	"kilopond/scenarios"
)

// BenchmarkProctor is one whole test by the reference proctor, with session and body.
func BenchmarkProctor(b *testing.B) {
	book, c := Default(), mustCase(b, "uneventful")
	for i := 0; b.Loop(); i++ {
		play(b, book, c, scenarios.Seed(i%64), nil)
	}
}

// BenchmarkGradeAttempt is the verdict on one whole attempt: digest, all rules, worked answers, margins, time line.
func BenchmarkGradeAttempt(b *testing.B) {
	book, c := Default(), mustCase(b, "uneventful")
	var attempts []*student
	for seed := range scenarios.Seed(16) {
		attempts = append(attempts, play(b, book, c, seed, nil))
	}
	for i := 0; b.Loop(); i++ {
		st := attempts[i%len(attempts)]
		Grade(book, st.course(b))
	}
}

// BenchmarkAcceptable is the advice at every state of one test, as for coaching.
func BenchmarkAcceptable(b *testing.B) {
	book := Default()
	st := play(b, book, mustCase(b, "uneventful"), 7, nil)
	p := NewProctor(book)
	var states []*exercises.State
	for n := range st.lines {
		s, err := exercises.Rebuild(st.header, st.lines[:n])
		if err != nil {
			b.Fatal(err)
		}
		states = append(states, s)
	}
	for b.Loop() {
		for _, s := range states {
			p.Acceptable(s)
		}
	}
}
