package main

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/grader"
	"kilopond/scenarios"
)

// boardSettings is the file that turns the board on and says who asked to stand on it.
type boardSettings struct {
	On            bool          `yaml:"on"`
	LeastAttempts int           `yaml:"least_attempts"`
	LeastPeople   int           `yaml:"least_people"`
	MostFalse     float64       `yaml:"most_false_stops_percent"`
	People        []boardPerson `yaml:"people"`
}

// A boardPerson has asked to stand on the board under an alias of their own choice.
type boardPerson struct {
	Student string `yaml:"student"`
	Alias   string `yaml:"alias"`
}

// longestAlias bounds an alias, in letters.
const longestAlias = 40

// boardResult is the machine-readable result of board.
type boardResult struct {
	grader.Board
	Problems []problem `json:"problems"`
}

func newBoard() *cobra.Command {
	c := &cobra.Command{
		Use:   "board [FILE|FOLDER…] --settings board.yaml",
		Short: "The class by error margin, for those who asked to stand on it",
		Long: "The class by margin M: the mean |M| of a student over the |M| to be expected of a perfect counter by the same method on the same paths, so that\n" +
			"1 is perfect counting; few attempts are drawn towards the class. It is off until the settings say on: true, or --on. Only those stand on it\n" +
			"who asked, under an alias of their own, with five attempts that can be estimated, the gate open in all. It shows no marks, and never enters the\n" +
			"gradebook. Who of those that asked is left out, and why, is for the instructor: on stderr and in left_out.\n\n" +
			"board.yaml:\n  on: true\n  people:\n    - {student: s07, alias: Quiet Heron}\n\n" +
			"student is the key of the gradebook or the code; without --key what grade calls the student. --as ALIAS shows what one of them sees: the top\nand their own neighbours.\n\n" + render.Caution,
		Args: filesOrDB("kilopond board FOLDER --settings board.yaml"),
	}
	c.Flags().String("settings", "", "the board's file: on, and who asked under which alias")
	c.Flags().Bool("on", false, "turn the board on for this once")
	c.Flags().String("as", "", "show what the one with this alias sees")
	addClass(c)
	addFormat(c)
	c.RunE = showBoard
	return c
}

func showBoard(c *cobra.Command, given []string) error {
	f, err := format(c)
	if err != nil {
		return err
	}
	path, err := c.Flags().GetString("settings")
	must(err)
	if path == "" {
		return usage("a file of your own: on: true, then people with student and alias; kilopond board --help shows one", "board: --settings is missing, so nobody has asked to stand on it")
	}
	s, err := readBoardSettings(path)
	if err != nil {
		return err
	}
	on, err := c.Flags().GetBool("on")
	must(err)
	if !on && !s.On {
		return usage("on: true in "+path+", or --on for this once", "board: it is off")
	}
	as, err := c.Flags().GetString("as")
	must(err)
	class, err := readClass(c, given, time.Time{}, grader.NewPerfectCounter(), path)
	if err != nil {
		return err
	}
	if err := s.known(path, class); err != nil {
		return err
	}
	rules := s.rules()
	board := grader.BoardOf(rules, class.judged(), s.aliases(class.key))
	leftOut := board.LeftOut
	if as != "" {
		seen, ok := board.SeenBy(rules, as)
		if !ok {
			return &hinted{fmt.Errorf("board: nobody stands on it as %q", as), "without --as it shows everybody who does, and says who is left out"}
		}
		board, leftOut = seen, nil
		class.problems = []problem{}
	}
	switch f {
	case render.JSON:
		err = render.WriteJSON(c.OutOrStdout(), boardResult{board, class.problems})
	case render.CSV:
		err = render.Write(c.OutOrStdout(), f, boardTable(board, f), nil)
	default:
		err = printBoard(c, f, board)
	}
	if err != nil {
		return err
	}
	for _, l := range leftOut {
		c.PrintErrf("note: %s is not on the board: %s\n", l.Student, l.Why)
	}
	return class.said(c)
}

// readBoardSettings reads the board's file; every fault is told with its line.
func readBoardSettings(path string) (boardSettings, error) {
	data, err := readSmall(path, scenarios.MaxFile)
	if err != nil {
		return boardSettings{}, &hinted{fmt.Errorf("--settings: %w", err), "kilopond board --help shows such a file"}
	}
	return decodeBoardSettings(path, data)
}

func decodeBoardSettings(path string, data []byte) (boardSettings, error) {
	d := grader.DefaultBoardRules()
	s := boardSettings{LeastAttempts: d.LeastAttempts, LeastPeople: d.LeastPeople, MostFalse: d.MostFalsePercent}
	err := scenarios.DecodeStrict(path, data, &s, func(d *scenarios.Decoded) { s.check(d.Fault) })
	if err != nil {
		return s, usage("each line above says what and where", "the board's file cannot be used:\n%w", err)
	}
	return s, nil
}

