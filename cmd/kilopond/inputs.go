package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
)

// readSmall reads a file that somebody named and that cannot honestly be large. A pipe that the shell hands over under /dev is read as well; one
// with a name of its own would be waited for without end.
func readSmall(path string, most int64) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, &hinted{fmt.Errorf("%s: %s", path, plainError(err)), "look whether the name is right"}
	}
	large := &hinted{fmt.Errorf("%s: too large: more than %d kB", path, most>>10), "look whether it is the file that you mean"}
	switch {
	case info.IsDir():
		return nil, &hinted{fmt.Errorf("%s: a folder, not a file", path), "name the file in it"}
	case !info.Mode().IsRegular() && !strings.HasPrefix(filepath.Clean(path), "/dev/"):
		return nil, &hinted{fmt.Errorf("%s: not an ordinary file", path), "name a file"}
	case info.Size() > most:
		return nil, large
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, &hinted{fmt.Errorf("%s: %s", path, plainError(err)), "look whether you may read it"}
	}
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	if err = errors.Join(err, f.Close()); err != nil {
		return nil, &hinted{fmt.Errorf("%s: %s", path, plainError(err)), "look whether you may read it"}
	}
	if int64(len(data)) > most {
		return nil, large
	}
	return data, nil
}
