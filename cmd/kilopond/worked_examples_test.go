package main

import (
	"encoding/json"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

type example struct {
	id, kind, inputs, expected, tolerance, source string
}

func examples(t *testing.T) []example {
	t.Helper()
	rows := readCSV(t, "../../testdata/worked_examples.csv")
	if len(rows) != 122 {
		t.Fatalf("%d rows", len(rows))
	}
	var all []example
	for _, r := range rows[1:] {
		all = append(all, example{r[0], r[1], r[2], r[5], r[6], r[10]})
	}
	return all
}

func (e example) pairs() []string {
	var all []string
	for _, p := range strings.Split(e.inputs, ";") {
		all = append(all, strings.TrimSpace(p))
	}
	return all
}

// near compares with an example's expected value; each has its source beside it in the table.
func (e example) near(t *testing.T, got any) {
	t.Helper()
	x, isNumber := got.(float64)
	if !isNumber {
		if got != e.expected {
			t.Errorf("%s: %v, want %s [%s]", e.id, got, e.expected, e.source)
		}
		return
	}
	want, err1 := strconv.ParseFloat(e.expected, 64)
	tol, err2 := strconv.ParseFloat(e.tolerance, 64)
	if err1 != nil || err2 != nil || math.Abs(x-want) > tol {
		t.Errorf("%s: %v, want %s ± %s [%s]", e.id, x, e.expected, e.tolerance, e.source)
	}
}

func result(t *testing.T, args ...string) map[string]any {
	t.Helper()
	out, errs, code := kilopond(t, "", append(args, "--format", "json")...)
	if code != 0 {
		t.Fatalf("%v: exit %d: %s", args, code, errs)
	}
	var v map[string]any
	if err := json.Unmarshal([]byte(out), &v); err != nil {
		t.Fatalf("%v: %v", args, err)
	}
	return v
}

func TestWorkedExamplesThroughFormula(t *testing.T) {
	for _, e := range examples(t) {
		e.near(t, result(t, append([]string{"formula", e.kind}, e.pairs()...)...)["value"])
	}
}

func TestWorkedExamplesThroughBranch(t *testing.T) {
	n := 0
	for _, e := range examples(t) {
		if e.kind != "branch" {
			continue
		}
		n++
		p := e.pairs()
		stage, err := strconv.Atoi(strings.TrimPrefix(p[1], "stage="))
		if err != nil {
			t.Fatal(err)
		}
		rates := result(t, "branch", "--hr-bpm", strings.TrimPrefix(p[0], "hr_bpm="))["work_rates_kgm_min"].([]any)
		e.near(t, rates[stage-2])
	}
	if n != 10 {
		t.Errorf("%d rows, want 10", n)
	}
}

func TestWorkedExamplesThroughEstimate(t *testing.T) {
	n := 0
	for _, e := range examples(t) {
		if e.kind != "estimate" {
			continue
		}
		n++
		args := []string{"estimate", "--sex", "F"}
		want := ""
		for _, p := range e.pairs() {
			k, v, _ := strings.Cut(p, "=")
			switch k {
			case "stages_kgm_min":
				for _, s := range strings.Fields(v) {
					args = append(args, "--stage", s)
				}
			case "age_y":
				args = append(args, "--age-y", v)
			case "mass_kg":
				args = append(args, "--mass-kg", v)
			case "want":
				want = v
			default:
				args = append(args, "--set", p)
			}
		}
		r := result(t, args...)
		if r[want] == nil {
			t.Errorf("%s: no %s: %v", e.id, want, r["why_not"])
			continue
		}
		// The result is printed to fewer digits than the table's tolerance asks.
		if x, w := r[want].(float64), e.expected; want == "max_work_rate_kgm_min" {
			e.near(t, x)
		} else if y, err := strconv.ParseFloat(w, 64); err != nil || math.Abs(x-y) > 0.005+1e-9 {
			t.Errorf("%s: %v, want %s to two decimals [%s]", e.id, x, w, e.source)
		}
	}
	if n != 5 {
		t.Errorf("%d rows, want 5", n)
	}
}

func TestClosedPipeIsNoFault(t *testing.T) {
	r, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	var errs strings.Builder
	if code := run(t.Context(), []string{"demo", "--format", "json"}, strings.NewReader(""), w, &errs); code != 0 || errs.Len() > 0 {
		t.Errorf("exit %d, %q", code, errs.String())
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
}

func BenchmarkDemo(b *testing.B) {
	for b.Loop() {
		if _, _, code := kilopond(b, "", "demo", "uneventful", "--seed", "7", "--format", "json"); code != 0 {
			b.Fatal(code)
		}
	}
}
