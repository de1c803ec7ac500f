// Package body is a synthetic person's response to work: oxygen uptake, heart rate, pressures, exertion and symptoms, advanced in
// exact one-second steps, with beats placed inside the second.
//
// Everything a person is (Traits) is drawn once; everything about today (Day) is drawn once more; what is wrong (Ills) is a
// mechanism with onset, grades and a course after stopping, never a scripted reading. Valid for adults of 18–79 at rest and on
// a cycle. Numbers are the same on every processor: see sameness.go. Never here: a student, a rule, a clock, a file, a draw from a
// generator that was not handed in.
package body
