package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"kilopond/cmd/internal/dialogue"
	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/scenarios"
)

// polled plays a test and returns every ballot with the command that the proctor gave then.
func polled(t *testing.T, id string, seed scenarios.Seed) (all []ballot, next []exercises.Command, whole *grader.Played) {
	t.Helper()
	one, err := loadCase(id)
	if err != nil {
		t.Fatal(err)
	}
	b := grader.Default()
	if whole, err = grader.Play(b, one.Draw(seed)); err != nil {
		t.Fatal(err)
	}
	replay := dialogue.Replay(whole.Session)
	p := poll{b, grader.NewProctor(b), seed.Stream("ballots")}
	for i, l := range whole.Lines {
		for _, x := range p.ballots(replay.State(), whole.Lines[:i], l.Command) {
			all, next = append(all, x), append(next, l.Command)
		}
		replay.Show(l)
	}
	return all, next, whole
}

// Every decision of the proctor is put to the vote, and what it does is one of the answers and right, whatever is wrong with the person.
func TestEveryDecisionIsPutToTheVote(t *testing.T) {
	letters := map[int]int{}
	kinds := map[string]bool{}
	for _, id := range scenarios.IDs() {
		all, next, whole := polled(t, id, 3)
		asked := map[exercises.Act]int{}
		for i, b := range all {
			if b.proctor < 0 || b.proctor >= len(b.choices) || !b.choices[b.proctor].fits {
				t.Fatalf("%s: %s: the proctor's %d is not an answer that fits: %+v", id, b.name, b.proctor, b.choices)
			}
			letters[b.proctor]++
			says := map[string]bool{}
			for _, c := range b.choices {
				if says[c.says] {
					t.Errorf("%s: %s: two answers say %s", id, b.name, c.says)
				}
				says[c.says] = true
			}
			if len(b.choices) < 3 || b.why == "" {
				t.Errorf("%s: %s: %d answers, reason %q", id, b.name, len(b.choices), b.why)
			}
			kinds[strings.TrimRight(b.name, "0123456789 ")] = true
			asked[next[i].Act]++
		}
		state := whole.Session.State()
		if all[0].name != "the health questions" {
			t.Errorf("%s: first asked about %s", id, all[0].name)
		}
		want := map[exercises.Act]int{}
		for _, e := range state.Events {
			switch f := e.Fact.(type) {
			case exercises.Decided:
				want[exercises.Decide]++
			case exercises.Extended:
				want[exercises.Extend]++
			case exercises.StageStarted:
				if f.Stage > 1 {
					want[exercises.Stage]++
				}
			case exercises.TestEnded:
				want[f.How]++
			}
		}
		for act, n := range want {
			if asked[act] < n {
				t.Errorf("%s: %d times %s, but %d ballots", id, n, act, asked[act])
			}
		}
	}
	for _, kind := range []string{"the health questions", "the screening", "the pressure of stage", "the end of stage", "the load of stage", "what was noticed"} {
		if !kinds[kind] {
			t.Errorf("never asked: %s; asked %v", kind, slices.Sorted(maps.Keys(kinds)))
		}
	}
	for i := range 3 {
		if letters[i] < 20 {
			t.Errorf("%s is the proctor's answer %d times: the order gives it away", letter(i), letters[i])
		}
	}
}

// The order of the answers belongs to the seed.
func TestOrderOfAnswers(t *testing.T) {
	order := func(seed scenarios.Seed) string {
		all, _, _ := polled(t, "uneventful", seed)
		var says []string
		for _, c := range all[0].choices {
			says = append(says, c.says)
		}
		return strings.Join(says, "/")
	}
	orders := map[string]bool{}
	for seed := range scenarios.Seed(12) {
		if first, again := order(seed), order(seed); first != again {
			t.Errorf("seed %d: two orders", seed)
		}
		orders[order(seed)] = true
	}
	if len(orders) < 4 {
		t.Errorf("only %d orders among twelve seeds", len(orders))
	}
}

func TestCountHands(t *testing.T) {
	for line, want := range map[string]string{
		"b": "b1", "B": "b1", "": "", "  ": "", "aab": "a2 b1", "a 3, b 12": "a3 b12", "a 3 b 12": "a3 b12", "c: 0; a: 1": "a1", "a b": "a1 b1",
		"d": "no", "x": "no", "3": "no", "a 3 4": "no", "a -1": "no", "a 5000": "no", "a3": "no", "é": "no", "yes": "no", "b?": "no",
	} {
		hands, ok := countHands(line, 3)
		var got []string
		for _, i := range slices.Sorted(maps.Keys(hands)) {
			got = append(got, fmt.Sprintf("%s%d", letter(i), hands[i]))
		}
		said := strings.Join(got, " ")
		if !ok {
			said = "no"
		}
		if said != want {
			t.Errorf("%q is %q, want %q", line, said, want)
		}
	}
}
