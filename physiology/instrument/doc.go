// Package instrument is what fingers, cuff, brake and metronome make of a body.
//
// It takes beats and pressures only, never a state of the body, so that the compiler keeps truth out: a palpated count is the
// beats that fell in the window and were felt; a cuff reading is the first and last beat whose pressure crossed the falling
// cuff. The textbook errors (a 10-s count moves in steps of 6 bpm; a fast valve reads systolic low) emerge from that. Never here:
// a trait, a state, a rule, a draw from a generator that was not handed in.
package instrument
