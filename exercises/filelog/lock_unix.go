//go:build unix

package filelog

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"

	"kilopond/exercises"
)

// lock takes the file's advisory lock, or says that another process holds it. The system releases it when the process ends.
func lock(f *os.File) error {
	err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) {
		return exercises.ErrLocked
	}
	return err
}

// syncDir makes a new file's name survive a crash.
func syncDir(path string) error {
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}
