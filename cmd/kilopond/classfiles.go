package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"sort"
	"strings"
	"sync"
	"time"

	"github.com/spf13/cobra"

	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/grader/inorder"
	"kilopond/scenarios"
)

// A handIn is one file of a class.
type handIn struct {
	path    string
	owner   string // by the file's place and name
	changed time.Time
	read    func() ([]byte, error) // of a class file; nil for a file of its own
}

// bytes reads what was handed in.
func (f handIn) bytes() ([]byte, error) {
	if f.read != nil {
		return f.read()
	}
	return attemptBytes(f.path)
}

// gradesFile is the log of marks beside the attempts of a folder; it is no attempt.
const gradesFile = "grades.jsonl"

// copyMark is what a browser puts into the name of the second copy.
var copyMark = regexp.MustCompile(` \(\d+\)$`)

// studentOf is whose a file is by its place: the folder below the one that was given, else the file's name up to its first dot.
func studentOf(given, path string) string {
	if rel, err := filepath.Rel(given, path); err == nil && rel != "." {
		if sub, _, nested := strings.Cut(filepath.ToSlash(rel), "/"); nested && sub != ".." {
			return sub
		}
	}
	name, _, _ := strings.Cut(filepath.Base(path), ".")
	return copyMark.ReplaceAllString(name, "")
}

// handIns lists the files of a class in the order of their paths, each once, without some, and the logs of marks beside them. What cannot be
// listed is a problem.
func handIns(given, except []string) (files []handIn, logs []string, problems []problem) {
	seen := map[string]bool{}
	for _, path := range except {
		if abs, err := filepath.Abs(path); err == nil {
			seen[abs] = true
		}
	}
	add := func(root, path string) {
		abs, err := filepath.Abs(path)
		if err != nil || seen[abs] {
			return
		}
		seen[abs] = true
		info, err := os.Stat(path)
		switch {
		case err != nil:
			problems = append(problems, problem{File: path, Kind: "unreadable", What: plainError(err)})
		case info.IsDir():
			problems = append(problems, problem{File: path, Kind: "unreadable", What: "a link to a folder, which is not followed"})
		case !info.Mode().IsRegular():
			problems = append(problems, problem{File: path, Kind: "unreadable", What: "not an ordinary file"})
		default:
			files = append(files, handIn{path: path, owner: studentOf(root, path), changed: info.ModTime()})
		}
	}
	for _, root := range given {
		info, err := os.Stat(root)
		if err != nil {
			problems = append(problems, problem{File: root, Kind: "unreadable", What: plainError(err)})
			continue
		}
		logs = append(logs, logBeside(root))
		if !info.IsDir() {
			add(root, root)
			continue
		}
		err = filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			hidden := path != root && strings.HasPrefix(d.Name(), ".")
			switch {
			case err != nil:
				problems = append(problems, problem{File: path, Kind: "unreadable", What: plainError(err)})
				if d != nil && d.IsDir() {
					return fs.SkipDir
				}
			case d.IsDir() && hidden:
				return fs.SkipDir
			case d.Name() == gradesFile:
				logs = append(logs, path)
			case !d.IsDir() && !hidden:
				add(root, path)
			}
			return nil
		})
		if err != nil {
			problems = append(problems, problem{File: root, Kind: "unreadable", What: plainError(err)})
		}
	}
	sort.SliceStable(files, func(i, j int) bool { return files[i].order() < files[j].order() })
	return files, logs, problems
}

// order puts a second copy behind the file of which it is one.
func (f handIn) order() string {
	ext := filepath.Ext(f.path)
	bare := strings.TrimSuffix(f.path, ext)
	return fmt.Sprintf("%s%s\x00%06d%s", copyMark.ReplaceAllString(bare, ""), ext, len(f.path), f.path)
}

