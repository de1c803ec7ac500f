package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
)

func TestWholeFiles(t *testing.T) {
	dir := t.TempDir()
	path, link := filepath.Join(dir, "a.html"), filepath.Join(dir, "link.html")
	want := func(text string) {
		t.Helper()
		got, err := os.ReadFile(path)
		if err != nil || string(got) != text {
			t.Errorf("%q, %v, want %q", got, err, text)
		}
		if left, _ := filepath.Glob(filepath.Join(dir, ".new-*")); len(left) > 0 {
			t.Errorf("left behind: %v", left)
		}
	}
	if err := newFileWhole(path, []byte("one"), 0o600); err != nil {
		t.Fatal(err)
	}
	want("one")
	if err := newFileWhole(path, []byte("two"), 0o600); !errors.Is(err, fs.ErrExist) {
		t.Error(err)
	}
	want("one")
	if err := os.Symlink("a.html", link); err != nil {
		t.Fatal(err)
	}
	for _, p := range []string{path, link} { // a link goes on leading there
		if err := writeOver(p, []byte("by "+filepath.Base(p)), 0o644); err != nil {
			t.Fatal(err)
		}
		want("by " + filepath.Base(p))
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&fs.ModeSymlink == 0 {
		t.Error("the link is a file now")
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o600 {
		t.Error("who may read it has changed")
	}
	if err := writeOver(filepath.Join(dir, "new.html"), []byte("x"), 0o644); err != nil {
		t.Error(err)
	}
	if err := writeOver(os.DevNull, []byte("x"), 0o644); err != nil {
		t.Error(err)
	}
	if info, err := os.Stat(os.DevNull); err != nil || info.Mode().IsRegular() {
		t.Error("what is no file was replaced by one")
	}
	if err := writeOver(filepath.Join(dir, "nowhere", "a"), nil, 0o644); err == nil {
		t.Error("no error")
	}
}
