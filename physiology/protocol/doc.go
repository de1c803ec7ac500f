// Package protocol is the published arithmetic of the branching cycle protocol as pure functions on values.
//
// Never here: a student, a mark, a file, a clock, a random draw.
package protocol
