// Package scenarios turns a case and a seed into a synthetic subject: who walks in, what they tell, what is true, what goes wrong.
//
// A subject is fixed by (case hash, seed, Model). Cases are strict YAML, embedded in library/. Truth is kept apart from
// anything that a student may be shown. Never here: a student's choice, a rule about marks, text layout, storage, a clock.
package scenarios
