package grader

import (
	"fmt"
	"strings"
)

// A RulebookQuestion is one of those on which the textbooks differ, with the choices met in print.
type RulebookQuestion struct {
	Key     string // a word for it: the flag of a command
	Ask     string
	Choices []RulebookChoice // the first is that of the rulebook that ships
}

// A RulebookChoice is one version met in print.
type RulebookChoice struct {
	Word    string   // what is typed
	Says    string   // what it means
	Sources []string // keys of physiology/SOURCES.md
	YAML    string   // the lines of a rulebook file that choose it; several with line ends between. What is indented goes on with the question before
}

// RulebookQuestions returns the questions in the order of a test.
//
// Source: [CSEP2009], [HAND], [KINE4315], [HK], [DEMO-LT5], [AURAL], [KNOWT], [EXRX], [PATH], [FOX1971], [TANAKA2001], [GELLISH2007], [NES2013],
// [JONES1985], [GULATI2010], [BUSHMAN2020], [PAPER-OLD-COST], [SARTOR2013], [NHANES-CVX], [SHEET-COUNTS], [COOPER1997], [KAMINSKY2017], [LOE2013]; what no page prints
// [ACE-QA255], [ACE2014], [MEMORY-THREE-BANDS], [CHOICE-RULEBOOK], [PRACTICE-OLS], [PRACTICE-LAST], [PRACTICE-ONE-BEAT], [CHOICE-REST-LIMITS].
func RulebookQuestions() []RulebookQuestion {
	return []RulebookQuestion{
		{"table", "Which table chooses the load after the first stage?", []RulebookChoice{
			{"four", "below 80, 80–89, 90–100, above 100 bpm: 750, 600, 450, 300 kg·m/min", []string{"CSEP2009", "HAND"}, ""},
			{"three", "below 86, 86–100, above 100 bpm: 600, 450, 300; its loads are from memory: confirm them in your textbook", []string{"MEMORY-THREE-BANDS"}, "based_on: three-band"},
		}},
		{"warm-up", "How many minutes without load before the first stage?", []RulebookChoice{
			{"2", "two or three minutes in most guides", []string{"KNOWT"}, "warm_up_s: 120"},
			{"1", "one minute", []string{"HAND"}, "warm_up_s: 60"},
			{"3", "three minutes at 0 kp", []string{"AURAL"}, "warm_up_s: 180"},
			{"0", "none is mentioned", []string{"CSEP2009"}, "warm_up_s: 0"},
		}},
		{"count", "For how many seconds is the pulse counted?", []RulebookChoice{
			{"15", "times 4, steps of 4 bpm", []string{"CSEP2009"}, "count:\n  seconds: 15"},
			{"10", "times 6, steps of 6 bpm: think again about the rule for steady", []string{"SHEET-COUNTS"}, "count:\n  seconds: 10"},
			{"30", "times 2, steps of 2 bpm", []string{"HAND"}, "count:\n  seconds: 30"},
		}},
		{"minutes", "For which minutes of a stage is the pulse counted?", []RulebookChoice{
			{"all", "for each of them", []string{"KINE4315", "HK", "PHRE1033"}, ""},
			{"from2", "from the second on: the two that must agree", []string{"CSEP2009", "HAND"}, "  from_minute: 2"},
		}},
		{"steady", "When do two minutes of a stage agree?", []RulebookChoice{
			{"le5", "when they differ by 5 bpm at most: more than 5 is extended", []string{"CSEP2009", "HAND", "HK"}, "steady: le5"},
			{"lt5", "when they differ by less than 5: exactly 5 is extended", []string{"DEMO-LT5"}, "steady: lt5"},
			{"le6", "when they differ by 6 at most", []string{"KINE4315"}, "steady: le6"},
			{"one_beat", "when the two counts differ by one beat at most", []string{"PRACTICE-ONE-BEAT"}, "steady: one_beat"},
		}},
		{"extensions", "By how many minutes may one stage be extended? No page prints a limit; without one a stage can run for ever.", []RulebookChoice{
			{"3", "then take the last value, flag it, and ask why", []string{"CHOICE-RULEBOOK"}, "max_extensions: 3"},
			{"2", "a stage of five minutes at most", []string{"CHOICE-RULEBOOK"}, "max_extensions: 2"},
			{"1", "a stage of four minutes at most", []string{"CHOICE-RULEBOOK"}, "max_extensions: 1"},
		}},
		{"stage-rate", "Which heart rate stands for a stage in the line?", []RulebookChoice{
			{"mean", "the mean of its last two minutes", []string{"HK"}, "stage_hr: mean_last_two"},
			{"last", "the last minute", []string{"PRACTICE-LAST"}, "stage_hr: last"},
		}},
		{"window", "From which heart rate on may a stage enter the line?", []RulebookChoice{
			{"110", "110 bpm", []string{"CSEP2009", "HK", "HAND"}, "window_low_bpm: 110"},
			{"115", "115 bpm: below it talk and worry move the rate", []string{"ACE-QA255"}, "window_low_bpm: 115"},
			{"120", "120 bpm", []string{"ACE2014"}, "window_low_bpm: 120"},
		}},
		{"max-rate", "By which equation is the maximum heart rate predicted?", []RulebookChoice{
			{"220-age", "220 − age: the one in most handouts", []string{"FOX1971"}, "max_hr: 220-age"},
			{"208-0.7age", "208 − 0.7 × age", []string{"TANAKA2001"}, "max_hr: 208-0.7age"},
			{"206.9-0.67age", "206.9 − 0.67 × age", []string{"GELLISH2007"}, "max_hr: 206.9-0.67age"},
			{"211-0.64age", "211 − 0.64 × age", []string{"NES2013"}, "max_hr: 211-0.64age"},
			{"202-0.72age", "202 − 0.72 × age, measured on a cycle", []string{"JONES1985"}, "max_hr: 202-0.72age"},
		}},
		{"ceiling", "At which heart rate does the test stop?", []RulebookChoice{
			{"85", "at 85 % of the predicted maximum", []string{"CSEP2009", "PATH"}, ""},
			{"within10", "already when steady within 10 bpm of 85 %", []string{"CSEP2009"}, "end: within10"},
			{"150", "at 150 bpm at any age, as older guides have it", []string{"HAND"}, "ceiling: {of: fixed, fraction: 0, fixed_bpm: 150}\nwindow_high: fixed150"},
			{"reserve", "at 70 % of heart-rate reserve: stricter for nearly everybody", []string{"EXRX"}, "ceiling: {of: reserve, fraction: 0.7}"},
		}},
		{"line", "How is the line drawn through the stages that qualify?", []RulebookChoice{
			{"two_last", "through the last two", []string{"CSEP2009"}, "fit: two_last"},
			{"ols", "by least squares through all of them", []string{"PRACTICE-OLS"}, "fit: ols"},
		}},
		{"oxygen", "How does a work rate become oxygen uptake?", []RulebookChoice{
			{"leg_1.8_7", "1.8 × work rate ÷ mass + 7, in mL/kg/min", []string{"BUSHMAN2020"}, "o2_cost: leg_1.8_7"},
			{"leg_2.0_3.5", "2.0 × work rate + 3.5 × mass, in mL/min: the older equation", []string{"PAPER-OLD-COST"}, "o2_cost: leg_2.0_3.5"},
			{"leg_2.0_300", "2.0 × work rate + 300, in mL/min", []string{"SARTOR2013"}, "o2_cost: leg_2.0_300"},
		}},
		{"norms", "By which table is the estimate rated?", []RulebookChoice{
			{"six-class", "six classes by treadmill time: the table in most handouts; a cycle estimate reads about one class low", []string{"COOPER1997"}, "norms: six-class"},
			{"us-cycle", "percentiles of a US registry, measured on a cycle; from 29 to 30 its middle man falls from 41.9 to 30.1", []string{"KAMINSKY2017"}, "norms: us-cycle"},
			{"norway-treadmill", "a survey of healthy Norwegians on a treadmill; a cycle estimate reads about one class low", []string{"LOE2013"}, "norms: norway-treadmill"},
		}},
		{"resting", "From which resting pressure, twice taken, is the test put off?", []RulebookChoice{
			{"160/100", "160/100 mmHg", []string{"CHOICE-REST-LIMITS"}, ""},
			{"180/100", "180/100 mmHg, as in a national survey", []string{"NHANES-CVX"}, "screening: {postpone_from_sbp_mmhg: 180}"},
			{"144/94", "144/94 mmHg, an older limit, from memory: confirm it in your textbook", []string{"CHOICE-REST-LIMITS"}, "screening: {postpone_from_sbp_mmhg: 144, postpone_from_dbp_mmhg: 94}"},
		}},
	}
}

