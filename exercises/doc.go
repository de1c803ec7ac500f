// Package exercises is one student's go at one subject: the session, its commands and events, what may be shown, and the Log contract.
//
// The core is deterministic: (case, seed, rules, commands) → (events, readings). The clock moves only by commands. An attempt's
// state is only ever the fold of its events. Never here: right or wrong, a mark, HTML, terminal text, the wall clock, a file.
package exercises
