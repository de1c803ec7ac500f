package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/exercises/filelog"
	"kilopond/grader/skill"
	"kilopond/grader/stats"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// countRow is a count as it is printed.
type countRow struct {
	Right int `json:"right"`
	N     int `json:"n"`
	// Low and High are the ends of the 95 % interval, as fractions; null without an answer.
	Low  *float64 `json:"ci_low"`
	High *float64 `json:"ci_high"`
}

func newCountRow(c skill.Count) countRow {
	r := countRow{Right: c.Right, N: c.N}
	if c.Interval != nil {
		low, high := unit.Round(c.Interval[0], 4), unit.Round(c.Interval[1], 4)
		r.Low, r.High = &low, &high
	}
	return r
}

// cells are the count and its interval in words.
func (c countRow) cells() []string {
	interval := ""
	if c.Low != nil {
		interval = percents(*c.Low, *c.High)
	}
	return []string{fmt.Sprint(c.Right), fmt.Sprint(c.N), interval}
}

// fraction is an end of an interval in a cell; empty when there is none.
func fraction(x *float64) string {
	if x == nil {
		return ""
	}
	return fmt.Sprintf("%.4f", *x)
}

// percents is an interval of a share.
func percents(low, high float64) string {
	return fmt.Sprintf("%.0f–%.0f %%", math.Floor(100*low), math.Ceil(100*high))
}

// standingRow is where the student stands in one skill.
type standingRow struct {
	Skill    skill.Name `json:"skill"`
	Level    int        `json:"level"`
	AtLevel  countRow   `json:"at_level"`
	All      countRow   `json:"all"`
	Sittings int        `json:"sittings"`
	LastAt   *time.Time `json:"last_at"`
	DueAt    *time.Time `json:"due_at"` // null: never sat, so due now
	DueNow   bool       `json:"due_now"`
}

func newStandingRow(s skill.Standing, now time.Time) standingRow {
	r := standingRow{Skill: s.Skill, Level: s.Level, AtLevel: newCountRow(s.At), All: newCountRow(s.All), Sittings: s.Sittings, DueNow: s.DueAt(now)}
	if !s.Last.IsZero() {
		last, due := s.Last.UTC().Truncate(time.Second), s.Due.UTC().Truncate(time.Second)
		r.LastAt, r.DueAt = &last, &due
	}
	return r
}

// dueResult is what kilopond skill prints.
type dueResult struct {
	Skills []standingRow `json:"skills"`
	Stop   detectionRow  `json:"stop"`
}

// detectionRow is stopping as the telling of signals from the rest.
type detectionRow struct {
	Signals    countRow `json:"signals_ended"`  // of the moments that had to end
	Rest       countRow `json:"others_gone_on"` // of the others
	DPrime     *float64 `json:"d_prime"`        // null below eight signals, and while there is nothing else
	DPrimeSE   *float64 `json:"d_prime_se"`     //
	Criterion  *float64 `json:"criterion_c"`    //
	WhyNoIndex string   `json:"why_no_index,omitempty"`
}

func newDetectionRow(d stats.Detection) detectionRow {
	r := detectionRow{Signals: newCountRow(skill.NewCount(d.Hits, d.Signals)), Rest: newCountRow(skill.NewCount(d.Rest-d.FalseStops, d.Rest))}
	switch {
	case d.Signals < stats.LeastSignals || d.Rest < stats.LeastSignals:
		r.WhyNoIndex = fmt.Sprintf("from %d moments of each sort on", stats.LeastSignals)
		r.Signals.Low, r.Signals.High, r.Rest.Low, r.Rest.High = nil, nil, nil, nil // counts only
	default:
		i := d.Index()
		prime, se, c := unit.Round(i.DPrime, 3), unit.Round(i.SE, 3), unit.Round(i.Criterion, 3)
		r.DPrime, r.DPrimeSE, r.Criterion = &prime, &se, &c
	}
	return r
}

// words tells the row in sentences; nothing when nothing was answered.
func (r detectionRow) words() string {
	if r.Signals.N+r.Rest.N == 0 {
		return ""
	}
	text := fmt.Sprintf("Stop: of %s that had to end you ended %d; of %s you let %d go on.", howMany(r.Signals.N, "moment"), r.Signals.Right, howMany(r.Rest.N, "other"), r.Rest.Right)
	if r.DPrime == nil {
		return text + " Shares and their intervals " + r.WhyNoIndex + "."
	}
	lean := "neither quick nor slow to stop"
	switch {
	case *r.Criterion < -leans:
		lean = "quick to stop"
	case *r.Criterion > leans:
		lean = "slow to stop"
	}
	return text + fmt.Sprintf(" Sensitivity %.0f %% (95 %% interval %s), specificity %.0f %% (%s). How well the two are told apart, d′: %s ± %s; where the line is drawn, c: %s (%s).",
		100*float64(r.Signals.Right)/float64(r.Signals.N), percents(*r.Signals.Low, *r.Signals.High), 100*float64(r.Rest.Right)/float64(r.Rest.N), percents(*r.Rest.Low, *r.Rest.High),
		render.Num(*r.DPrime, 2), render.Num(*r.DPrimeSE, 2), render.Num(*r.Criterion, 2), lean)
}

