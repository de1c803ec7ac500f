package filelog

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"kilopond/exercises"
)

// A File is one attempt's file, open and locked.
type File struct {
	path string
	f    *os.File
	last string // chain's end
	n    int    // lines after the header
	size int64  // bytes acknowledged
}

var _ exercises.Log = (*File)(nil)

// Create makes the attempt's file and writes its first line, so that a full disk or a folder that cannot be written to is known before the test
// begins. It fails when the file exists.
func Create(path string, h exercises.Header) (*File, error) {
	raw, err := exercises.EncodeHeader(h)
	if err != nil {
		return nil, fmt.Errorf("first line of %s: %w", path, err)
	}
	return begin(path, [][]byte{raw})
}

// begin makes a new file of whole lines that hold.
func begin(path string, rows [][]byte) (*File, error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, err
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return nil, err
	}
	l := &File{path: path, f: f, n: -1}
	if err := lock(f); err != nil {
		return nil, errors.Join(err, l.drop())
	}
	for _, raw := range rows {
		if err := l.write(raw); err != nil {
			return nil, errors.Join(err, l.drop())
		}
	}
	if err := syncDir(filepath.Dir(path)); err != nil {
		return nil, errors.Join(err, l.drop())
	}
	return l, nil
}

// drop gives up a file that was never acknowledged.
func (l *File) drop() error { return errors.Join(l.f.Close(), os.Remove(l.path)) }

// Open locks an attempt's file and cuts off a last line that was never acknowledged. A *exercises.Damage error says what else does not hold;
// then use Continue.
func Open(path string) (*File, *exercises.Attempt, error) {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return nil, nil, err
	}
	if err := ordinary(f); err != nil {
		return nil, nil, errors.Join(err, f.Close())
	}
	if err := lock(f); err != nil {
		return nil, nil, errors.Join(err, f.Close())
	}
	data, err := io.ReadAll(f)
	if err != nil {
		return nil, nil, errors.Join(err, f.Close())
	}
	a := exercises.Read(data)
	if a.Damage != nil {
		return nil, a, errors.Join(a.Damage, f.Close())
	}
	l := &File{path: path, f: f, last: a.Last(), n: len(a.Lines), size: int64(len(data) - len(a.Unfinished))}
	if err := f.Truncate(l.size); err != nil {
		return nil, a, errors.Join(err, f.Close())
	}
	if _, err := f.Seek(l.size, io.SeekStart); err != nil {
		return nil, a, errors.Join(err, f.Close())
	}
	return l, a, nil
}

// ordinary refuses what cannot be read to its end, such as a pipe.
func ordinary(f *os.File) error {
	info, err := f.Stat()
	if err == nil && !info.Mode().IsRegular() {
		err = &os.PathError{Op: "open", Path: f.Name(), Err: errors.New("not an ordinary file")}
	}
	return err
}

// Continue opens an attempt to go on with it. When part of the file does not hold, the lines before the damage are copied to a new file beside
// it, the old one stays as it is, and the new file's path differs from the one asked for.
func Continue(path string) (*File, *exercises.Attempt, error) {
	l, a, err := Open(path)
	var damage *exercises.Damage
	if err == nil || !errors.As(err, &damage) || len(a.Raw) == 0 {
		return l, a, err
	}
	l, err = Beside(path, a.Raw)
	return l, a, err
}

// Beside goes on with the lines given, the header first, in a new file beside the path; what is at the path stays as it is.
func Beside(path string, rows [][]byte) (*File, error) {
	for i := 1; i < 1000; i++ {
		l, err := begin(fmt.Sprintf("%s.continued-%d.jsonl", path, i), rows)
		if errors.Is(err, os.ErrExist) {
			continue
		}
		return l, err
	}
	return nil, fmt.Errorf("%s: too many continuations beside it", path)
}

// Path is where the attempt is kept.
func (l *File) Path() string { return l.path }

// Attempt reads the file again.
func (l *File) Attempt() (*exercises.Attempt, error) {
	data := make([]byte, l.size)
	if _, err := l.f.ReadAt(data, 0); err != nil && !errors.Is(err, io.EOF) {
		return nil, err
	}
	return exercises.Read(data), nil
}

// Append adds a line and returns when it is on the disk. After a failed write the file is cut back to what was acknowledged.
func (l *File) Append(seq int, line exercises.Line) (exercises.Line, error) {
	if seq != l.n {
		return exercises.Line{}, fmt.Errorf("%w: it has %d lines, not %d", exercises.ErrConflict, l.n, seq)
	}
	line.Prev = l.last
	raw, err := exercises.EncodeLine(line)
	if err != nil {
		return exercises.Line{}, err
	}
	if err := l.write(raw); err != nil {
		return exercises.Line{}, err
	}
	return line, nil
}

func (l *File) write(raw []byte) error {
	_, err := l.f.Write(append(raw[:len(raw):len(raw)], '\n'))
	if err == nil {
		err = l.f.Sync()
	}
	if err != nil {
		err = fmt.Errorf("%s: %w", l.path, err)
		if cut := l.f.Truncate(l.size); cut != nil {
			return errors.Join(err, cut)
		}
		_, seek := l.f.Seek(l.size, io.SeekStart)
		return errors.Join(err, seek)
	}
	l.size += int64(len(raw)) + 1
	l.last = exercises.Sum(raw)
	l.n++
	return nil
}

// Close releases the lock.
func (l *File) Close() error { return l.f.Close() }
