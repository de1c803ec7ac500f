// Package servertest runs a PostgreSQL server for tests: one for a test process, in a folder of its own, for as long as the process lives. It serves
// tests only, and on Unix only.
package servertest
