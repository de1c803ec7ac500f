//go:build !unix

package sqllog

import "testing"

func onServer(t testing.TB) string {
	t.Skip("the server for tests runs on Unix only")
	return ""
}