// A marked is one file with what became of it.
type marked struct {
	handIn
	claim
	graded   bool
	head     string // the chain's end
	header   exercises.Header
	mark     grader.Mark
	played   bool // every reading was played again
	sheet    writtenDown
	why      string // it does not count, "" when it does
	problems []problem
}

// counts says whether the attempt counts for its student.
func (out marked) counts() bool { return out.graded && out.why == "" }

// A marker reads, replays and grades files; subjects and rulebooks are shared by those that have the same.
type marker struct {
	rules   func(raw json.RawMessage) (grader.Rulebook, error)
	key     *keyFile // nil when there is none
	shelf   caseShelf
	at      time.Time
	counter *grader.PerfectCounter

	mu    sync.Mutex
	cases map[string]scenarios.Case // by hash
	books map[string]grader.Rulebook
}

// newMarker takes the rules from the flags, or else from each attempt.
func newMarker(c *cobra.Command) (*marker, error) {
	m := &marker{at: wallClock(c), cases: map[string]scenarios.Case{}, books: map[string]grader.Rulebook{}}
	key, err := readKey(c)
	if err != nil {
		return nil, err
	}
	m.key = key
	if m.shelf, err = shelf(c); err == nil {
		m.shelf, err = m.shelf.with(key)
	}
	if err != nil {
		return nil, err
	}
	sets, err := c.Flags().GetStringArray("set")
	must(err)
	if c.Flags().Changed("rulebook") {
		b, err := rules(c)
		if err != nil {
			return nil, err
		}
		m.rules = func(json.RawMessage) (grader.Rulebook, error) { return b, nil }
		return m, nil
	}
	if b := grader.Default(); len(sets) > 0 { // wrong usage is known before the first file
		if err := b.SetAll(sets); err != nil {
			return nil, usage("kilopond rulebook show lists every path with its value", "%w", err)
		}
	}
	m.rules = func(raw json.RawMessage) (grader.Rulebook, error) {
		if m.key != nil {
			raw = m.key.Rulebook // those of the assignment, whatever the file says
		}
		b, err := grader.FromJSON(raw)
		if err == nil {
			err = b.SetAll(sets)
		}
		return b, err
	}
	return m, nil
}

// book reads the rulebook of an attempt once for all attempts that have the same.
func (m *marker) book(raw json.RawMessage) (grader.Rulebook, error) {
	m.mu.Lock()
	b, ok := m.books[string(raw)]
	m.mu.Unlock()
	if ok {
		return b, nil
	}
	b, err := m.rules(raw)
	if err == nil {
		m.mu.Lock()
		m.books[string(raw)] = b
		m.mu.Unlock()
	}
	return b, err
}

// subject draws the subject of an attempt again, the case read once.
func (m *marker) subject(h exercises.Header) (scenarios.Scenario, error) {
	m.mu.Lock()
	c, ok := m.cases[h.CaseHash]
	m.mu.Unlock()
	if !ok {
		var err error
		if c, err = m.shelf.caseOf(h); err != nil {
			return scenarios.Scenario{}, err
		}
		m.mu.Lock()
		m.cases[h.CaseHash] = c
		m.mu.Unlock()
	}
	return c.Draw(h.Seed), nil
}

// all marks the files on all cores, in their order. done is told how many are done.
func (m *marker) all(ctx context.Context, files []handIn, done func(n int)) ([]marked, error) {
	list := make([]marked, 0, len(files))
	err := inorder.Each(ctx, len(files), func(i int) (marked, error) { return m.one(files[i]), nil }, func(i int, f marked) error {
		list = append(list, f)
		done(i + 1)
		return nil
	})
	if errors.Is(err, context.Canceled) {
		err = errors.New("interrupted: nothing was written")
	}
	return list, err
}

