// Package grader compares an attempt with what could be known at each second: the rulebook, the reference proctor, the rules, the
// worked answer, the report.
//
// A pure function of (events, rulebook). Decisions are judged on logged readings, on the student's own path, with the
// student's own earlier numbers carried forward; one cause is charged once; there is often more than one acceptable act. Reports
// are computed again, never stored as truth. Never here: storage, points hard-wired in a rule, a sentence that only one face needs.
package grader
