//go:build !unix

package sqllog

import "testing"

// onServer is nil: the server for tests runs on Unix only, so that here the class file alone is tested.
var onServer func(testing.TB) string
