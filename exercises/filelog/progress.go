package filelog

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"kilopond/exercises"
)

// A Progress is a student's own file of answered questions, open and locked: append-only JSON Lines, each on the disk before Append returns.
type Progress struct {
	path string
	f    *os.File
	size int64 // bytes acknowledged
}

// longestAnswer is more than any line of progress has, in bytes.
const longestAnswer = 4096

// OpenProgress opens or makes the file and returns what was answered. A last line without newline was never acknowledged and is dropped. When
// other lines do not hold, the file as it is is first copied beside itself under another name, which is returned; then the lines that hold go on.
func OpenProgress(path string) (p *Progress, answers []exercises.Answered, setAside string, err error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, nil, "", err
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, nil, "", err
	}
	p = &Progress{path: path, f: f}
	fail := func(err error) (*Progress, []exercises.Answered, string, error) {
		return nil, nil, setAside, fmt.Errorf("%s: %w", path, errors.Join(err, f.Close()))
	}
	if err := ordinary(f); err != nil {
		return fail(err)
	}
	if err := lock(f); err != nil {
		return fail(err)
	}
	data, err := io.ReadAll(f)
	if err != nil {
		return fail(err)
	}
	answers, good, bad := readProgress(data)
	if bad > 0 {
		if setAside, err = copyBeside(path, data); err != nil {
			return fail(err)
		}
		if err := p.rewrite(good); err != nil {
			return fail(err)
		}
		return p, answers, setAside, nil
	}
	p.size = int64(bytes.LastIndexByte(data, '\n') + 1)
	if err := p.cut(); err != nil {
		return fail(err)
	}
	if err := syncDir(filepath.Dir(path)); err != nil {
		return fail(err)
	}
	return p, answers, "", nil
}

// ReadProgress reads the file without locking or changing it; bad is how many of its whole lines do not hold. A file that is not there is empty.
func ReadProgress(path string) (answers []exercises.Answered, bad int, err error) {
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		return nil, 0, fmt.Errorf("%s: not an ordinary file", path)
	}
	data, err := os.ReadFile(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil, 0, nil
	}
	if err != nil {
		return nil, 0, err
	}
	answers, _, bad = readProgress(data)
	return answers, bad, nil
}

// readProgress parts whole lines into those that hold and those that do not.
func readProgress(data []byte) (answers []exercises.Answered, good []byte, bad int) {
	for len(data) > 0 {
		line, rest, whole := bytes.Cut(data, []byte{'\n'})
		data = rest
		if !whole {
			break
		}
		if len(line) > longestAnswer {
			bad++
			continue
		}
		a, err := exercises.DecodeAnswered(line)
		if err != nil {
			bad++
			continue
		}
		answers = append(answers, a)
		good = append(append(good, line...), '\n')
	}
	return answers, good, bad
}

// copyBeside keeps the bytes under a name that is not taken yet, on the disk before it returns.
func copyBeside(path string, data []byte) (string, error) {
	for i := 1; i < 1000; i++ {
		name := fmt.Sprintf("%s.damaged-%d", path, i)
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
		if errors.Is(err, os.ErrExist) {
			continue
		}
		if err != nil {
			return "", err
		}
		_, err = f.Write(data)
		if err == nil {
			err = f.Sync()
		}
		if err = errors.Join(err, f.Close()); err == nil {
			err = syncDir(filepath.Dir(path))
		}
		return name, err
	}
	return "", errors.New("too many damaged copies beside it")
}

// rewrite puts lines in the place of everything; a copy of it has been kept.
func (p *Progress) rewrite(lines []byte) error {
	if err := p.cut(); err != nil {
		return err
	}
	if _, err := p.f.Write(lines); err != nil {
		return err
	}
	p.size = int64(len(lines))
	return p.f.Sync()
}

// cut takes the file back to what was acknowledged.
func (p *Progress) cut() error {
	if err := p.f.Truncate(p.size); err != nil {
		return err
	}
	_, err := p.f.Seek(p.size, io.SeekStart)
	return err
}

// Append adds an answer and returns when it is on the disk. After a failed write the file is cut back to what was acknowledged.
func (p *Progress) Append(a exercises.Answered) error {
	raw, err := exercises.EncodeAnswered(a)
	if err != nil {
		return err
	}
	if len(raw) > longestAnswer {
		return fmt.Errorf("%s: a line of %d bytes is too long to be kept", p.path, len(raw))
	}
	_, err = p.f.Write(append(raw, '\n'))
	if err == nil {
		err = p.f.Sync()
	}
	if err != nil {
		return errors.Join(fmt.Errorf("%s: %w", p.path, err), p.cut())
	}
	p.size += int64(len(raw)) + 1
	return nil
}

// Path is where the progress is kept.
func (p *Progress) Path() string { return p.path }

// Close releases the lock.
func (p *Progress) Close() error { return p.f.Close() }
