package main

import (
	"os"
	"strings"
	"testing"
)

// The commands shown in the README print what is shown, in that order; a line … stands for lines left out.
func TestReadmeShowsWhatIsPrinted(t *testing.T) {
	page, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	t.Setenv("XDG_DATA_HOME", t.TempDir())
	ran := 0
	for i, block := range strings.Split(string(page), "```console\n")[1:] {
		block, _, ok := strings.Cut(block, "```")
		if !ok {
			t.Fatalf("block %d has no end", i+1)
		}
		for _, part := range strings.Split("\n"+block, "\n$ ")[1:] {
			command, shown, _ := strings.Cut(part, "\n")
			ran++
			holdsTo(t, command, shown)
		}
	}
	if ran < 3 {
		t.Errorf("%d commands were found in the README, want at least 3", ran)
	}
}

func holdsTo(t *testing.T, command, shown string) {
	t.Helper()
	command, from, redirected := strings.Cut(command, " < ")
	stdin := ""
	if redirected {
		data, err := os.ReadFile("testdata/" + from)
		if err != nil {
			t.Fatal(err)
		}
		stdin = string(data)
	}
	args := strings.Fields(command)
	if args[0] != "kilopond" {
		t.Fatalf("%s: not a command of ours", command)
	}
	out, errs, code := kilopond(t, stdin, args[1:]...)
	if code != 0 {
		t.Fatalf("%s: exit %d: %s", command, code, errs)
	}
	lines := strings.Split(out, "\n")
	at, skip := 0, false
	for _, want := range strings.Split(strings.TrimRight(shown, "\n"), "\n") {
		if want == "…" {
			skip = true
			continue
		}
		for skip && at < len(lines) && lines[at] != want {
			at++
		}
		if at >= len(lines) || lines[at] != want {
			t.Errorf("%s: the README shows\n%s\nwhich is not printed there", command, want)
			return
		}
		at, skip = at+1, false
	}
}
