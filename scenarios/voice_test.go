package scenarios

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"kilopond/physiology/body"
)

// spread returns the fewest, the mean and the most words of lines.
func spread(lines []string) (fewest int, mean float64, most int) {
	fewest = 1000
	sum := 0
	for _, line := range lines {
		n := len(strings.Fields(line))
		sum += n
		fewest, most = min(fewest, n), max(most, n)
	}
	return fewest, float64(sum) / float64(len(lines)), most
}

// told collects the lines for signs on one channel, of the common voice and of every case.
func told(t *testing.T, ch body.Channel) []string {
	t.Helper()
	var lines []string
	voices := []map[string][]string{defaultVoice().Signs}
	for _, c := range cases(t) {
		voices = append(voices, c.Voice.Signs)
	}
	for _, v := range voices {
		for key, l := range v {
			if strings.Contains(key, "/"+string(ch)+"/") && !strings.HasPrefix(key, string(body.Harmless)+"/") {
				lines = append(lines, l...)
			}
		}
	}
	return lines
}

// harmless are the lines that may worry and mean nothing.
func harmless(signs map[string][]string) []string {
	var lines []string
	for key, l := range signs {
		if strings.HasPrefix(key, string(body.Harmless)+"/") {
			lines = append(lines, l...)
		}
	}
	return lines
}

// ownTalk collects what the people of the cases say of their effort.
func ownTalk(t *testing.T) []string {
	t.Helper()
	var lines []string
	for _, c := range cases(t) {
		lines = append(lines, all(c.Voice.Talk)...)
	}
	return lines
}

func all(m map[string][]string) []string {
	var lines []string
	for _, l := range m {
		lines = append(lines, l...)
	}
	return lines
}

// wordsApart is how far the mean number of words of normal and abnormal findings may lie apart: less than anybody counts.
const wordsApart = 1.0

// A finding is told at the same length whether it means something or not.
func TestLengthDoesNotTell(t *testing.T) {
	v := defaultVoice()
	for _, c := range []struct {
		name             string
		normal, abnormal []string
	}{
		{"answers during work", append(all(v.Talk), ownTalk(t)...), told(t, body.Found)},
		{"looks", all(v.Look), told(t, body.Seen)},
	} {
		nFew, nMean, nMost := spread(c.normal)
		aFew, aMean, aMost := spread(c.abnormal)
		t.Logf("%s: normal %d–%d words, mean %.1f, of %d lines; abnormal %d–%d, mean %.1f, of %d", c.name, nFew, nMost, nMean, len(c.normal), aFew, aMost, aMean, len(c.abnormal))
		if d := nMean - aMean; d > wordsApart || d < -wordsApart {
			t.Errorf("%s: normal ones have %.1f words on average, abnormal ones %.1f", c.name, nMean, aMean)
		}
		if aMost > nMost+2 || aFew < nFew-2 {
			t.Errorf("%s: abnormal ones have %d–%d words, normal ones %d–%d", c.name, aFew, aMost, nFew, nMost)
		}
	}
	for _, c := range cases(t) {
		answers := slices.Clone(c.Health)
		for _, r := range c.Reasons {
			answers = append(answers, r.Health...)
		}
		for _, a := range answers {
			if !a.Flag {
				continue
			}
			few, _, _ := spread(a.Says)
			if _, _, most := spread(v.Answers[a.Question]); most < few-2 {
				t.Errorf("%s: %s: an answer that matters has at least %d words, none of the others more than %d", c.ID, a.Question, few, most)
			}
		}
	}
}

// What an experienced listener takes for a sign is nothing that a well person says.
func TestNormalLinesMeanNothing(t *testing.T) {
	v := defaultVoice()
	var normal []string
	for _, m := range []map[string][]string{v.Talk, v.Look, v.Rating, v.Answers} {
		normal = append(normal, all(m)...)
	}
	normal = append(normal, harmless(v.Signs)...)
	for _, c := range cases(t) {
		normal := append(slices.Clone(normal), harmless(c.Voice.Signs)...)
		normal = append(normal, all(c.Voice.Talk)...)
		normal = append(normal, c.Voice.Greeting...)
		normal = append(normal, c.Voice.Consent...)
		normal = append(normal, c.Voice.Looks...)
		for _, m := range c.Meanings() {
			for _, line := range normal {
				if strings.Contains(line, m.Words) || strings.Contains(m.Words, line) && len(line) > 12 {
					t.Errorf("%s: %q is said by the well, and %q stands for %s%s", c.ID, line, m.Words, m.Sign, m.Question)
				}
			}
		}
	}
}

// ofWork are the signs that cannot be met except on turning pedals.
var ofWork = map[body.Sign]bool{body.CadenceLost: true, body.SevereExertion: true, body.AskedToStop: true}

// needsCycle finds what can only be said of somebody on the cycle.
var needsCycle = regexp.MustCompile(`(?i)\b(pedal\w*|saddle|handlebar|bars?|turning|metronome|legs even)\b`)

