package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// newFileWhole makes a file that is not there yet: it is there whole and on the disk, or not at all.
func newFileWhole(path string, data []byte, mode fs.FileMode) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return errors.Join(err, os.Remove(path))
	}
	return nil
}

// writeOver writes a file whether it is there or not; one that was there stays as it was when that fails. What is no ordinary file is written to.
func writeOver(path string, data []byte, mode fs.FileMode) error {
	at, err := filepath.EvalSymlinks(path)
	if errors.Is(err, fs.ErrNotExist) {
		return newFileWhole(path, data, mode)
	}
	if err != nil {
		return err
	}
	info, err := os.Stat(at)
	if err != nil {
		return err
	}
	if !info.Mode().IsRegular() {
		return os.WriteFile(at, data, mode)
	}
	return replaceFile(at, data, info.Mode().Perm())
}

// replaceFile writes a file beside its place and moves it there: it is there whole, or as it was before.
func replaceFile(path string, data []byte, mode fs.FileMode) (err error) {
	beside, err := os.CreateTemp(filepath.Dir(path), ".new-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(beside.Name()))
		}
	}()
	_, err = beside.Write(data)
	if err = errors.Join(err, beside.Chmod(mode), beside.Sync(), beside.Close()); err != nil {
		return err
	}
	return os.Rename(beside.Name(), path)
}