// Usual is the choice of a question that is not answered: the first, but where an earlier answer leaves no sense in it. Of 10-s counts no two differ by
// 1 to 5 bpm, so that there one beat of the count is the rule. Source: [DERIVED-COUNTING].
func (q RulebookQuestion) Usual(answers map[string]string) RulebookChoice {
	if q.Key == "steady" && answers["count"] == "10" {
		if c, ok := q.Choice("one_beat"); ok {
			return c
		}
	}
	return q.Choices[0]
}

// Choice returns the choice of that word; ok is false when the question has none such.
func (q RulebookQuestion) Choice(word string) (RulebookChoice, bool) {
	for _, c := range q.Choices {
		if c.Word == word {
			return c, true
		}
	}
	return RulebookChoice{}, false
}

// RulebookFile writes the rulebook file that answers the questions, word by key; a question without an answer keeps the usual choice. The result is
// a file that DecodeRulebook reads, or an error that says which answers do not go together.
func RulebookFile(name string, answers map[string]string) (string, error) {
	var b strings.Builder
	fmt.Fprintf(&b, "# House rules for kilopond. Only what stands here differs from the rulebook that ships; `kilopond rulebook show` lists every path,\n"+
		"# `kilopond rulebook check` says whether this can work, and `kilopond rulebook diff four-band FILE` what it changes.\nname: %s\n", name)
	for _, q := range RulebookQuestions() {
		c := q.Usual(answers)
		if word, ok := answers[q.Key]; ok {
			if c, ok = q.Choice(word); !ok {
				return "", fmt.Errorf("%s %q: no such choice", q.Key, word)
			}
		}
		fmt.Fprintf(&b, "\n# %s\n# Here: %s [%s].\n", q.Ask, c.Says, strings.Join(c.Sources, ", "))
		for _, other := range q.Choices {
			if other.Word != c.Word {
				fmt.Fprintf(&b, "# Or: %s [%s].\n", other.Says, strings.Join(other.Sources, ", "))
			}
		}
		if c.YAML != "" {
			b.WriteString(c.YAML + "\n")
		}
	}
	text := b.String()
	if _, err := DecodeRulebook(name+".yaml", []byte(text)); err != nil {
		return "", err
	}
	return text, nil
}
