package main

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"gonum.org/v1/gonum/stat"

	"kilopond/cmd/internal/render"
	"kilopond/grader"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// A classResult is the machine-readable result of grading a class.
type classResult struct {
	Students []studentRow `json:"students"`
	Attempts []attemptRow `json:"attempts"`
	Problems []problem    `json:"problems"`
	Changes  []change     `json:"changes"` // marks that differ from those noted before
}

// A studentRow is where a student stands over the attempts that count.
type studentRow struct {
	Student     string   `json:"student"` // the key of the gradebook, where the instructor's file gives one
	Name        string   `json:"name"`
	Code        string   `json:"code"`
	Files       int      `json:"files"`
	Expected    int      `json:"attempts_expected"` // of the pack; 0 when it is not known
	Counted     int      `json:"attempts_counted"`
	Complete    bool     `json:"complete"` // nothing of the pack is missing
	Percent     *float64 `json:"percent"`  // automatic
	GateClosed  int      `json:"gates_closed"`
	Passed      bool     `json:"passed"`
	Decided     decided  `json:"decided"`
	Mark        *float64 `json:"mark"` // mean of the instructor's own marks, 1 to 5
	NA          int      `json:"margin_a_n"`
	MeanAbsA    *float64 `json:"margin_a_mean_abs_ml_kg_min"`
	NM          int      `json:"margin_m_n"`
	MeanAbsM    *float64 `json:"margin_m_mean_abs_ml_kg_min"`
	BiasM       *float64 `json:"margin_m_bias_ml_kg_min"`
	MeanAbsMPct *float64 `json:"margin_m_mean_abs_percent"`
	Problems    int      `json:"problems"`
}

// decided is the verdict with what the instructor decided; without a decision it is the automatic one.
type decided struct {
	Percent    *float64 `json:"percent"`
	GateClosed int      `json:"gates_closed"`
	Passed     bool     `json:"passed"`
}

// An attemptRow is one graded attempt.
type attemptRow struct {
	Student      string             `json:"student"`
	File         string             `json:"file"`
	Head         string             `json:"head"` // SHA-256 of the last line: the attempt's own fingerprint
	Case         string             `json:"case"`
	Seed         scenarios.Seed     `json:"seed"`
	Model        int                `json:"model"`
	Mode         string             `json:"mode"`
	Coached      bool               `json:"coached"`
	RulebookHash string             `json:"rulebook_hash"`
	Replayed     bool               `json:"replayed"` // every reading was played again and is as it stands
	HandedIn     bool               `json:"handed_in"`
	Counted      bool               `json:"counted"`
	Why          string             `json:"why_not_counted"`
	Subject      *int               `json:"subject"` // of the pack, from 1; null outside one
	Try          *int               `json:"try"`
	Receipt      string             `json:"receipt"`
	LateDays     int                `json:"late_days"`
	Percent      *float64           `json:"percent"`
	Passed       bool               `json:"passed"`
	GateClosed   []string           `json:"gate_closed"`
	Parts        []grader.PartScore `json:"parts"`
	Findings     int                `json:"findings"`
	AAbs         *float64           `json:"margin_a_ml_kg_min"`
	APct         *float64           `json:"margin_a_percent"`
	MAbs         *float64           `json:"margin_m_ml_kg_min"`
	MPct         *float64           `json:"margin_m_percent"`
	TAbs         *float64           `json:"margin_t_ml_kg_min"`
	TPct         *float64           `json:"margin_t_percent"`
	WhyNoM       string             `json:"margin_m_why_not"`
	Items        []grader.Item      `json:"items"`
	Decided      decided            `json:"decided"`
	Overrides    []grader.Override  `json:"overrides"`
	Mark         *int               `json:"mark"`    // the instructor's own, 1 to 5
	Comment      string             `json:"comment"` // and why
}

// isClass says whether a class is meant: a folder, or more than one file.
func isClass(given []string) bool {
	if len(given) != 1 {
		return true
	}
	info, err := os.Stat(given[0])
	return err == nil && info.IsDir()
}

// gradeClass grades everything that was given and prints the class.
func gradeClass(c *cobra.Command, given []string, f render.Format, files reportFiles) error {
	due, err := dueFlag(c)
	if err != nil {
		return err
	}
	outputs, err := outputsOf(c)
	if err != nil {
		return err
	}
	keep, err := c.Flags().GetBool("record")
	must(err)
	class, err := readClass(c, given, due, nil, outputs.paths()...)
	if err != nil {
		return err
	}
	result := class.result()
	if keep {
		if err := class.record(c); err != nil {
			return err
		}
	}
	switch f {
	case render.JSON:
		err = render.WriteJSON(c.OutOrStdout(), result)
	case render.CSV:
		err = render.Write(c.OutOrStdout(), f, wideTable(result, false), nil)
	default:
		err = printClass(c, f, result, given)
	}
	if err == nil {
		err = outputs.write(result)
	}
	if err == nil {
		err = files.writeClass(c, class)
	}
	if err != nil {
		return err
	}
	return class.said(c)
}

