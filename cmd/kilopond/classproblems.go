package main

import (
	"fmt"
	"slices"
	"sort"
	"strings"
	"time"
)

// A problem names one thing about one file that somebody should look at. It convicts nobody.
type problem struct {
	File    string `json:"file"`
	Student string `json:"student"`
	Kind    string `json:"kind"`
	Line    *int   `json:"line"`
	What    string `json:"what"`
	Graded  bool   `json:"graded"` // the file is among the results all the same
}

// problemKinds are the kinds in words, for help.
const problemKinds = `Not graded: unreadable, not-an-attempt; damaged (a line was changed or is missing); not-as-played (the readings are not those of this
subject); rules (the rulebook in it cannot be used); other-pack; nobody (of no student of the assignment); held-back; no-file (a receipt was
given, and no file has it); grades-log (a log of marks that cannot be read to its end).

Graded, and not counted: not-handed-in, coached, done-over, duplicate, begun-twice (at one place of a pack; the one begun first counts).

Graded and counted, for you to look at: cut-off, two-names (one attempt from two students, or with another's code), equal-readings (the same numbers written of
different subjects, on the whole sheet or in a row), late, early (begun before the pack was there), over-time, other-receipt, other-rules, other-model and other-case (cannot be played again).`

// bad says whether a file could not be graded: then the command fails, after its results.
func (p problem) bad() bool { return !p.Graded }

func (p problem) String() string {
	where := p.File
	if p.Line != nil {
		where += fmt.Sprintf(", line %d", *p.Line)
	}
	return fmt.Sprintf("%s: %s (%s)", where, p.What, p.Kind)
}

// compare looks across the files: the same attempt twice, the same readings of different subjects, late ones. It notes of each attempt that
// does not count why: a second copy of one student's attempt does not, nor what was never handed in, nor an earlier try.
func compare(files []marked, due time.Time) {
	last := lastTries(files)
	heads := map[string][]int{}
	for i := range files {
		f := &files[i]
		if !f.graded {
			continue
		}
		f.why = f.notCounted(last[i])
		for _, j := range heads[f.head] {
			if f.why == "" && files[j].student == f.student {
				f.why = "a second copy"
			}
		}
		heads[f.head] = append(heads[f.head], i)
		if !due.IsZero() && f.changed.After(due) {
			f.say("late", 0, "the file was last changed at %s, by its own time stamp, which copying can change", f.changed.In(due.Location()).Format("2006-01-02 15:04"))
		}
	}
	begunTwice(files)
	for _, head := range sortedKeys(heads) {
		sameAttempt(files, heads[head])
	}
	equalReadings(files)
}

// notCounted says why an attempt does not count, "" when it does.
func (f *marked) notCounted(lastTry bool) string {
	switch {
	case !f.mark.Closed:
		return "not handed in"
	case f.mark.Coached && !f.mayCoach:
		return "coached"
	case f.mark.Redone:
		return "done over"
	case f.refused:
		return "too late"
	case f.unscored:
		return "not scored"
	case !lastTry:
		return "an earlier try"
	}
	return ""
}

// sameAttempt names files that hold one and the same attempt.
func sameAttempt(files []marked, same []int) {
	for n, i := range same {
		var others []string
		own := ""
		for k, j := range same {
			switch {
			case j == i:
			case files[j].student != files[i].student:
				others = append(others, files[j].path)
			case k < n && own == "":
				own = files[j].path
			}
		}
		if own != "" {
			files[i].say("duplicate", 0, "the same attempt as %s; it counts once", own)
		}
		if len(others) > 0 {
			files[i].say("two-names", 0, "the same attempt, act by act, as %s under another name; both are graded until you decide", strings.Join(others, ", "))
		}
	}
}

// problemsOf collects every problem of a class, by file.
func problemsOf(listing []problem, files []marked) []problem {
	all := append([]problem{}, listing...)
	for _, f := range files {
		for _, p := range f.problems {
			p.Graded = f.graded
			all = append(all, p)
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].File < all[j].File })
	return all
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