// one marks a file. One that holds in every byte is read by playing it; else it is read line by line, to say what is wrong.
func (m *marker) one(f handIn) marked {
	out := marked{handIn: f, claim: claim{student: f.owner}}
	data, err := f.bytes()
	if err != nil {
		out.say("unreadable", 0, "%s", plainError(err))
		return out
	}
	a, session, played := exercises.ReadPlayed(data, m.subject)
	if !played {
		if a = exercises.Read(data); a.Damage != nil {
			if s, ok := m.saidToBe(a.Header); ok {
				out.student, out.name = s.Key, s.Name
			}
			out.damaged(a)
			return out
		}
	}
	out.header, out.head, out.played = a.Header, a.Last(), played
	if len(a.Unfinished) > 0 {
		out.say("cut-off", len(a.Raw)+1, "ends in the middle of a line, which does not count: perhaps the file was not copied to its end")
	}
	if !m.place(&out, a) {
		return out
	}
	b, err := m.book(a.Header.Rulebook)
	if err != nil {
		out.say("rules", 1, "%v", err)
		return out
	}
	var state *exercises.State
	if played {
		state = session.State()
	} else {
		if !m.replay(&out, a) {
			return out
		}
		if state, err = exercises.Rebuild(a.Header, a.Lines); err != nil {
			out.say("damaged", 0, "%v", err)
			return out
		}
	}
	out.mark = grader.MarkOf(b, grader.ReadState(b, state), m.counter)
	out.sheet = readingsOf(state)
	out.graded = true
	if a.Header.Coached && !out.mayCoach {
		out.say("coached", 0, "a coach said what was due: practice, and not counted")
	}
	if a.Header.Redo != nil {
		out.say("done-over", 0, "its beginning is that of an earlier attempt: practice, and not counted")
	}
	if m.key != nil && a.Header.RulebookHash != m.key.RulebookHash {
		out.say("other-rules", 0, "worked under other rules than the assignment's; graded under the assignment's")
	}
	if !state.Closed {
		out.say("not-handed-in", 0, "never handed in: judged on what was done, and not counted")
	}
	return out
}

// saidToBe is whose an attempt that does not hold says it is, so that it is named beside the student's others.
func (m *marker) saidToBe(h exercises.Header) (exercises.Student, bool) {
	if m.key == nil || h.Pack == nil {
		return exercises.Student{}, false
	}
	return m.key.ByCode(h.Pack.Code)
}

// damaged names the first fault of a file that does not hold.
func (out *marked) damaged(a *exercises.Attempt) {
	if len(a.Raw) == 0 {
		out.say("not-an-attempt", 0, "%s", notAnAttempt(a.Damage))
		return
	}
	out.header = a.Header
	out.say("damaged", a.Damage.Line, "%s", a.Damage.Why)
}

// notAnAttempt says in words of people why a file is none.
func notAnAttempt(d *exercises.Damage) string {
	if why, _, decoding := strings.Cut(d.Why, ":"); decoding {
		return why
	}
	return d.Why
}

// replay plays an attempt again where that can be done, and reports whether it may be graded.
func (m *marker) replay(out *marked, a *exercises.Attempt) bool {
	if a.Header.Model != scenarios.Model {
		out.say("other-model", 0, "of model %d, so the subject is not played again (this program has %d); graded by what the file holds", a.Header.Model, scenarios.Model)
		return true
	}
	sc, err := m.subject(a.Header)
	if err != nil {
		out.say("other-case", 0, "the subject cannot be played again: %v; graded by what the file holds", err)
		return true
	}
	if _, err := exercises.Resimulate(a.Header, sc, a.Lines); err != nil {
		var d *exercises.Damage
		line := 0
		what := err.Error()
		if errors.As(err, &d) {
			line, what = d.Line, d.Why
		}
		out.say("not-as-played", line, "%s; it was changed, or written by another version of this program", what)
		return false
	}
	out.played = true
	return true
}

func (out *marked) say(kind string, line int, format string, args ...any) {
	p := problem{File: out.path, Student: out.student, Kind: kind, What: fmt.Sprintf(format, args...)}
	if line > 0 {
		p.Line = &line
	}
	out.problems = append(out.problems, p)
}
