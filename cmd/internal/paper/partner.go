package paper

import (
	"fmt"
	"strings"

	"kilopond/grader"
	"kilopond/physiology/unit"
	"kilopond/scenarios"
)

// partnerCard is what the partner of a student says and shows in the place of the person.
func (f *folio) partnerCard(s Stack, one Worksheet) {
	f.mark = one.Code + " · partner’s card"
	f.turn()
	f.open("Partner’s card", one.Code, "For the partner’s eyes only: the proctor never sees this paper.")
	f.goesOn = "Partner’s card, continued"
	f.onOneLeaf(func() { f.partnerCardFrom(one.Card) })
	f.goesOn = ""
	f.evenLeaf()
}

// partnerCardFrom is the card below its head.
func (f *folio) partnerCardFrom(k grader.Card) {
	f.say(fmt.Sprintf("You are %s, %s, %d years old, %s. Give what is asked for and nothing more; say what stands under “unasked” at its time, as it comes. "+
		"When the pulse is counted, show the number of beats for %d s; when the cuff has been pumped well above it, show the pressure; “rates” is your exertion. "+
		"Times run from the beginning of a stage. For an added minute that is not on the card show the last count again.",
		k.Subject.Name, sexWord(k.Subject.Sex), k.Subject.AgeY, k.Subject.Work, k.CountS), plainVoice())
	f.gap(2)
	f.beforeTest(k)
	if len(k.Stages) > 0 {
		f.room(80)
		f.part("The test", "the way of a proctor who works by the rules of the house")
		f.minuteTable(k.Stages, k.CountS)
		f.say(fmt.Sprintf("A proctor who works by the rules ends here, in stage %d after %s: %s.", k.Stages[len(k.Stages)-1].Number, clockWords(k.EndedAtS), strings.TrimSuffix(k.EndedBy, ".")),
			voice{family: "sans", style: "B", size: 8.5})
		f.room(80)
		f.part("Recovery", "from the end of the test")
		f.minuteTable([]grader.CardStage{k.Recovery}, k.CountS)
	} else {
		f.say(fmt.Sprintf("A proctor who works by the rules does not test you today: %s.", decisionWords[k.Decided]), voice{family: "sans", style: "B", size: 8.5})
	}
	if len(k.Goes) > 0 {
		title := "If the test goes on all the same"
		if len(k.Stages) == 0 {
			title = "If you are tested all the same"
		}
		f.room(80)
		f.part(title, "")
		f.minuteTable(k.Goes, k.CountS)
		if g := k.Goes[len(k.Goes)-1]; g.Stopped {
			f.say("Then you stop pedalling.", voice{family: "sans", style: "B", size: 8.5})
		}
	}
	f.otherColumns(k)
}

var decisionWords = map[string]string{
	"postpone": "it is put off to another day", "refer": "a physician is asked first", "refuse": "no test", "rest": "rest, and measure again", "test": "the test may begin", "": "nothing was decided",
}

func clockWords(s int) string { return fmt.Sprintf("%d:%02d", s/60, s%60) }

// beforeTest is everything up to the first turn of the pedals.
func (f *folio) beforeTest(k grader.Card) {
	f.part("Before the test", "")
	var rows [][]cell
	add := func(cue, show string) { rows = append(rows, []cell{{text: cue}, {text: show}}) }
	add("you come in", k.Scenario.Arriving)
	add("greeted", "“"+k.Scenario.Greeting+"”")
	for _, q := range scenarios.Questions() {
		for _, h := range k.Scenario.Health {
			if h.Key == q.Key {
				add("asked: "+healthWords[q.Key], "“"+h.Says+"”")
			}
		}
	}
	add("asked for consent", "“"+k.Scenario.Consent+"”")
	add("weighed, measured", fmt.Sprintf("%.1f kg, %.1f cm, arm %.1f cm around", k.Mass, k.Height, k.Arm))
	if len(k.Checks) > 0 {
		add("equipment checked", strings.Join(k.Checks, "; "))
	}
	places := map[string]string{"chair": "in the chair", "cycle": "on the cycle", "lying": "lying", "standing": "standing"}
	for i, r := range k.Rest {
		cue := "pulse and pressure " + places[r.Where]
		if i > 0 && k.Rest[i-1].Where == r.Where {
			cue = "the same again"
		}
		show := fmt.Sprintf("%d beats in %d s", r.Beats, r.Seconds)
		if r.Pressure != "" {
			show += "; " + r.Pressure + " mmHg"
		}
		add(cue, show)
	}
	f.table(f.width(), []column{{head: "when", share: 28}, {head: "you say or show", share: 72}}, rows)
}

