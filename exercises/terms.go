package exercises

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// Terms are what the instructor set for everybody; they stand in every pack in clear.
type Terms struct {
	Assignment   string          `json:"assignment"` // ID, random
	Title        string          `json:"title"`
	Model        int             `json:"model"`
	RulebookHash string          `json:"rulebook_hash"`
	Rulebook     json.RawMessage `json:"rulebook"` // as in force; its meaning is the grader's
	Attempts     int             `json:"attempts"` // at each subject; each further attempt is at another person
	From         time.Time       `json:"from,omitzero"`
	Until        time.Time       `json:"until,omitzero"`         // zero: no end
	SittingMin   int             `json:"sitting_min,omitempty"`  // minutes for one subject, by the computer's clock; 0: no limit
	Skills       []string        `json:"skills,omitempty"`       // short skills to be shown first
	Coach        bool            `json:"coach,omitempty"`        // the coach may be asked for
	Report       ReportRule      `json:"report"`                 // when the report may be seen
	Late         LateRule        `json:"late"`                   // what happens after Until
	LatePercent  float64         `json:"late_percent,omitempty"` // points off for each day begun; only with LateDeduct
}

// A ReportRule says when a student may see a report.
type ReportRule string

const (
	ReportAtOnce ReportRule = "at_once" // on handing in
	ReportAfter  ReportRule = "after"   // when the window has closed
	ReportHeld   ReportRule = "held"    // from the instructor only
)

// ReportRules lists them.
func ReportRules() []ReportRule { return []ReportRule{ReportAtOnce, ReportAfter, ReportHeld} }

func (r ReportRule) check() error {
	for _, x := range ReportRules() {
		if x == r {
			return nil
		}
	}
	return fmt.Errorf("report %q: one of %v", r, ReportRules())
}

// A LateRule says what happens when the window has closed.
type LateRule string

const (
	LateRefuse LateRule = "refuse" // nothing is begun or continued
	LateAccept LateRule = "accept" // counts in full and is named as late
	LateDeduct LateRule = "deduct" // loses points for each day begun
)

// LateRules lists them.
func LateRules() []LateRule { return []LateRule{LateRefuse, LateAccept, LateDeduct} }

// Bounds of terms. Source: [CHOICE-PACK].
const (
	mostAttempts   = 20
	mostSittingMin = 24 * 60
	mostTitle      = 120
)

// Check says what is wrong with the terms, the first fault only.
func (t Terms) Check() error {
	switch {
	case t.Assignment == "":
		return errors.New("the assignment has no ID")
	case strings.TrimSpace(t.Title) == "" || utf8.RuneCountInString(t.Title) > mostTitle || !printable(t.Title):
		return fmt.Errorf("title: one line of at most %d signs", mostTitle)
	case t.Model < 1:
		return fmt.Errorf("model %d", t.Model)
	case !hash64(t.RulebookHash) || len(t.Rulebook) == 0:
		return errors.New("the rules are missing")
	case t.Attempts < 1 || t.Attempts > mostAttempts:
		return fmt.Errorf("%d attempts: 1 to %d", t.Attempts, mostAttempts)
	case !t.Until.IsZero() && !t.From.Before(t.Until):
		return fmt.Errorf("the window ends (%s) before it begins (%s)", Clock(t.Until), Clock(t.From))
	case t.SittingMin < 0 || t.SittingMin > mostSittingMin:
		return fmt.Errorf("%d minutes for one subject: 1 to %d, or none", t.SittingMin, mostSittingMin)
	case t.Report == ReportAfter && t.Until.IsZero():
		return errors.New("a report that is shown when the window has closed needs a window that closes")
	}
	if err := t.Report.check(); err != nil {
		return err
	}
	switch {
	case t.Late == LateDeduct && !(t.LatePercent > 0 && t.LatePercent <= 100):
		return fmt.Errorf("%v %% off for each day late: above 0, at most 100", t.LatePercent)
	case t.Late != LateDeduct && t.LatePercent != 0:
		return errors.New("points come off for a late attempt only with the late rule deduct")
	case t.Late != LateRefuse && t.Late != LateAccept && t.Late != LateDeduct:
		return fmt.Errorf("late %q: one of %v", t.Late, LateRules())
	}
	return nil
}

// Clock writes a time as people here read it, to the minute, in UTC.
func Clock(t time.Time) string { return t.UTC().Format("2006-01-02 15:04 UTC") }

// DaysLate is how many days after the window an attempt was handed in, a day begun counting as one; 0 when it was in time.
func (t Terms) DaysLate(at time.Time) int {
	if t.Until.IsZero() || !at.After(t.Until) {
		return 0
	}
	const day = 24 * time.Hour
	return int((at.Sub(t.Until) + day - 1) / day)
}

func printable(text string) bool {
	if !utf8.ValidString(text) {
		return false
	}
	for _, r := range text {
		if !unicode.IsPrint(r) && !unicode.Is(unicode.Join_Control, r) { // Persian and Indic names are written with joiners
			return false
		}
	}
	return true
}