func (s boardSettings) check(fault func(path, format string, args ...any)) {
	if s.LeastAttempts < 2 {
		fault("least_attempts", "least_attempts %d: two at least, since one attempt has no spread", s.LeastAttempts)
	}
	if s.LeastPeople < 1 {
		fault("least_people", "least_people %d: one at least", s.LeastPeople)
	}
	if !(s.MostFalse >= 0 && s.MostFalse <= 100) {
		fault("most_false_stops_percent", "most_false_stops_percent %v: 0 to 100", s.MostFalse)
	}
	students, aliases := map[string]bool{}, map[string]bool{}
	for i, p := range s.People {
		at := fmt.Sprintf("people.%d", i)
		alias := strings.ToLower(strings.TrimSpace(p.Alias))
		switch {
		case p.Student == "":
			fault(at, "a person without a student")
		case students[p.Student]:
			fault(at+".student", "student %s stands here twice", p.Student)
		case alias == "" || utf8.RuneCountInString(p.Alias) > longestAlias || strings.ContainsFunc(p.Alias, func(r rune) bool { return !unicode.IsPrint(r) }):
			fault(at+".alias", "alias: one line of 1 to %d letters", longestAlias)
		case aliases[alias]:
			fault(at+".alias", "alias %s is taken", p.Alias)
		case alias == strings.ToLower(p.Student):
			fault(at+".alias", "alias %s is the student's own key: then it hides nobody", p.Alias)
		}
		students[p.Student], aliases[alias] = true, true
	}
}

func (s boardSettings) rules() grader.BoardRules {
	r := grader.DefaultBoardRules()
	r.LeastAttempts, r.LeastPeople, r.MostFalsePercent = s.LeastAttempts, s.LeastPeople, s.MostFalse
	return r
}

// aliases is by student; a code stands for its student where the instructor's file says whose it is.
func (s boardSettings) aliases(key *keyFile) map[string]string {
	all := map[string]string{}
	for _, p := range s.People {
		student := p.Student
		if key != nil {
			if x, ok := key.ByCode(student); ok {
				student = x.Key
			}
		}
		all[student] = p.Alias
	}
	return all
}

// known refuses a board whose people are strangers to the class: without the instructor's file students of packs go by their codes.
func (s boardSettings) known(path string, class *classRead) error {
	met, packs := map[string]bool{}, false
	for _, f := range class.files {
		met[f.student] = true
		packs = packs || f.code != "" && f.student == f.code
	}
	var strangers []string
	for student := range s.aliases(class.key) {
		listed := false
		if class.key != nil {
			_, listed = class.key.ByKey(student)
		}
		if !met[student] && !listed {
			strangers = append(strangers, student)
		}
	}
	if len(strangers) == 0 || class.key == nil && !packs { // who has handed in nothing yet is no stranger
		return nil
	}
	slices.Sort(strangers)
	hint := "each student in it is the key of the gradebook or the code; look for slips of the pen"
	if class.key == nil {
		hint = "the attempts are of packs: with --key assignment.json students go by the key of the gradebook, without it by their codes"
	}
	return &hinted{fmt.Errorf("%s: nobody of the class is called %s", path, strings.Join(strangers, ", ")), hint}
}

func printBoard(c *cobra.Command, f render.Format, b grader.Board) error {
	p := &printed{w: c.OutOrStdout(), f: f}
	if b.Hidden != "" {
		p.par("The board is not shown: " + b.Hidden + ".")
		return p.err
	}
	p.table(boardTable(b, f))
	p.line("")
	p.par("Ordered by ratio, drawn to the class: mean |M| over what a perfect counter would have come to by the same method on the same paths; 1 is perfect " +
		"counting. In brackets, where the true value lies 19 times in 20. Bias: signed mean of M, mL/kg/min. Whoever is within one standard error shares a place: " +
		"few attempts tell little.")
	p.par(render.Caution)
	return p.err
}

func boardTable(b grader.Board, f render.Format) render.Table {
	if f == render.CSV {
		t := render.Table{Wrap: -1, Header: []string{"rank", "alias", "attempts", "ratio", "shrunk", "interval_low", "interval_high",
			"mean_abs_ml_kg_min", "expected_ml_kg_min", "bias_ml_kg_min", "bias_ci_low", "bias_ci_high"}}
		for _, r := range b.Rows {
			t.Rows = append(t.Rows, []string{fmt.Sprint(r.Rank), harmless(r.Alias), fmt.Sprint(r.Attempts), decimals(r.Ratio, 2), decimals(r.Shrunk, 2),
				decimals(r.Interval[0], 2), decimals(r.Interval[1], 2), decimals(r.MeanAbs, 2), decimals(r.Expected, 2), decimals(r.Bias, 2),
				decimals(r.BiasCI[0], 2), decimals(r.BiasCI[1], 2)})
		}
		return t
	}
	t := render.Table{Header: []string{"", "alias", "attempts", "ratio", "bias"}, Right: []bool{true, false, true, false, false}, Wrap: -1}
	for _, r := range b.Rows {
		t.Rows = append(t.Rows, []string{fmt.Sprint(r.Rank), r.Alias, fmt.Sprint(r.Attempts),
			fmt.Sprintf("%.2f (%.2f–%.2f)", r.Shrunk, r.Interval[0], r.Interval[1]),
			fmt.Sprintf("%s (%s to %s)", render.Signed(r.Bias, 2), render.Signed(r.BiasCI[0], 2), render.Signed(r.BiasCI[1], 2))})
	}
	return t
}
