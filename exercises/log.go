package exercises

import "errors"

// Faults on which a caller branches.
var (
	// ErrConflict: the attempt has grown since it was read; read it again.
	ErrConflict = errors.New("the attempt has grown since it was read")
	// ErrLocked: somebody else has the attempt open.
	ErrLocked = errors.New("the attempt is open in another window")
)

// A Log keeps one attempt, append-only, for one goroutine at a time. A line is acknowledged when Append has returned: from then on it survives the
// process being killed. No context ends an Append half-way; how long it may wait is each log's own limit.
type Log interface {
	// Attempt returns everything that was acknowledged.
	Attempt() (*Attempt, error)
	// Append adds a line after the first seq lines (the header not counted) and returns it with its Prev. ErrConflict when there
	// are more or fewer.
	Append(seq int, l Line) (Line, error)
	Close() error
}