// leans is how far the criterion must lie from 0 to be called a lean. Source: [CHOICE-DETECTION].
const leans = 0.3

// showDue prints what is due and how it went.
func showDue(c *cobra.Command, now time.Time) error {
	for _, flag := range []string{"n", "level", "seed", "rulebook", "set", "beats"} {
		if c.Flags().Changed(flag) {
			return usage("kilopond skill NAME --"+flag+" …", "--%s: only with the name of a skill", flag)
		}
	}
	f, err := format(c)
	if err != nil {
		return err
	}
	path, err := progressPath(c)
	if err != nil {
		return err
	}
	answers, bad, err := filelog.ReadProgress(path)
	if err != nil {
		return &hinted{fmt.Errorf("your answers cannot be read: %w", err), "give another file: --progress FILE"}
	}
	if bad > 0 {
		c.PrintErrf("note: %s: %s cannot be read; nothing is changed, and the next drill keeps a copy\n", path, howMany(bad, "line"))
	}
	result := dueResult{Skills: []standingRow{}, Stop: newDetectionRow(skill.Detect(answers))}
	t := render.Table{Header: []string{"skill", "due", "level", "right", "n", "ci_low", "ci_high", "all_right", "all_n", "last"},
		Right: []bool{false, false, true, true, true, true, true, true, true}, Wrap: -1}
	if f == render.Text {
		t.Header, t.Right = []string{"skill", "due", "level", "right", "95 %", "in all", "last"}, []bool{false, false, true}
	}
	for _, s := range skill.Fold(answers) {
		r := newStandingRow(s, now)
		result.Skills = append(result.Skills, r)
		row := []string{string(s.Skill), dueWords(s, now), fmt.Sprint(s.Level)}
		if f == render.Text {
			cells := r.AtLevel.cells()
			row = append(row, cells[0]+" of "+cells[1], cells[2], fmt.Sprintf("%d of %d", r.All.Right, r.All.N))
		} else {
			row = append(row, fmt.Sprint(r.AtLevel.Right), fmt.Sprint(r.AtLevel.N), fraction(r.AtLevel.Low), fraction(r.AtLevel.High), fmt.Sprint(r.All.Right), fmt.Sprint(r.All.N))
		}
		t.Rows = append(t.Rows, append(row, agoWords(s.Last, now)))
	}
	if err := render.Write(c.OutOrStdout(), f, t, result); err != nil || f != render.Text {
		return err
	}
	for _, line := range render.Wrap(result.Stop.words(), 78, "", "") {
		fmt.Fprintln(render.NewNarrow(c.OutOrStdout()), line)
	}
	for _, line := range render.Wrap("Right at the level where you are, with the 95 % interval of your share; then at every level. "+
		"kilopond skill NAME begins a drill, kilopond skill mix asks what is due in turn.", 78, "", "") {
		fmt.Fprintln(render.NewNarrow(c.OutOrStdout()), line)
	}
	return nil
}

// dueWords says when a skill is due.
func dueWords(s skill.Standing, now time.Time) string {
	if s.DueAt(now) {
		return "now"
	}
	return inDays(s.Due.Sub(now))
}

// inDays says how far off something is.
func inDays(d time.Duration) string {
	days := int(math.Ceil(d.Hours() / 24))
	if days <= 1 {
		return "within a day"
	}
	return fmt.Sprintf("in %d days", days)
}

// agoWords says how long ago something was, by the days of the calendar.
func agoWords(at, now time.Time) string {
	if at.IsZero() {
		return "never"
	}
	midnight := func(t time.Time) time.Time { // of its day, in a zone without summer time
		y, m, d := t.In(now.Location()).Date()
		return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	}
	switch days := int(midnight(now).Sub(midnight(at)).Hours() / 24); {
	case days <= 0:
		return "today"
	case days == 1:
		return "yesterday"
	default:
		return fmt.Sprintf("%d days ago", days)
	}
}

// progressPath is --progress, or the file in the user's data folder.
func progressPath(c *cobra.Command) (string, error) {
	path, err := c.Flags().GetString("progress")
	must(err)
	if path != "" {
		return path, nil
	}
	base := os.Getenv("XDG_DATA_HOME")
	if base == "" {
		home, err := os.UserHomeDir()
		if err != nil {
			return "", &hinted{fmt.Errorf("no place to keep your answers: %w", err), "give one: --progress FILE"}
		}
		base = filepath.Join(home, ".local", "share")
	}
	return filepath.Join(base, "kilopond", "skills.jsonl"), nil
}

