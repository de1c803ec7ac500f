package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"runtime"
	"strings"
	"testing"
)

// The bytes do not depend on the number of cores.
func TestStreamsDoNotDependOnCores(t *testing.T) {
	for _, args := range [][]string{
		{"population", "--n", "3000", "--seed", "5"},
		{"trace", "--profile", "restx1,150x3,80%x3", "--n", "30", "--seed", "5"},
		{"trials", "--n", "200", "--seed", "5", "--days", "2", "--format", "json"},
	} {
		var first string
		for _, cores := range []int{1, 2, 7} {
			before := runtime.GOMAXPROCS(cores)
			out, errs, code := kilopond(t, "", args...)
			runtime.GOMAXPROCS(before)
			if code != 0 {
				t.Fatalf("%v: exit %d: %s", args, code, errs)
			}
			if first == "" {
				first = out
			}
			if out != first {
				t.Errorf("%v: other bytes on %d cores", args, cores)
			}
		}
	}
}

// Every row of a population can be had alone by its own seed, and JSON holds what CSV holds.
func TestRowsCanBeHadAlone(t *testing.T) {
	out, _, _ := kilopond(t, "", "population", "--n", "12", "--sex", "F", "--age-y", "20:39", "--mix", "volunteer")
	lines := strings.Split(strings.TrimSpace(out), "\n")
	for _, line := range lines[1:] {
		seed, _, _ := strings.Cut(line, ",")
		alone, errs, code := kilopond(t, "", "population", "--n", "1", "--sex", "female", "--age-y", "20:39", "--mix", "volunteer", "--seed", seed)
		if code != 0 || alone != lines[0]+"\n"+line+"\n" {
			t.Errorf("seed %s alone: exit %d %s\n%s\nwant\n%s", seed, code, errs, alone, line)
		}
	}
	doc, _, _ := kilopond(t, "", "population", "--n", "12", "--sex", "F", "--age-y", "20:39", "--mix", "volunteer", "--format", "json")
	var rows []map[string]any
	d := json.NewDecoder(strings.NewReader(doc))
	d.UseNumber()
	if err := d.Decode(&rows); err != nil || len(rows) != 12 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	for i, r := range rows {
		for j, name := range strings.Split(lines[0], ",") {
			if want := strings.Split(lines[i+1], ",")[j]; fmt.Sprint(r[name]) != want {
				t.Errorf("row %d: %s is %v, in CSV %s", i, name, r[name], want)
			}
		}
	}
}

// Called off in the middle, a stream says so and ends with 1.
func TestAStreamCanBeCalledOff(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	out := &callsOff{after: 100000, cancel: cancel}
	var errs bytes.Buffer
	code := run(ctx, []string{"population", "--n", "1000000000"}, strings.NewReader(""), out, &errs)
	if code != 1 || !strings.Contains(errs.String(), "interrupted") {
		t.Errorf("exit %d: %s", code, errs.String())
	}
}

// callsOff is a reader of output who loses patience.
type callsOff struct {
	n, after int
	cancel   func()
}

func (c *callsOff) Write(p []byte) (int, error) {
	if c.n += len(p); c.n > c.after {
		c.cancel()
	}
	return len(p), nil
}
