package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

// shellWords parts a line as a shell does that knows quotation marks and line ends behind a backslash.
func shellWords(line string) (words []string) {
	word, begun, quote := "", false, rune(0)
	for _, r := range strings.ReplaceAll(line, "\\\n", " ") + " " {
		switch {
		case quote != 0 && r == quote:
			quote = 0
		case quote == 0 && (r == '"' || r == '\''):
			quote, begun = r, true
		case quote == 0 && (r == ' ' || r == '\n'):
			if begun {
				words = append(words, word)
			}
			word, begun = "", false
		default:
			word, begun = word+string(r), true
		}
	}
	return words
}

// shownExamples are the examples as the help of a command prints them.
func shownExamples(t *testing.T, path string) []string {
	t.Helper()
	help, errs, code := kilopond(t, "", append(strings.Fields(path)[1:], "--help")...)
	if code != 0 {
		t.Fatalf("%s --help: %s", path, errs)
	}
	_, part, _ := strings.Cut(help, "\nFor example:\n")
	part, _, _ = strings.Cut(part, "\n\n")
	var all []string
	for _, e := range strings.Split(strings.ReplaceAll(part, "\\\n", " "), "\n") {
		if e = strings.Join(strings.Fields(e), " "); e != "" {
			all = append(all, e)
		}
	}
	return all
}

// What a help shows can be typed as it stands: each example does what it says, in the order of a course.
func TestExamplesOfTheHelpsWork(t *testing.T) {
	shown := map[string]bool{}
	everyCommand(newRoot(), func(c *cobra.Command) {
		if c.Hidden || onlyHolds(c) || c.Parent() != nil && (c.Parent().Name() == "completion" || c.Name() == "completion" || c.Name() == "help") {
			return
		}
		lines := shownExamples(t, c.CommandPath())
		if len(lines) == 0 {
			t.Errorf("%s: its help shows no example", c.CommandPath())
		}
		for _, l := range lines {
			shown[l] = true
		}
	})
	drill, err := os.ReadFile("testdata/first-drill.txt")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for from, to := range map[string]string{"pairs.csv": "pairs.csv", "sheets.csv": "sheets.csv"} {
		data, err := os.ReadFile("testdata/" + from)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, to), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(dir)
	t.Setenv("XDG_DATA_HOME", filepath.Join(dir, "data"))
	for name, text := range map[string]string{
		"class.csv":     "name,key\nAna Vell,s01\nTom Orbin,s02\n",
		"class-now.csv": "name,key\nAna Vell,s01\nTom Orbin,s02\nMia Sorrel,s03\n",
		"board.yaml":    "on: true\npeople:\n  - {student: anna, alias: Quiet Heron}\n",
	} {
		if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	typed := map[string]string{
		"kilopond drill uneventful --seed 7 --out monday.jsonl": string(drill),
		"kilopond case new my-case.yaml":                        "knee\nend_test\n20:50\nboth\nA knee that hurts.\nStop when it hurts.\n\nHello there.\nWalks in, one leg stiff.\nAda Quill, F, binds books / Ben Quill, M, tunes pianos\n",
		"kilopond rulebook new our-rules.yaml":                  strings.Repeat("\n", 40),
	}
	for _, line := range shownLines {
		if !shown[line] {
			t.Errorf("no help shows: %s", line)
		}
		if strings.Contains(line, " handed-in ") && !exists("handed-in") { // the file of Monday, as students hand it in
			data, err := os.ReadFile("monday.jsonl")
			if err != nil {
				t.Fatal(err)
			}
			if err := os.MkdirAll("handed-in", 0o700); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile("handed-in/anna.1.jsonl", data, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		as := line
		if packs, _ := filepath.Glob("week-9/packs/pack-*.json"); len(packs) > 0 { // codes are drawn; the examples show one
			codes, err := os.ReadFile("week-9/codes.csv")
			if err != nil {
				t.Fatal(err)
			}
			half := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(packs[0]), "pack-"), ".json")
			at := strings.Index(string(codes), half+"-")
			if at < 0 {
				t.Fatalf("codes.csv does not name %s", half)
			}
			as = strings.NewReplacer("7K2M-QX4P", string(codes[at:at+9]), "7K2M", half).Replace(line)
		}
		if _, errs, code := kilopondAt(t, noon, typed[line], shellWords(as)[1:]...); code != exitDone {
			t.Errorf("%s\nexit %d: %s", as, code, errs)
		}
	}
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}