// minuteTable is what there is in each minute of some stages. What comes unasked stands in the order of the minutes, in bold.
func (f *folio) minuteTable(stages []grader.CardStage, countS int) {
	var rows [][]cell
	for _, s := range stages {
		if s.Number > 0 {
			rows = append(rows, []cell{{text: stageWords(s)}})
		}
		for i, m := range s.Minutes {
			read := m.Pressure
			if i == len(s.Minutes)-1 && s.Exertion > 0 {
				read = strings.TrimPrefix(fmt.Sprintf("%s; rates %d", read, s.Exertion), "; ")
			}
			says := ""
			if m.Says != "" {
				says = "“" + m.Says + "”"
			}
			rows = append(rows, []cell{{text: fmt.Sprintf("minute %d", m.Minute)}, {text: beatsOf(m, countS), bold: true}, {text: read}, {text: says}, {text: m.Looks}})
			for j, u := range m.Unasked {
				if j == mostUnasked {
					break
				}
				said, seen := "“"+u.Words+"”", ""
				if !u.Said {
					said, seen = "", u.Words
				}
				rows = append(rows, []cell{{text: "unasked"}, {text: clockWords(u.AtS), bold: true}, {}, {text: said, bold: true}, {text: seen, bold: true}})
			}
		}
	}
	f.table(f.width(), []column{{head: "", share: 11}, {head: "beats", share: 7, number: true}, {head: "mmHg; rates", share: 16},
		{head: "says when asked how it feels", share: 33}, {head: "shows when looked at", share: 36}}, rows)
}

// mostUnasked of a minute are printed: nobody can act more. Source: [CHOICE-GRAPH].
const mostUnasked = 3

// beatsOf is a count, with its length where that is not the house's.
func beatsOf(m grader.CardMinute, countS int) string {
	switch {
	case m.Beats == 0:
		return ""
	case m.Seconds != countS:
		return fmt.Sprintf("%d in %d s", m.Beats, m.Seconds)
	}
	return fmt.Sprint(m.Beats)
}

// unasked lists what comes by itself in a minute, so many at most.
func unasked(list []grader.CardUnasked, most int) string {
	var all []string
	for i, u := range list {
		if i == most {
			break
		}
		all = append(all, spoken(u))
	}
	return strings.Join(all, " ")
}

// otherColumns is a small table of readings for somebody who took another column of the branch table.
func (f *folio) otherColumns(k grader.Card) {
	var rows [][]cell
	for _, o := range k.Other {
		if len(o.Stages) == 0 {
			continue
		}
		rows = append(rows, []cell{{text: fmt.Sprintf("If stage 2 is set to %.1f kp (%.0f kg·m/min)", o.Stages[0].Resistance, o.Stages[0].WorkRate)}})
		for _, s := range o.Stages {
			var beats, words []string
			pressure := ""
			for _, m := range s.Minutes {
				if m.Beats > 0 {
					beats = append(beats, beatsOf(m, k.CountS))
				}
				if m.Pressure != "" {
					pressure = m.Pressure
				}
				if text := unasked(m.Unasked, 2); text != "" {
					words = append(words, text)
				}
			}
			if n := len(s.Minutes); n > 0 {
				last := s.Minutes[n-1]
				if last.Says != "" {
					words = append(words, "asked: “"+last.Says+"”")
				}
				if last.Looks != "" {
					words = append(words, "looked at: "+last.Looks)
				}
			}
			if s.Stopped {
				words = append(words, "Then you stop pedalling.")
			}
			exertion := ""
			if s.Exertion > 0 {
				exertion = fmt.Sprint(s.Exertion)
			}
			rows = append(rows, []cell{{text: fmt.Sprintf("stage %d, %.1f kp", s.Number, s.Resistance), bold: true}, {text: strings.Join(beats, ", ")}, {text: pressure}, {text: exertion}, {text: strings.Join(words, " ")}})
		}
	}
	if len(rows) == 0 {
		return
	}
	f.room(80)
	f.part("If another column of the branch table is taken", "")
	f.table(f.width(), []column{{head: "", share: 15}, {head: "beats", share: 15}, {head: "mmHg", share: 10}, {head: "rates", share: 7, number: true}, {head: "said, seen", share: 53}}, rows)
}

// bpmOf is a rate for reading.
func bpmOf(hr unit.HR) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", hr), ".0") }
