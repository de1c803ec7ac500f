package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"kilopond/cmd/internal/render"
	"kilopond/exercises"
	"kilopond/grader"
	"kilopond/physiology/unit"
)

// realCaution is said of a sheet from a real person.
const realCaution = "A real person's sheet: nothing is known here but what stands on it. What was seen, heard, said or done in time cannot be judged from it, and whether the person was fit to be tested is for the staff who were there."

// A sheetResult is the machine-readable result of grade sheet.
type sheetResult struct {
	Rulebook string      `json:"rulebook"`
	Real     bool        `json:"real"`
	Sheets   []sheetMark `json:"sheets"`
	Caution  string      `json:"caution"`
}

// A sheetMark is one sheet with what it came to.
type sheetMark struct {
	Sheet string `json:"sheet"`
	Name  string `json:"name"` // of the student, and the gradebook's key, when the file tells
	Key   string `json:"key"`
	grader.SheetVerdict
}

func newGradeSheet() *cobra.Command {
	const like = "kilopond grade sheet --age-y 40 --sex F --mass-kg 70 --stage 150:104,104 --stage 300:110,114 --stage 450:126,128 --vo2max-ml-kg-min 32.2"
	c := &cobra.Command{
		Use:   "sheet [FILE.csv]",
		Short: "Grade the calculation of a paper sheet, typed in or from a CSV of the class",
		Long: "Grade the calculation of a paper sheet. Each number is judged on those before it; a known slip is named; the worked answer comes in steps.\n\n" +
			"A stage is WORKRATE:HR, or the minutes of it apart by commas, counts with their rates as 28=112, - for a minute without one, and pressures behind:\n" +
			"--stage 300:104,110,112:158/74. One rate alone is that of a stage that had settled.\n\n" +
			"With --real the sheet is from a real person, of whom nothing else is known: the arithmetic margin, slips, and the rules that the readings on the\n" +
			"sheet show broken; no points.\n\n" +
			"A CSV has a heading line; columns in any order, cells blank where nothing was written: sheet (a name or code, once each), name and key of the student, age_y, sex, mass_kg,\n" +
			"rest_hr_bpm, rest_bp_mmhg, stage1_kgm_min, stage1_hr_bpm (the minutes apart by blanks: 24=96 25=100; 24= where no rate stands beside the count), stage1_bp_mmhg … stage9_bp_mmhg, and the\n" +
			"answers " + strings.Join(handKeyNames(), ", ") + ". worksheet --answers writes such a file to be filled in.\n\n" + render.Caution,
		Args: args(cobra.MaximumNArgs(1), like),
	}
	f := c.Flags()
	wholeFlag(f, "age-y", 0, "age in years")
	f.String("sex", "", "M or F")
	decimalFlag(f, "mass-kg", 0, "body mass in kg")
	decimalFlag(f, "rest-hr-bpm", 0, "resting heart rate, when it is on the sheet")
	f.String("rest-bp-mmhg", "", "resting pressure, when it is on the sheet: 122/78")
	f.StringArray("stage", nil, "WORKRATE:HR[,HR…][:SYS/DIA], once for each stage in order")
	for _, key := range grader.HandKeys() {
		name, suffix := render.Box(key)
		f.String(flagOf(key), "", "as written: "+name+suffix)
	}
	f.Bool("real", false, "from a real lab: the arithmetic, and what the sheet itself shows; no points")
	f.Bool("steps", false, "of a class: print every sheet in steps")
	addRules(c)
	addFormat(c)
	c.RunE = gradeSheet
	return c
}

func handKeyNames() []string {
	var all []string
	for _, key := range grader.HandKeys() {
		all = append(all, string(key))
	}
	return all
}

// flagOf is how a box is given on the command line.
func flagOf(key exercises.Key) string { return strings.ReplaceAll(string(key), "_", "-") }

func gradeSheet(c *cobra.Command, given []string) error {
	f, err := format(c)
	if err != nil {
		return err
	}
	b, err := rules(c)
	if err != nil {
		return err
	}
	var sheets []namedSheet
	if len(given) == 1 {
		if sheets, err = sheetsOfFile(c, given[0]); err != nil {
			return err
		}
	} else {
		one, err := sheetOfFlags(c)
		if err != nil {
			return err
		}
		sheets = []namedSheet{{sheet: one}}
	}
	real, err := c.Flags().GetBool("real")
	must(err)
	if b.Ceiling.Of == "reserve" {
		for _, s := range sheets {
			if s.sheet.RestHR == 0 && len(s.sheet.Stages) > 0 {
				return usage("give it: --rest-hr-bpm, or rest_hr_bpm in the file", "the ceiling of these rules needs the resting heart rate%s", ofSheet(s))
			}
		}
	}
	r := sheetResult{Rulebook: b.Name, Real: real, Caution: render.Caution}
	if real {
		r.Caution = realCaution + " " + render.Caution
	}
	for _, s := range sheets {
		v := grader.GradeSheet(b, s.sheet)
		if real {
			v = grader.GradeRealSheet(b, s.sheet)
		}
		r.Sheets = append(r.Sheets, sheetMark{s.name, s.who, s.key, v})
	}
	steps, err := c.Flags().GetBool("steps")
	must(err)
	if f != render.Text {
		return render.Write(c.OutOrStdout(), f, r.table(), r)
	}
	return r.tell(c, len(given) == 0 || steps)
}

