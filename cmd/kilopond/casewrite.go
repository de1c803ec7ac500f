package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"go.yaml.in/yaml/v4"

	"kilopond/cmd/internal/render"
	"kilopond/scenarios"
)

// write makes the file, which must not be there yet, and says what comes next.
func (d *caseDraft) write(c *cobra.Command, path string) error {
	text, err := d.text()
	if err != nil {
		return err
	}
	if _, err := scenarios.DecodeCase(path, []byte(text)); err != nil {
		return fmt.Errorf("these answers make no case:\n%w", err)
	}
	if err := writeNew(path, text); err != nil {
		return err
	}
	_, err = fmt.Fprintf(c.OutOrStdout(), "\nWritten: %s\nNext:    kilopond case check %s\n         kilopond case preview %s\n         kilopond drill %s\n         kilopond assign new --cases %s --roster class.csv --out week-1\n",
		path, path, path, fromFolder(path), path)
	return err
}

// fromFolder is how a case file is named where cases are: its id, and the folder that holds it.
func fromFolder(path string) string {
	name := filepath.Base(path)
	return strings.TrimSuffix(name, filepath.Ext(name)) + " --cases " + filepath.Dir(path)
}

// notThere is wrong usage when something of that name is there.
func notThere(path string) error {
	if _, err := os.Lstat(path); err == nil {
		return usage("give another name, or move the old file away", "%s is there already and stays as it is", path)
	}
	return nil
}

// writeNew writes a file that must not be there yet.
func writeNew(path, text string) error {
	err := newFileWhole(path, []byte(text), 0o644)
	if errors.Is(err, fs.ErrExist) {
		return notThere(path)
	}
	return err
}

// A caseWriter builds the text of a case.
type caseWriter struct{ strings.Builder }

func (w *caseWriter) line(format string, args ...any) {
	w.WriteString(fmt.Sprintf(format, args...))
	w.WriteByte('\n')
}

// comment writes text as comment lines.
func (w *caseWriter) comment(indent, text string) {
	for _, l := range render.Wrap(text, 98, indent+"# ", indent+"# ") {
		w.line("%s", l)
	}
}

func (w *caseWriter) span(key string, r *scenarios.Range) {
	if r != nil {
		w.line("  %s: {low: %v, high: %v}", key, r.Low, r.High)
	}
}