// A line belongs to one sign, whoever says it.
func TestALineBelongsToOneSign(t *testing.T) {
	owner := map[string]string{}
	check := func(where string, signs map[string][]string) {
		for key, lines := range signs {
			sign := strings.Split(key, "/")[0]
			for _, line := range lines {
				if other := owner[line]; other != "" && other != sign {
					t.Errorf("%s: %q stands for %s and for %s", where, line, sign, other)
				}
				owner[line] = sign
			}
		}
	}
	check("voice.yaml", defaultVoice().Signs)
	for _, c := range cases(t) {
		check(c.ID, c.Voice.Signs)
	}
	// And nothing that stands for one sign holds within it what stands for another.
	for a, of := range owner {
		for b, other := range owner {
			if of != other && strings.Contains(a, b) {
				t.Errorf("%q (%s) holds %q (%s)", a, of, b, other)
			}
		}
	}
}

// everyLine goes through whatever a student may read of people: the common voice, and every case with its answers, looks and work.
func everyLine(t *testing.T, do func(where, line string)) {
	t.Helper()
	v := defaultVoice()
	for name, lists := range map[string]map[string][]string{"answers": v.Answers, "talk": v.Talk, "rating": v.Rating, "look": v.Look, "signs": v.Signs} {
		for key, lines := range lists {
			for _, line := range lines {
				do("voice.yaml: "+name+" "+key, line)
			}
		}
	}
	for _, c := range cases(t) {
		of := func(key string, lines []string) {
			for _, line := range lines {
				do(c.ID+": "+key, line)
			}
		}
		of("greeting", c.Voice.Greeting)
		of("consent", c.Voice.Consent)
		of("looks", c.Voice.Looks)
		of("talk", all(c.Voice.Talk))
		for key, lines := range c.Voice.Signs {
			of("signs "+key, lines)
		}
		for _, a := range c.Health {
			of("health "+a.Question, a.Says)
		}
		for _, r := range c.Reasons {
			of("looks", r.Looks)
			for _, a := range r.Health {
				of("health "+a.Question, a.Says)
			}
		}
		for _, n := range c.Names {
			of("work", []string{n.Work})
		}
	}
}

// labels are words of textbooks, which nobody says and nobody sees.
var labels = regexp.MustCompile(`(?i)angina|claudication|arrhythm|fibrillat|palpitation|extrasystol|premature|ischaem|syncope|vasovagal|dyspnoe|hypogly|hypoten|` +
	`hyperten|bronch|spasm|cyano|perfusion|tachycard|bradycard|diaphor|symptom|pulse defic|pallor|nausea|tremor|vertigo|infarct|stroke\b|cardiac|syndrome|diagnos`)

// Nobody speaks like a textbook: not the person, and not the one who tells what is seen.
func TestNoLabels(t *testing.T) {
	everyLine(t, func(where, line string) {
		if found := labels.FindString(line); found != "" {
			t.Errorf("%s: %q names %s", where, line, found)
		}
		if n := len(strings.Fields(line)); n > 12 && (strings.Contains(where, "signs") || strings.Contains(where, "talk") || strings.Contains(where, "look ")) {
			t.Errorf("%s: %q has %d words", where, line, n)
		}
	})
}

// The lines of a case serve its men and its women: what is seen has no he or she, and nobody speaks of themself as a man or a woman where both come.
func TestLinesFitWhoeverComes(t *testing.T) {
	seen := regexp.MustCompile(`(?i)\b(he|she|him|her|his|hers|himself|herself)\b`)
	self := regexp.MustCompile(`(?i)\b(I (was|am) (a |an old |an )?|I'm (a |an old |an )?|as a |old )(boy|girl|man|men|woman|women|lad|lass|lady)\b`)
	both := map[string]bool{}
	for _, c := range cases(t) {
		both[c.ID] = len(c.Who.Sexes) == 2
	}
	everyLine(t, func(where, line string) {
		id, key, _ := strings.Cut(where, ": ")
		isSeen := strings.HasPrefix(key, "look") || strings.Contains(key, "/"+string(body.Seen)+"/")
		if isSeen && seen.MatchString(line) {
			t.Errorf("%s: %q: the same line serves men and women", where, line)
		}
		if !isSeen && self.MatchString(line) && (id == "voice.yaml" || both[id]) {
			t.Errorf("%s: %q: men and women come", where, line)
		}
	})
}

