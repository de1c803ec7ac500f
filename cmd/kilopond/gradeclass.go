package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"
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
	Student     string   `json:"student"`
	Files       int      `json:"files"`
	Counted     int      `json:"attempts_counted"`
	Percent     *float64 `json:"percent"` // automatic
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
func gradeClass(c *cobra.Command, given []string, f render.Format) error {
	due, err := dueFlag(c)
	if err != nil {
		return err
	}
	outputs, err := openOutputs(c)
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
	if err != nil {
		return err
	}
	return class.said(c)
}

// A classRead is a class as it was read and marked.
type classRead struct {
	files     []marked
	counts    []bool
	problems  []problem
	log       string // where marks are noted
	histories map[string]grader.History
}

// readClass finds, replays and marks the files of a class, without those that are written by the command itself.
func readClass(c *cobra.Command, given []string, due time.Time, counter *grader.PerfectCounter, except ...string) (*classRead, error) {
	m, err := newMarker(c)
	if err != nil {
		return nil, err
	}
	m.counter = counter
	own, err := c.Flags().GetString("log")
	must(err)
	if own != "" {
		except = append(except, own)
	}
	files, logs, listing := handIns(given, except)
	if own != "" {
		logs = append(logs, own)
	}
	done, clear := progress(c, len(files))
	list, err := m.all(c.Context(), files, done)
	clear()
	if err != nil {
		return nil, err
	}
	r := &classRead{files: list, counts: compare(list, due), log: own}
	if own == "" {
		r.log = logBeside(given[0])
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
	for i, f := range r.files {
		if !r.counts[i] {
			continue
		}
		m := f.mark
		if h := r.histories[f.head]; withDecisions && len(h.Decided) > 0 {
			m = m.With(h.Decided)
		}
		all = append(all, grader.Entry{Student: f.student, Mark: m})
	}
	return all
}

// said names every problem on stderr and is an error when a file could not be graded.
func (r *classRead) said(c *cobra.Command) error {
	bad := false
	for _, p := range r.problems {
		word := "note"
		if p.bad() {
			word, bad = "error", true
		}
		c.PrintErrf("%s: %s\n", word, p)
	}
	if bad {
		c.PrintErrln("hint: kilopond verify FILE says more; everything else above is graded")
		return errReported
	}
	return nil
}

func (r *classRead) result() classResult {
	out := classResult{Students: []studentRow{}, Attempts: []attemptRow{}, Problems: r.problems, Changes: changes(r.files, r.histories)}
	of := map[string]*studentRow{}
	own := map[string][]float64{}
	for i, f := range r.files {
		if of[f.student] == nil {
			of[f.student] = &studentRow{Student: f.student}
		}
		of[f.student].Files++
		of[f.student].Problems += len(f.problems)
		if !f.graded {
			continue
		}
		h := r.histories[f.head]
		out.Attempts = append(out.Attempts, rowOf(f, r.counts[i], h))
		if h.Comment != nil && r.counts[i] {
			own[f.student] = append(own[f.student], float64(h.Comment.Mark))
		}
	}
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
		out.Students = append(out.Students, *of[name])
	}
	return out
}

func rowOf(f marked, counts bool, h grader.History) attemptRow {
	m := f.mark
	with := m
	if len(h.Decided) > 0 {
		with = m.With(h.Decided)
	}
	items := []grader.Item{}
	for _, i := range m.Items {
		i.Credit, i.Points = unit.Round(i.Credit, 4), unit.Round(i.Points, 4)
		items = append(items, i)
	}
	row := attemptRow{
		Student: f.student, File: f.path, Head: f.head, Case: m.Case, Seed: m.Seed, Model: m.Model, Mode: m.Mode, Coached: m.Coached,
		RulebookHash: m.RulebookHash, Replayed: f.played, HandedIn: m.Closed, Counted: counts,
		Percent: m.Percent, Passed: m.Passed, GateClosed: m.Gate, Parts: m.Parts, Findings: m.Findings,
		AAbs: m.Margins.A.MlKgMin, APct: m.Margins.A.Percent, MAbs: m.Margins.M.MlKgMin, MPct: m.Margins.M.Percent,
		TAbs: m.Margins.T.MlKgMin, TPct: m.Margins.T.Percent, WhyNoM: m.Margins.M.WhyNot, Items: items,
		Decided: decided{with.Percent, len(with.Gate), with.Passed}, Overrides: append([]grader.Override{}, h.Decided...),
	}
	if h.Comment != nil {
		row.Mark, row.Comment = &h.Comment.Mark, h.Comment.Because
	}
	return row
}