// text is the whole file. Its numbers are those of the case of the library that shows the same thing.
func (d *caseDraft) text() (string, error) {
	w := &caseWriter{}
	m := d.model
	w.comment("", "A case for kilopond. `kilopond case check` reads it, plays it with 200 people and says what comes out; `kilopond schema case` gives an "+
		"editor the form. Ranges make many people: a value is drawn evenly between low and high; leave a line out and the population decides.")
	w.line("id: %s # what students type: it must not tell what is wrong", d.id)
	w.line("title: Somebody who has come for a fitness test # may be shown before the test, so it tells nothing either")
	w.line("spoiler: %s", strconv.Quote(d.about))
	w.line("teaches: %s", strconv.Quote(d.teaches))
	w.comment("", "note: what only the instructor should read")
	w.line("difficulty: %d # 1 to 5", d.difficulty)
	w.comment("", "competency: [branch] # what it practises, if other than follows from the rest: "+strings.Join(scenarios.Competencies(), ", "))
	w.line("right_act: %s # run_to_end, verify_then_go, end_test, stop_at_once or do_not_test", d.act)
	w.line("who:")
	w.line("  sexes: [%s]", strings.Join(d.sexes, ", "))
	w.line("  age_y: {low: %d, high: %d} # whole years, 18 to 79", d.low, d.high)
	w.comment("  ", "SDs about the norm of age and sex, and of build: 0 is the middle, 2 is one in forty. Also: active, nerves_bpm, arm_cm, "+
		"max_hr_above_predicted_bpm, settling_z, drift_bpm_min, first_stage_hr_bpm.")
	w.span("fitness_z", m.Who.FitnessZ)
	w.span("build_z", m.Who.BuildZ)
	w.span("resting_sbp_mmhg", m.Who.RestSBP)
	w.span("resting_dbp_mmhg", m.Who.RestDBP)
	w.span("resting_hr_bpm", m.Who.RestHR)
	w.span("nerves_bpm", m.Who.NervesBpm)
	w.line("names: # invented people; three or more for each sex, and one of them comes")
	for _, n := range d.names {
		w.line("  - {name: %s, sex: %s, work: %s}", strconv.Quote(n.Name), n.Sex, strconv.Quote(n.Work))
	}
	w.comment("", "Answers to the health questions, where they differ from what anybody might say: heart, chest, dizzy, condition, medicines, joints, "+
		"supervised, ill, today, active. One line of says is drawn. flag: true marks what a careful proctor does not pass over.")
	if d.question == "" {
		w.line("health: []")
		w.line("# - question: today\n#   says:\n#     - \"A sandwich at ten. Nothing since.\"")
	} else {
		w.line("health:\n  - question: %s\n    says:\n      - %s\n    flag: true", d.question, strconv.Quote(d.says))
	}
	w.line("voice: # lines as a person says them, half sentences and all; more than one, and one is drawn")
	w.line("  greeting:\n    - %s", strconv.Quote(d.greeting))
	w.line("  consent:\n    - \"Yes.\"\n    - \"Yes, that's fine.\"")
	w.line("  looks: # what is seen as they come in")
	w.line("    - %s", strconv.Quote(d.looks))
	w.comment("  ", "What they answer to how they feel when nothing else is to be told, in turn with what anybody says: "+strings.Join(scenarios.Efforts(), ", ")+
		". talk_only: true keeps the common lines out, for somebody in whose mouth they would be wrong.")
	w.line("  # talk:\n  #   easy:\n  #     - \"Fine. Like the way to work.\"")
	d.signs(w)
	if err := d.ills(w); err != nil {
		return "", err
	}
	w.comment("", "minimises: true # waves a first question away and answers a second")
	w.comment("", "disagrees: true # says that all is well while what is seen says otherwise")
	w.comment("", "Where the lesson is written, as keys of the source list; CHOICE-CASES is a choice of one's own.")
	w.line("sources: [%s]", strings.Join(m.Sources, ", "))
	return w.String(), nil
}

// signs are the words of what is felt and seen, where the case of the library has its own.
func (d *caseDraft) signs(w *caseWriter) {
	w.comment("  ", "Words of one's own for a sign, as sign/channel/grade: found is said when asked, seen is seen, unasked is said at once; with /work "+
		"after it only on turning pedals, with /lying only lying down. The usual words serve for what is not here.")
	if d.wrong == "nothing" || len(d.model.Voice.Signs) == 0 {
		w.line("  # signs:\n  #   leg_pain/found/1:\n  #     - \"A bit of calf. The left one.\"")
		return
	}
	var keys []string
	for key := range d.model.Voice.Signs {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	w.line("  signs: # the words of %s: put your own", d.model.ID)
	for _, key := range keys {
		w.line("    %s:", key)
		for _, line := range d.model.Voice.Signs[key] {
			w.line("      - %s", strconv.Quote(line))
		}
	}
}

// lowHigh is a range as the encoder writes it, on three lines.
var lowHigh = regexp.MustCompile(`(\w+):\n +low: (\S+)\n +high: (\S+)`)

// ills is what goes wrong, as the case of the library has it.
func (d *caseDraft) ills(w *caseWriter) error {
	w.comment("", "What goes wrong comes from a mechanism, never from a written reading. One of "+strings.Join(mechanisms(), ", ")+"; several may stand here.")
	if d.wrong == "nothing" {
		w.line("# ills:\n#   - knee:\n#       onset_work_rate_kgm_min: {low: 300, high: 450}")
		return nil
	}
	raw, err := yaml.Marshal(d.model.Ills)
	if err != nil {
		return err
	}
	w.line("ills:")
	short := lowHigh.ReplaceAllString(strings.TrimRight(string(raw), "\n"), "$1: {low: $2, high: $3}")
	for _, l := range strings.Split(short, "\n") {
		w.line("  %s", l)
	}
	return nil
}
