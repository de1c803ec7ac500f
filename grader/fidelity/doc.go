// Package fidelity holds the simulated population against published statistics: each row of the table is simulated as its source describes it,
// and stands beside the published value with a sampling interval of its own.
//
// A row that does not hold stays as it is: the table is for finding what is wrong. Nothing of it is used by the simulation.
package fidelity