func ofSheet(s namedSheet) string {
	if s.name == "" {
		return ""
	}
	return fmt.Sprintf(" (line %d, sheet %s)", s.line, s.name)
}

// sheetsOfFile reads the class's file; flags of a single sheet do not go with it.
func sheetsOfFile(c *cobra.Command, path string) ([]namedSheet, error) {
	for _, name := range []string{"age-y", "sex", "mass-kg", "rest-hr-bpm", "rest-bp-mmhg", "stage"} {
		if c.Flags().Changed(name) {
			return nil, usage("either the file or one sheet by flags", "--%s: the file %s holds that", name, path)
		}
	}
	for _, key := range grader.HandKeys() {
		if c.Flags().Changed(flagOf(key)) {
			return nil, usage("either the file or one sheet by flags", "--%s: the file %s holds that", flagOf(key), path)
		}
	}
	data, err := readSmall(path, mostSheetBytes)
	if err != nil {
		return nil, err
	}
	sheets, err := readSheets(path, data)
	var faults *sheetFaults
	if errors.As(err, &faults) {
		return nil, usage("put that right and try again; nothing was graded. kilopond grade sheet --help lists the columns", "the sheets cannot be read:\n%w", err)
	}
	return sheets, err
}

// sheetOfFlags reads one sheet; everything that is wrong is told at once.
func sheetOfFlags(c *cobra.Command) (grader.HandSheet, error) {
	f := c.Flags()
	var h grader.HandSheet
	var wrong []error
	bad := func(flag string, err error) {
		if err != nil {
			wrong = append(wrong, fmt.Errorf("--%s %w", flag, err))
		}
	}
	for _, name := range []string{"age-y", "sex", "mass-kg", "stage"} {
		if !f.Changed(name) {
			wrong = append(wrong, fmt.Errorf("--%s is missing", name))
		}
	}
	if len(wrong) > 0 {
		return h, usage(c.UseLine()+"; see kilopond grade sheet --help", "%w", errors.Join(wrong...))
	}
	var err error
	h.Age, err = f.GetInt("age-y")
	must(err)
	if h.Age < 18 || h.Age > 79 {
		bad("age-y", fmt.Errorf("%d: 18 to 79 years", h.Age))
	}
	text := func(name string) string {
		s, err := f.GetString(name)
		must(err)
		return strings.TrimSpace(s)
	}
	number := func(name string) float64 {
		x, err := f.GetFloat64(name)
		must(err)
		return x
	}
	if h.Sex, err = sex(text("sex")); err != nil {
		wrong = append(wrong, err)
	}
	if err := finite("mass-kg", number("mass-kg"), 30, 250); err != nil {
		wrong = append(wrong, err)
	}
	h.Mass = unit.Mass(number("mass-kg"))
	if f.Changed("rest-hr-bpm") {
		if err := finite("rest-hr-bpm", number("rest-hr-bpm"), leastSheetHR, mostSheetHR); err != nil {
			wrong = append(wrong, err)
		}
		h.RestHR = unit.HR(number("rest-hr-bpm"))
	}
	rest, err := handPressures(text("rest-bp-mmhg"))
	if bad("rest-bp-mmhg", err); len(rest) > 0 {
		h.RestBP = rest[len(rest)-1]
	}
	stages, err := f.GetStringArray("stage")
	must(err)
	if len(stages) > mostSheetStages {
		bad("stage", fmt.Errorf("is given %d times: at most %d", len(stages), mostSheetStages))
	}
	for _, s := range stages {
		one, err := handStage(s)
		bad("stage "+inQuotes(s)+":", err)
		h.Stages = append(h.Stages, one)
	}
	for _, key := range grader.HandKeys() {
		if s := text(flagOf(key)); s != "" {
			a, err := handAnswer(key, s)
			bad(flagOf(key), err)
			h.Answers = append(h.Answers, a)
		}
	}
	bad("points:", onlyNumbered(h))
	if len(wrong) > 0 {
		return h, usage("kilopond grade sheet --help says how each is written", "%w", errors.Join(wrong...))
	}
	return h, nil
}