// quizResult is what a sitting gives. Of a mix there is no one level, and no one time when it is due.
type quizResult struct {
	Skill        skill.Name     `json:"skill"`
	Level        *int           `json:"level"`
	Seed         scenarios.Seed `json:"seed"`
	RulebookHash string         `json:"rulebook_hash"`
	Answers      []answerRow    `json:"answers"`
	Count        countRow       `json:"count"`
	NextLevel    *int           `json:"next_level"`
	DueAt        *time.Time     `json:"due_at"`
	Stop         *detectionRow  `json:"stop,omitempty"` // of this sitting
}

// answerRow is one answer of a sitting.
type answerRow struct {
	Skill  string         `json:"skill"`
	Seed   scenarios.Seed `json:"seed"`
	Level  int            `json:"level"`
	Kind   string         `json:"kind"`
	Answer string         `json:"answer"`
	Right  bool           `json:"right"`
	Credit float64        `json:"credit"`
}

// tell prints how the sitting went.
func (q *quiz) tell(c *cobra.Command) error {
	right := 0
	result := quizResult{Skill: q.name, Seed: q.seed, RulebookHash: q.book.Hash(), Answers: []answerRow{}}
	t := render.Table{Header: []string{"skill", "seed", "level", "kind", "answer", "right", "credit"}, Right: []bool{false, true, true, false, false, false, true}, Wrap: -1}
	asked := q.name == skill.Stop
	for _, a := range q.given {
		row := answerRow{a.Skill, a.Seed, a.Level, a.Kind, a.Answer, a.Right, unit.Round(a.Credit, 2)}
		result.Answers = append(result.Answers, row)
		t.Rows = append(t.Rows, []string{row.Skill, fmt.Sprint(row.Seed), fmt.Sprint(row.Level), row.Kind, row.Answer, yesNo(row.Right), fmt.Sprintf("%.2f", row.Credit)})
		if a.Right {
			right++
		}
		asked = asked || a.Skill == string(skill.Stop)
	}
	result.Count = newCountRow(skill.NewCount(right, len(q.given)))
	if asked {
		d := newDetectionRow(skill.Detect(q.given))
		result.Stop = &d
	}
	var now standingRow
	var before skill.Standing
	if q.name != skill.Mix {
		before = standingOf(q.answers, q.name)
		s := standingOf(append(q.answers[:len(q.answers):len(q.answers)], q.given...), q.name)
		now = newStandingRow(s, q.now())
		level := q.tasks[0].Level
		result.Level, result.NextLevel, result.DueAt = &level, &now.Level, now.DueAt
	}
	if q.format != render.Text {
		return render.Write(c.OutOrStdout(), q.format, t, result)
	}
	if len(q.given) == 0 {
		return nil
	}
	lines := append([]string{""}, render.Wrap(q.howItWent(result, now, before.Level, givenAgain(c, "rulebook", "set", "beats")), 78, "", "")...)
	if result.Stop != nil {
		lines = append(lines, render.Wrap(result.Stop.words(), 78, "", "")...)
	}
	var err error
	for _, line := range lines {
		if err == nil {
			_, err = fmt.Fprintln(render.NewNarrow(c.OutOrStdout()), line)
		}
	}
	return err
}

// howItWent is the sitting in counts. before is the student's own level before it; flags are to be given again with the same questions.
func (q *quiz) howItWent(r quizResult, now standingRow, before int, flags string) string {
	cells := r.Count.cells()
	if q.name == skill.Mix {
		text := fmt.Sprintf("Mix: %s of %s right (95 %% interval %s):", cells[0], cells[1], cells[2])
		for _, name := range skill.Names() {
			right, n := 0, 0
			for _, a := range q.given {
				if a.Skill == name {
					n++
					if a.Right {
						right++
					}
				}
			}
			if n > 0 {
				text += fmt.Sprintf(" %s %d of %d;", name, right, n)
			}
		}
		return strings.TrimSuffix(text, ";") + ". kilopond skill shows what is due next."
	}
	text := fmt.Sprintf("%s, level %d: %s of %s right (95 %% interval %s).", capital(string(q.name)), *r.Level, cells[0], cells[1], cells[2])
	if all := now.AtLevel.cells(); now.Level == *r.Level && now.AtLevel.N > len(q.given) {
		text += fmt.Sprintf(" At this level so far: %s of %s (%s).", all[0], all[1], all[2])
	}
	switch {
	case now.Level != before:
		text += fmt.Sprintf(" Your level from now on: %d.", now.Level)
	case now.Level != *r.Level:
		text += fmt.Sprintf(" Your own level stays %d: it moves by answers at it.", now.Level)
	}
	due := "now"
	if now.DueAt != nil && !now.DueNow {
		due = inDays(now.DueAt.Sub(q.now()))
	}
	return text + fmt.Sprintf(" Due again: %s. The same questions: kilopond skill %s --seed %d --level %d --n %d%s", due, q.name, q.seed, *r.Level, len(q.tasks), flags)
}