// A classRead is a class as it was read and marked.
type classRead struct {
	files     []marked
	key       *keyFile
	problems  []problem
	log       string // where marks are noted
	histories map[string]grader.History
	stored    storedClass
}

// readClass finds, replays and marks the files of a class, without those that are written by the command itself.
func readClass(c *cobra.Command, given []string, due time.Time, counter *grader.PerfectCounter, except ...string) (*classRead, error) {
	m, err := newMarker(c)
	if err != nil {
		return nil, err
	}
	m.counter = counter
	receipts, handed, err := receiptsFlag(c)
	if err != nil {
		return nil, err
	}
	if receipts != "" {
		except = append(except, receipts)
	}
	own, err := c.Flags().GetString("log")
	must(err)
	if own != "" {
		except = append(except, own)
	}
	if m.key != nil {
		except = append(except, m.key.path)
	}
	db, err := stored(c)
	if err != nil {
		return nil, err
	}
	files, logs, listing := handIns(given, append(except, db.own()...))
	files, logs = append(files, db.files...), append(logs, db.logs()...)
	if own != "" {
		logs = append(logs, own)
	}
	done, clear := progress(c, len(files))
	list, err := m.all(c.Context(), files, done)
	clear()
	if err = errors.Join(err, db.close()); err != nil {
		return nil, err
	}
	if m.key == nil {
		db.owners(list)
	}
	compare(list, due)
	listing = append(listing, compareReceipts(receipts, handed, list)...)
	r := &classRead{files: list, key: m.key, log: own, stored: db}
	if own == "" {
		r.log = logBeside(append(given, db.name)[0])
	}
	notes, unread := readNotes(logs)
	r.histories = grader.Histories(notes)
	r.problems = problemsOf(append(listing, unread...), list)
	return r, nil
}

// record notes the marks, those that are not noted yet.
func (r *classRead) record(c *cobra.Command) error {
	n, err := record(r.log, r.files, r.histories)
	if err != nil {
		return &hinted{fmt.Errorf("the marks cannot be noted: %w", err), "give another file by --log"}
	}
	c.PrintErrf("noted in %s: %d marks that were new\n", r.log, n)
	return nil
}

// entries are the attempts that count, as they were judged, or with what the instructor decided.
func (r *classRead) entries(withDecisions bool) []grader.Entry {
	var all []grader.Entry
	for _, f := range r.files {
		if !f.counts() {
			continue
		}
		m := f.mark
		if withDecisions {
			m = r.decided(f)
		}
		all = append(all, grader.Entry{Student: f.student, Mark: m})
	}
	return all
}

// mostOfAKind problems of one kind are named on stderr, as when a whole class was graded without its file; the result has all.
const mostOfAKind = 20

// said names the problems on stderr and is an error when a file could not be graded.
func (r *classRead) said(c *cobra.Command) error {
	bad := false
	of := map[string]int{}
	for _, p := range r.problems {
		word := "note"
		if p.bad() {
			word, bad = "error", true
		}
		if of[p.Kind]++; of[p.Kind] <= mostOfAKind {
			c.PrintErrf("%s: %s\n", word, p)
		}
	}
	for _, kind := range sortedKeys(of) {
		if more := of[kind] - mostOfAKind; more > 0 {
			c.PrintErrf("note: %d more of the kind %s; --format json names each\n", more, kind)
		}
	}
	if bad {
		c.PrintErrln("hint: kilopond verify FILE says more; everything else above is graded")
		return errReported
	}
	return nil
}

// decided is a mark with what the instructor decided and what the assignment takes off for lateness.
func (r *classRead) decided(f marked) grader.Mark {
	m := f.mark
	if h := r.histories[f.head]; len(h.Decided) > 0 {
		m = m.With(h.Decided)
	}
	if f.off > 0 {
		m = m.Less(f.off)
	}
	return m
}