// progress shows on a terminal how far it is, and nothing anywhere else.
func progress(c *cobra.Command, n int) (done func(int), clear func()) {
	f, ok := c.ErrOrStderr().(*os.File)
	if !ok || n < 10 || !term.IsTerminal(int(f.Fd())) {
		return func(int) {}, func() {}
	}
	last := -1
	return func(i int) {
			if percent := 100 * i / n; percent != last {
				last = percent
				c.PrintErrf("\rgraded %d of %d", i, n)
			}
		}, func() {
			c.PrintErr("\r" + strings.Repeat(" ", 40) + "\r")
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

// printClass prints the students, then the attempts.
func printClass(c *cobra.Command, f render.Format, r classResult, given []string) error {
	w := c.OutOrStdout()
	if len(r.Attempts) == 0 {
		_, err := fmt.Fprintln(w, "No attempt could be graded.")
		return err
	}
	if err := render.Write(w, f, studentTable(r), nil); err != nil {
		return err
	}
	if _, err := fmt.Fprintln(w); err != nil {
		return err
	}
	if err := render.Write(w, f, attemptTable(r, given), nil); err != nil {
		return err
	}
	if len(r.Changes) > 0 {
		if _, err := fmt.Fprint(w, "\nMarks that differ from those noted before; the earlier ones are kept:\n\n"); err != nil {
			return err
		}
		if err := render.Write(w, f, changeTable(r), nil); err != nil {
			return err
		}
	}
	legend := "M: worked answer on the sheet minus the worked answer on perfect readings of the same path, mL/kg/min. A: the student's estimate " +
		"minus the worked answer on the same sheet. A dash: nothing to show, or no estimate. % is of all points in reach; in brackets, before you decided on a rule."
	lines := append(append([]string{""}, render.Wrap(legend, 78, "", "")...), render.Wrap(render.Caution, 78, "", "")...)
	_, err := fmt.Fprintln(w, strings.Join(lines, "\n"))
	return err
}

func studentTable(r classResult) render.Table {
	t := render.Table{Header: []string{"student", "files", "counted", "%", "gate", "passed", "mark", "|A|", "|M|", "M", "problems"},
		Right: []bool{false, true, true, true, false, false, true, true, true, true, true}, Wrap: -1}
	for _, s := range r.Students {
		gate := "open"
		if s.Decided.GateClosed > 0 {
			gate = fmt.Sprintf("closed in %d", s.Decided.GateClosed)
		}
		if s.Counted == 0 {
			gate = "—"
		}
		t.Rows = append(t.Rows, []string{s.Student, fmt.Sprint(s.Files), fmt.Sprint(s.Counted), num(s.Decided.Percent, 1), gate, yesNo(s.Decided.Passed), num(s.Mark, 1),
			num(s.MeanAbsA, 2), num(s.MeanAbsM, 2), signed(s.BiasM, 2), fmt.Sprint(s.Problems)})
	}
	return t
}

// attemptTable names the files as they lie in the folder, when there is one.
func attemptTable(r classResult, given []string) render.Table {
	t := render.Table{Header: []string{"student", "file", "case", "%", "gate", "passed", "A", "M", "counted"},
		Right: []bool{false, false, false, true, false, false, true, true, false}, Wrap: -1}
	for _, a := range r.Attempts {
		file := a.File
		if len(given) == 1 {
			if rel, err := filepath.Rel(given[0], a.File); err == nil && rel != "." {
				file = rel
			}
		}
		gate := "open"
		if a.Decided.GateClosed > 0 {
			gate = "closed"
		}
		percent := num(a.Decided.Percent, 1)
		if len(a.Overrides) > 0 {
			percent += " (" + num(a.Percent, 1) + ")"
		}
		t.Rows = append(t.Rows, []string{a.Student, file, a.Case, percent, gate, yesNo(a.Decided.Passed), signed(a.AAbs, 2), signed(a.MAbs, 2), yesNo(a.Counted)})
	}
	return t
}

func changeTable(r classResult) render.Table {
	t := render.Table{Header: []string{"student", "file", "rules then", "%", "passed", "rules now", "%", "passed"},
		Right: []bool{false, false, false, true, false, false, true, false}, Wrap: -1}
	for _, x := range r.Changes {
		t.Rows = append(t.Rows, []string{x.Student, filepath.Base(x.File), rulesName(x.Before), num(x.Before.Percent, 1), yesNo(x.Before.Passed),
			rulesName(x.Now), num(x.Now.Percent, 1), yesNo(x.Now.Passed)})
	}
	return t
}

// rulesName is a rulebook by its name and the beginning of its hash: two versions may have one name.
func rulesName(g grader.Given) string {
	return g.Rulebook + " " + g.RulebookHash[:min(6, len(g.RulebookHash))]
}

func num(x *float64, decimals int) string {
	if x == nil {
		return "—"
	}
	return render.Num(*x, decimals)
}

func signed(x *float64, decimals int) string {
	if x == nil {
		return "—"
	}
	return render.Signed(*x, decimals)
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}
