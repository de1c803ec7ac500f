package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/scenarios"
)

// mostOwn is how many case files one folder may hold.
const mostOwn = 500

// addCases adds --cases.
func addCases(c *cobra.Command) {
	c.Flags().String("cases", "", "a folder with cases of your own, beside those that ship")
	must(c.MarkFlagDirname("cases"))
}

// A caseShelf is where cases come from: the library, and beside it a folder of one's own and what an assignment carries. Nothing takes the place of a
// case that ships.
type caseShelf struct{ own []scenarios.Case }

// shelf reads the folder that --cases names. Faults of its files come all at once.
func shelf(c *cobra.Command) (caseShelf, error) {
	dir, err := c.Flags().GetString("cases")
	must(err)
	if dir == "" {
		return caseShelf{}, nil
	}
	return folderShelf(dir)
}

// with is the shelf with the own cases of an assignment, whose file may be none.
func (s caseShelf) with(key *keyFile) (caseShelf, error) {
	if key == nil {
		return s, nil
	}
	own, err := key.Own()
	if err != nil {
		return s, &hinted{fmt.Errorf("--key %s: %w", key.path, err), "use the version of the program that made it"}
	}
	return caseShelf{append(own, s.own...)}, nil
}

// folderShelf reads a folder of cases.
func folderShelf(dir string) (caseShelf, error) {
	own, err := readCaseFolder(dir)
	if err != nil && errors.As(err, new(scenarios.Faults)) {
		return caseShelf{}, usage("mend them, or leave --cases out", "the cases of the folder %s cannot be used:\n%w", dir, err)
	}
	return caseShelf{own}, err
}

// readCaseFolder reads every case file of a folder, none of its subfolders, and nothing that a link leads to outside it.
func readCaseFolder(dir string) ([]scenarios.Case, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, usage("--cases names a folder with case files, each ending in .yaml", "--cases %s: %s", dir, plainError(err))
	}
	defer root.Close()
	entries, err := fs.ReadDir(root.FS(), ".")
	if err != nil {
		return nil, fmt.Errorf("--cases %s: %w", dir, err)
	}
	var own []scenarios.Case
	var faults scenarios.Faults
	from := map[string]string{} // id → file
	for _, e := range entries {
		name := e.Name()
		if ext := filepath.Ext(name); strings.HasPrefix(name, ".") || ext != ".yaml" && ext != ".yml" {
			continue
		}
		path := filepath.Join(dir, name)
		one, err := readOwnCase(root, name, path)
		switch {
		case err != nil:
			var f scenarios.Faults
			if !errors.As(err, &f) {
				return nil, err
			}
			faults = append(faults, f...)
			continue
		case from[one.ID] != "":
			faults = append(faults, scenarios.Fault{File: path, Message: fmt.Sprintf("id %s: %s has it already", one.ID, from[one.ID])})
			continue
		}
		from[one.ID] = path
		if own = append(own, one); len(own) > mostOwn {
			return nil, usage("split them over several folders", "--cases %s: more than %d case files", dir, mostOwn)
		}
	}
	if len(faults) > 0 {
		return nil, faults
	}
	if len(own) == 0 {
		return nil, usage("each case is a file that ends in .yaml; kilopond case new writes one", "--cases %s: no case file in it", dir)
	}
	return own, nil
}

// readOwnCase reads one file of a folder of cases.
func readOwnCase(root *os.Root, name, path string) (scenarios.Case, error) {
	bad := func(message string) error { return scenarios.Faults{{File: path, Message: message}} }
	info, err := root.Stat(name)
	if err != nil {
		if link, err := root.Lstat(name); err == nil && link.Mode()&fs.ModeSymlink != 0 {
			return scenarios.Case{}, bad("a link that leads out of the folder, or nowhere: put the file itself here")
		}
		return scenarios.Case{}, bad(plainError(err))
	}
	if !info.Mode().IsRegular() {
		return scenarios.Case{}, bad("no file that can be read")
	}
	f, err := root.Open(name)
	if err != nil {
		return scenarios.Case{}, bad(plainError(err))
	}
	defer f.Close()
	data, err := readCase(f)
	if err != nil {
		return scenarios.Case{}, bad(plainError(err))
	}
	one, err := scenarios.DecodeCase(path, data)
	if err == nil && takesPlace(one) {
		err = bad(fmt.Sprintf(takesPlaceSays, one.ID))
	}
	return one, err
}

// readCase reads what a case file can hold and one byte more, so that a larger one is known for it and never fills the memory.
func readCase(r io.Reader) ([]byte, error) { return io.ReadAll(io.LimitReader(r, scenarios.MaxFile+1)) }

const takesPlaceSays = "id %s: a case that ships has it; nothing takes its place, so give yours another"

// takesPlace reports whether a case that ships has this id and is another one.
func takesPlace(one scenarios.Case) bool {
	known, same := scenarios.Shipped(one.ID, one.Hash)
	return known && !same
}

// mine returns one's own case of that id.
func (s caseShelf) mine(id string) (one scenarios.Case, ok bool) {
	for _, c := range s.own {
		if c.ID == id {
			return c, true
		}
	}
	return one, false
}

// load returns the case of that id.
func (s caseShelf) load(id string) (scenarios.Case, error) {
	if c, ok := s.mine(id); ok {
		return c, nil
	}
	return loadCase(id)
}

// all returns the cases that ship, and then one's own.
func (s caseShelf) all() ([]scenarios.Case, error) {
	all, err := scenarios.Library()
	return append(all, s.own...), err
}

// loadOrFile returns the case of that id, or else the one in a file of that name. Its error is scenarios.Faults when a file was read and does not hold.
func (s caseShelf) loadOrFile(name string) (scenarios.Case, error) {
	if c, ok := s.mine(name); ok {
		return c, nil
	}
	return caseOrFile(name)
}

// casesNamed are the cases that a list names: each a case that ships, one in a file, or those of a folder. None may come twice; once says why.
func casesNamed(names []string, once string) ([]scenarios.Case, error) {
	var all []scenarios.Case
	for _, name := range names {
		some, err := casesOf(strings.TrimSpace(name))
		if err != nil {
			return nil, err
		}
		for _, one := range some {
			if slices.ContainsFunc(all, func(x scenarios.Case) bool { return x.ID == one.ID }) {
				return nil, usage(once, "--cases: %s is given twice", one.ID)
			}
			all = append(all, one)
		}
	}
	return all, nil
}

// casesOf are the case of that name, the one in a file of that name, or those of a folder of that name.
func casesOf(name string) ([]scenarios.Case, error) {
	if info, err := os.Stat(name); err == nil && info.IsDir() && !slices.Contains(scenarios.IDs(), name) {
		from, err := folderShelf(name)
		return from.own, err
	}
	one, err := caseOrFile(name)
	if err != nil && errors.As(err, new(scenarios.Faults)) {
		err = usage("mend it, or leave it out", "the case cannot be used:\n%w", err)
	}
	return []scenarios.Case{one}, err
}
