// Package exercises is what was assigned and what the student did: terms, packs, rosters and receipts; one student's go at one subject with its
// session, commands and events; what may be shown; and the Log contract.
//
// The core is deterministic: (case, seed, rules, commands) → (events, readings), and (secret, plan, roster) → packs. The clock moves only by
// commands; times of the wall and random bytes are handed in. An attempt's state is only ever the fold of its events. Never here: right or wrong, a
// mark, HTML, terminal text, the wall clock, a file.
package exercises