func (r *classRead) result() classResult {
	out := classResult{Students: []studentRow{}, Attempts: []attemptRow{}, Problems: r.problems, Changes: changes(r.files, r.histories)}
	of := map[string]*studentRow{}
	own := map[string][]float64{}
	if r.key != nil {
		for _, s := range r.key.Students {
			row := &studentRow{Student: s.Key, Name: s.Name, Code: s.Code}
			for _, x := range s.Subjects {
				if x.Scored {
					row.Expected++
				}
			}
			of[s.Key] = row
		}
	}
	if r.key == nil {
		for _, m := range r.stored.members {
			of[m.Key] = &studentRow{Student: m.Key, Name: m.Name, Code: append(m.Codes, "")[0]}
		}
	}
	for _, f := range r.files {
		switch {
		case of[f.student] != nil:
		case r.key != nil: // nobody's of this assignment, and named as a problem
			continue
		default:
			of[f.student] = &studentRow{Student: f.student, Code: f.code}
		}
		of[f.student].Files++
		of[f.student].Problems += len(f.problems)
		if !f.graded {
			continue
		}
		h := r.histories[f.head]
		out.Attempts = append(out.Attempts, rowOf(f, r.decided(f), h))
		if h.Comment != nil && f.counts() {
			own[f.student] = append(own[f.student], float64(h.Comment.Mark))
		}
	}
	slices.SortStableFunc(out.Attempts, func(a, b attemptRow) int { return cmp.Compare(a.Student, b.Student) })
	slices.SortStableFunc(out.Changes, func(a, b change) int { return cmp.Compare(a.Student, b.Student) })
	for _, s := range grader.Standings(r.entries(true)) {
		row := of[s.Student]
		row.Decided = decided{s.Percent, s.GateClosed, s.Passed}
		if marks := own[s.Student]; len(marks) > 0 {
			mean := unit.Round(stat.Mean(marks, nil), 1)
			row.Mark = &mean
		}
	}
	for _, s := range grader.Standings(r.entries(false)) {
		row := of[s.Student]
		row.Counted, row.Percent, row.GateClosed, row.Passed = s.Attempts, s.Percent, s.GateClosed, s.Passed
		row.NA, row.MeanAbsA = s.A.N, s.A.MeanAbs
		row.NM, row.MeanAbsM, row.BiasM, row.MeanAbsMPct = s.M.N, s.M.MeanAbs, s.M.Bias, s.M.Percent
	}
	for _, name := range sortedKeys(of) {
		row := of[name]
		row.Complete = row.Counted >= max(1, row.Expected)
		row.Passed, row.Decided.Passed = row.Passed && row.Complete, row.Decided.Passed && row.Complete // what is missing may hold the missed stop
		out.Students = append(out.Students, *row)
	}
	return out
}

func rowOf(f marked, with grader.Mark, h grader.History) attemptRow {
	m := f.mark
	items := []grader.Item{}
	for _, i := range m.Items {
		i.Credit, i.Points = unit.Round(i.Credit, 4), unit.Round(i.Points, 4)
		items = append(items, i)
	}
	row := attemptRow{
		Student: f.student, File: f.path, Head: f.head, Case: m.Case, Seed: m.Seed, Model: m.Model, Mode: m.Mode, Coached: m.Coached,
		RulebookHash: m.RulebookHash, Replayed: f.played, HandedIn: m.Closed, Counted: f.counts(), Why: f.why, Receipt: string(f.receipt), LateDays: f.lateDays,
		Percent: m.Percent, Passed: m.Passed, GateClosed: m.Gate, Parts: m.Parts, Findings: m.Findings,
		AAbs: m.Margins.A.MlKgMin, APct: m.Margins.A.Percent, MAbs: m.Margins.M.MlKgMin, MPct: m.Margins.M.Percent,
		TAbs: m.Margins.T.MlKgMin, TPct: m.Margins.T.Percent, WhyNoM: m.Margins.M.WhyNot, Items: items,
		Decided: decided{with.Percent, len(with.Gate), with.Passed}, Overrides: append([]grader.Override{}, h.Decided...),
	}
	if f.subject > 0 {
		row.Subject, row.Try = &f.subject, &f.try
	}
	if h.Comment != nil {
		row.Mark, row.Comment = &h.Comment.Mark, h.Comment.Because
	}
	return row
}

// progress shows on a terminal how far it is, and nothing anywhere else.
func progress(c *cobra.Command, n int) (done func(int), clear func()) {
	f, ok := render.Terminal(c.ErrOrStderr())
	if !ok || n < 10 {
		return func(int) {}, func() {}
	}
	last := -1
	return func(i int) {
			if percent := 100 * i / n; percent != last {
				last = percent
				fmt.Fprintf(f, "\rgraded %d of %d", i, n)
			}
		}, func() {
			fmt.Fprint(f, "\r"+strings.Repeat(" ", 40)+"\r")
		}
}

// dueFlag reads --due; zero when there is none.
func dueFlag(c *cobra.Command) (time.Time, error) {
	text, err := c.Flags().GetString("due")
	must(err)
	if text == "" {
		return time.Time{}, nil
	}
	for _, form := range []string{time.RFC3339, "2006-01-02T15:04", "2006-01-02 15:04"} {
		if t, err := time.ParseInLocation(form, text, time.Local); err == nil {
			return t, nil
		}
	}
	if t, err := time.ParseInLocation("2006-01-02", text, time.Local); err == nil {
		return t.AddDate(0, 0, 1), nil // to the end of that day
	}
	return time.Time{}, usage(`for example --due "2026-11-27 18:00"`, "--due %q: not a day and time", text)
}
