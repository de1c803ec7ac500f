//go:build unix

package sqllog

import (
	"testing"

	"kilopond/exercises/sqllog/servertest"
)

// onServer is the address of an empty database on a real server.
var onServer = func(t testing.TB) string { return servertest.Start(t).Database(t) }