// What is seen of somebody who may be lying or standing does not have them sit, and what is seen at work has them on the cycle.
func TestLinesFitThePlace(t *testing.T) {
	sits := regexp.MustCompile(`(?i)\b(sits|stands|seat|chair|lap|leans)\b`)
	lies := regexp.MustCompile(`(?i)\b(lies|ceiling|lying)\b`)
	for key, lines := range defaultVoice().Look {
		for _, line := range lines {
			if key == "lying" && (sits.MatchString(line) || needsCycle.MatchString(line)) || key == "standing" && regexp.MustCompile(`\b[Ss]its\b`).MatchString(line) ||
				(key == "none" || key == "standing" || key == "rested") && needsCycle.MatchString(line) {
				t.Errorf("look %s: %q is of another place", key, line)
			}
			if key != "lying" && key != "rested" && lies.MatchString(line) {
				t.Errorf("look %s: %q is of somebody who lies", key, line)
			}
		}
	}
	for key, lines := range defaultVoice().Signs {
		// Trouble that is still there when somebody has been laid down.
		late := strings.HasPrefix(key, string(body.Lightheaded)) || strings.HasPrefix(key, string(body.Pallor))
		if !late || strings.HasSuffix(key, "/"+atWork) || len(defaultVoice().Signs[key+"/"+whenLying]) > 0 {
			continue
		}
		for _, line := range lines {
			if sits.MatchString(line) {
				t.Errorf("signs %s: %q may be seen of somebody lying down: give lines under %s/%s", key, line, key, whenLying)
			}
		}
	}
}

// Nothing stands twice in the common voice, and there is enough of each.
func TestEnoughToSay(t *testing.T) {
	v := defaultVoice()
	seen := map[string]string{}
	for _, part := range []struct {
		name  string
		lists map[string][]string
		least int
	}{{"talk", v.Talk, 6}, {"look", v.Look, 4}, {"rating", v.Rating, 5}, {"answers", v.Answers, 14}, {"signs", v.Signs, 1}} {
		for key, lines := range part.lists {
			if len(lines) < part.least {
				t.Errorf("%s %s: %d lines, want at least %d", part.name, key, len(lines), part.least)
			}
			for _, line := range lines {
				at := part.name + " " + key
				if other, twice := seen[line]; twice && part.name != "answers" {
					t.Errorf("%q stands in %s and in %s", line, other, at)
				}
				seen[line] = at
			}
		}
	}
	for _, q := range Questions() {
		if len(v.Answers[q.Key]) == 0 {
			t.Errorf("nobody has an answer to %s", q.Key)
		}
	}
	for key, lines := range v.Signs {
		if fault := signFault(key); fault != "" {
			t.Errorf("signs: %s", fault)
		}
		plain, atWorkToo := strings.CutSuffix(key, "/"+atWork)
		// Three lines on turning pedals; two when sitting or lying, unless the sign belongs to the work.
		switch neutral, work := len(v.Signs[plain]), len(v.Signs[plain+"/"+atWork]); {
		case strings.HasSuffix(plain, "/"+whenLying):
			if neutral < 3 || len(v.Signs[signOf(plain)]) == 0 {
				t.Errorf("signs: %s: %d lines, want at least 3, and others for somebody who sits", plain, neutral)
			}
		case neutral+work < 3:
			t.Errorf("signs: %s: %d lines, want at least 3", plain, neutral+work)
		case atWorkToo && neutral < 2:
			t.Errorf("signs: %s: %d lines for somebody who sits or lies, want at least 2", plain, neutral)
		}
		if !atWorkToo && !ofWork[body.Sign(strings.Split(key, "/")[0])] {
			for _, line := range lines {
				if needsCycle.MatchString(line) {
					t.Errorf("signs: %s: %q may be seen of somebody lying down: it belongs under %s/%s", key, line, key, atWork)
				}
			}
		}
	}
	for key := range v.Answers {
		if !slices.Contains(questionKeys(), key) {
			t.Errorf("answers: %s is no question", key)
		}
	}
}

// Nobody says the same thing twice running, and three people one after the other seldom answer alike.
func TestPeopleDoNotTalkAlike(t *testing.T) {
	for _, c := range cases(t) {
		same, asked := 0, 0
		for seed := range Seed(60) {
			a, b, d := c.Draw(3*seed), c.Draw(3*seed+1), c.Draw(3*seed+2)
			for i := range a.Health {
				asked++
				if a.Health[i].Says == b.Health[i].Says && b.Health[i].Says == d.Health[i].Says {
					same++
				}
			}
			for _, e := range Efforts() {
				for nth := range 6 {
					if a.Talk(e, nth) == a.Talk(e, nth+1) {
						t.Fatalf("%s seed %d: says %q twice running", c.ID, a.Seed, a.Talk(e, nth))
					}
					if a.Look(e, nth) == a.Look(e, nth+1) {
						t.Fatalf("%s seed %d: looks %q twice running", c.ID, a.Seed, a.Look(e, nth))
					}
				}
			}
		}
		t.Logf("%s: three people in a row give one and the same answer to %d of %d questions", c.ID, same, asked)
		if same*10 > asked {
			t.Errorf("%s: three people in a row give one and the same answer to %d of %d questions", c.ID, same, asked)
		}
	}
}
