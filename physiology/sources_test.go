package physiology_test

import (
	"bufio"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var (
	// bracketed is a key as it stands in a comment: [HANSEN1987].
	bracketed = regexp.MustCompile(`\[([A-Z][A-Z0-9]*(?:-[A-Z0-9]+)*)\]`)
	// quoted is a string that holds keys only: "CSEP2009, HAND".
	quoted = regexp.MustCompile(`"([A-Z][A-Z0-9]+(?:-[A-Z0-9]+)*(?:, [A-Z][A-Z0-9]+(?:-[A-Z0-9]+)*)*)"`)
	// yamlList is the line of a case that names its sources.
	yamlList = regexp.MustCompile(`^sources: \[(.*)\]`)
	// row is a line of the table of sources.
	row = regexp.MustCompile(`^\| ([A-Z][A-Z0-9]*(?:-[A-Z0-9]+)*) \|(.*)\|(.*)\|(.*)\|$`)
)

// rowOfTable is the id of a row of the fidelity tables.
var rowOfTable = regexp.MustCompile(`^[A-Z][0-9]{2}$`)

// notKeys are strings in capitals that are something else.
var notKeys = map[string]bool{"M": true, "F": true, "V": true, "IV": true, "XDG_DATA_HOME": true, "TERM": true, "COLUMNS": true, "CASE": true, "NAME": true, "FILE": true, "PATH": false, "HR": true, "METs": true, "NO": true, "W": true, "VO2": true, "A4": true, "UTF8": true, "CI": true, "XX001": true, "XX002": true}

func used(t *testing.T) map[string]string {
	t.Helper()
	keys := map[string]string{}
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.HasSuffix(path, "_test.go") {
			return err
		}
		isGo, isYAML := strings.HasSuffix(path, ".go"), strings.HasSuffix(path, ".yaml")
		if !isGo && !isYAML {
			return nil
		}
		f, err := os.Open(path)
		if err != nil {
			return err
		}
		defer f.Close()
		s := bufio.NewScanner(f)
		for n := 1; s.Scan(); n++ {
			var found []string
			if isGo && strings.Contains(s.Text(), "//") {
				for _, m := range bracketed.FindAllStringSubmatch(s.Text()[strings.Index(s.Text(), "//"):], -1) {
					found = append(found, m[1])
				}
			}
			if isGo {
				for _, m := range quoted.FindAllStringSubmatch(s.Text(), -1) {
					found = append(found, strings.Split(m[1], ", ")...)
				}
			} else if m := yamlList.FindStringSubmatch(s.Text()); m != nil {
				found = append(found, strings.Split(m[1], ", ")...)
			}
			for _, k := range found {
				if rowOfTable.MatchString(k) && strings.Contains(path, "fidelity") { // its source stands in the table
					continue
				}
				if !notKeys[k] && keys[k] == "" {
					keys[k] = fmt.Sprintf("%s:%d", path, n)
				}
			}
		}
		return s.Err()
	})
	if err != nil {
		t.Fatal(err)
	}
	return keys
}

func TestEverySourceIsNamedAndUsed(t *testing.T) {
	page, err := os.ReadFile("SOURCES.md")
	if err != nil {
		t.Fatal(err)
	}
	listed := map[string]bool{}
	for n, line := range strings.Split(string(page), "\n") {
		m := row.FindStringSubmatch(line)
		if m == nil || m[1] == "KEY" {
			continue
		}
		if listed[m[1]] {
			t.Errorf("SOURCES.md:%d: %s stands twice", n+1, m[1])
		}
		listed[m[1]] = true
		how := strings.TrimSpace(m[3])
		ok := false
		for _, known := range []string{"seen", "from memory", "common practice, no source", "choice", "derived"} {
			ok = ok || strings.HasPrefix(how, known)
		}
		if !ok {
			t.Errorf("SOURCES.md:%d: %s: how known is %q", n+1, m[1], how)
		}
		if strings.TrimSpace(m[2]) == "" || strings.TrimSpace(m[4]) == "" {
			t.Errorf("SOURCES.md:%d: %s has an empty cell", n+1, m[1])
		}
	}
	keys := used(t)
	if len(keys) < 80 {
		t.Errorf("only %d keys were found in the code", len(keys))
	}
	for k, at := range keys {
		if !listed[k] {
			t.Errorf("%s: source %s is not in SOURCES.md", at, k)
		}
	}
	for k := range listed {
		if keys[k] == "" {
			t.Errorf("SOURCES.md: %s is used nowhere", k)
		}
	}
}
