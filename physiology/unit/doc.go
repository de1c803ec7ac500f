// Package unit holds the quantities of the trade as types, each kept in the unit in which the protocol prints it.
//
// A quantity that crosses a function boundary is one of these types; bare float64 stays inside formulas, the least-squares
// helper and encoders. Never here: a formula of the protocol, a person, a clock.
package unit
