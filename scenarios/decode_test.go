package scenarios

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
)

const good = `id: test
title: Somebody
spoiler: Nothing.
teaches: Nothing.
difficulty: 1
right_act: run_to_end
who:
  sexes: [M]
  age_y: {low: 20, high: 30}
names:
  - {name: A Person, sex: M, work: works}
health: []
voice:
  greeting: [Hello.]
  consent: [Yes.]
  looks: [Walks in.]
sources: [CHOICE-CASES]
`

// swap writes one thing of the good case otherwise.
func swap(t *testing.T, from, to string) string {
	t.Helper()
	if strings.Count(good, from) == 0 {
		t.Fatalf("%q is not in the good case", from)
	}
	return strings.Replace(good, from, to, 1)
}

// placed is a fault as the tables below write it: place and message.
func placed(f Fault) string {
	if f.Line == 0 {
		return f.Message
	}
	return fmt.Sprintf("%d:%d %s", f.Line, f.Column, f.Message)
}

func TestWhatACaseFileMayBe(t *testing.T) {
	for name, text := range map[string]string{
		"as it is":           good,
		"byte-order mark":    "\ufeff" + good,
		"Windows lines":      strings.ReplaceAll(good, "\n", "\r\n"),
		"old Mac lines":      strings.ReplaceAll(good, "\n", "\r"),
		"document begin":     "---\n" + good,
		"document end":       good + "...\n",
		"comments":           "# a case\n" + strings.ReplaceAll(good, "\ndiff", " # short\ndiff"),
		"quoted text":        swap(t, "Somebody", `"010"`),
		"number as text":     swap(t, "Somebody", "12"),
		"whole number as 2.": swap(t, "low: 20", "low: 20.0"),
		"fixed age":          swap(t, "low: 20", "low: 30"),
		"reason without":     good + "reasons: [{health: []}]\n",
	} {
		if _, err := DecodeCase("x.yaml", []byte(text)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestEveryFaultHasItsPlace(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		// Of the file.
		{"empty", "", "empty: nothing to read"},
		{"only a comment", "# nothing\n", "empty: nothing to read"},
		{"huge", "id: " + strings.Repeat("a", MaxFile), "too large: a file of this kind has at most 262144 bytes"},
		{"a program", "\x7fELF\x00", "1:1 control character 0x7f"},
		{"a zero byte", "id: a\nb: \x00", "2:4 a zero byte: this is no text file"},
		{"a control character", swap(t, "title: Some", "title: \x1b[31m"), "2:8 control character 0x1b"},
		{"Latin 1", swap(t, "Somebody", "Gr\xfcn"), "2:10 byte 0xfc is not UTF-8: save the file as UTF-8"},
		{"Latin 1 behind wide letters", swap(t, "Somebody", "äöü\xfcn"), "2:11 byte 0xfc is not UTF-8: save the file as UTF-8"},
		{"UTF-16", "\xff\xfei\x00d\x00", "UTF-16: save it as UTF-8"},
		{"second document", good + "---\nid: b\n", "18:1 a second document: one file holds one"},
		{"second after an end", good + "...\nid: b\n", "19:1 a second document: one file holds one"},
		{"a list", "- a\n", "1:1 the file must be a table of key: value"},
		{"a word", "\n\n  hello", "3:3 the file must be a table of key: value"},
		{"null", "~", "1:1 the file is empty: give a value or leave the line out"},
		// Of the YAML.
		{"open bracket", "id: [", "2:1 not YAML: did not find expected node content"},
		{"open quotation", swap(t, "Somebody", `"Somebody`), "18:1 not YAML: the file ends inside a quotation: the closing mark is missing"},
		{"tab", swap(t, "  sexes", "\tsexes"), "8:1 not YAML: a character that cannot stand here; indent with spaces, not tabs, and put such text in quotation marks"},
		{"star", swap(t, "Somebody", "*somebody"), "2:8 not YAML: a * begins an alias: put the text in quotation marks"},
		{"second colon", swap(t, "Somebody", "Some: body"), "2:12 not YAML: a second colon, or an indent too many: put text that holds a colon in quotation marks"},
		// Of form.
		{"anchor", swap(t, "looks: [Walks in.]", "looks: &a [Walks in.]"), "16:10 anchors and aliases are not used here: write the value out"},
		{"tag", swap(t, "Somebody", "!!binary aGk="), "2:8 the tag !!binary is not used here"},
		{"tag of one's own", swap(t, "Somebody", "!person x"), "2:8 the tag !person is not used here"},
		{"tag on a number", swap(t, "difficulty: 1", "difficulty: !!str 1"), "5:13 the tag !!str is not used here"},
		{"merge", swap(t, "difficulty: 1", "difficulty: 1\n<<: {a: 1}"), "6:1 unknown key <<"},
		{"list as key", swap(t, "difficulty: 1", "difficulty: 1\n? [a]\n: 1"), "6:3 a key in the file must be a plain word"},
		{"null as key", swap(t, "difficulty: 1", "difficulty: 1\n~: 1"), "6:1 a key in the file must be a plain word"},
		{"twice", swap(t, "difficulty: 1", "difficulty: 1\ndifficulty: 2"), "6:1 difficulty is given twice"},
		{"twice inside", swap(t, "low: 20", "low: 20, low: 21"), "9:20 who.age_y.low is given twice"},
		{"unknown key", swap(t, "difficulty: 1", "difficulty: 1\nmoon: 2"), "6:1 unknown key moon"},
		{"unknown key inside", swap(t, "work: works}", "work: works, wrok: x}"), "11:43 unknown key names.0.wrok; did you mean work?"},
		{"escape in a key", swap(t, "difficulty: 1", "difficulty: 1\n\"\\e[2J\": 2"), `6:1 unknown key "\x1b[2J"`},
		{"missing key", swap(t, "teaches: Nothing.\n", ""), "1:1 teaches is missing"},
		{"missing inside", swap(t, "low: 20, ", ""), "9:10 who.age_y.low is missing"},
		{"empty value", swap(t, "spoiler: Nothing.", "spoiler:"), "3:9 spoiler is empty: give a value or leave the line out"},
		{"null in a list", swap(t, "[Hello.]", "[Hello., ~]"), "14:22 voice.greeting.1 is empty: give a value or leave the line out"},
		// Of type.
		{"text for a number", swap(t, "difficulty: 1", "difficulty: one"), "5:13 difficulty must be a whole number, not one"},
		{"quoted number", swap(t, "difficulty: 1", `difficulty: "1"`), "5:13 difficulty must be a whole number, not 1"},
		{"escape in a value", swap(t, "difficulty: 1", `difficulty: "\e[31m"`), `5:13 difficulty must be a whole number, not "\x1b[31m"`},
		{"fraction", swap(t, "difficulty: 1", "difficulty: 1.5"), "5:13 difficulty must be a whole number, not 1.5"},
		{"too large", swap(t, "difficulty: 1", "difficulty: 99999999999999999999"), "5:13 difficulty must be a whole number, not 99999999999999999999"},
		{"octal look", swap(t, "low: 20", "low: 020"), "9:16 who.age_y.low: 020 begins with 0 and looks octal: write it without"},
		{"octal look below 0", swap(t, "low: 20", "low: -020"), "9:16 who.age_y.low: -020 begins with 0 and looks octal: write it without"},
		{"octal", swap(t, "low: 20", "low: 0o24"), "9:16 who.age_y.low: 0o24 begins with 0 and looks octal: write it without"},
		{"hexadecimal", swap(t, "low: 20", "low: 0x14"), "9:16 who.age_y.low must be a number, not 0x14"},
		{"infinite", swap(t, "low: 20", "low: .inf"), "9:16 who.age_y.low must be a number, not .inf"},
		{"not a number", swap(t, "low: 20", "low: .nan"), "9:16 who.age_y.low must be a number, not .nan"},
		{"beyond any number", swap(t, "low: 20", "low: 1e400"), "9:16 who.age_y.low must be a number, not 1e400"},
		{"list for a number", swap(t, "difficulty: 1", "difficulty: [1]"), "5:13 difficulty must be a whole number"},
		{"list for text", swap(t, "Somebody", "[a]"), "2:8 title must be text"},
		{"yes for text", swap(t, "Somebody", "true"), "2:8 title must be text, not true: put it in quotation marks"},
		{"text for a list", swap(t, "sexes: [M]", "sexes: M"), "8:10 who.sexes must be a list"},
		{"list for a table", swap(t, "who:\n  sexes: [M]\n  age_y: {low: 20, high: 30}", "who: [1]"), "7:6 who must be a table of key: value"},
		{"yes for true", swap(t, "health: []", "health: [{question: heart, says: [a], flag: yes}]"), "12:45 health.0.flag must be true or false, not yes"},
		// Of meaning.
		{"id", swap(t, "id: test", "id: ../Test"), "1:5 id ../Test: small letters, digits and single hyphens, beginning with a letter"},
		{"blank", swap(t, "Somebody", `" "`), "2:8 title is blank"},
		{"difficulty", swap(t, "difficulty: 1", "difficulty: 6"), "5:13 difficulty 6: 1 to 5"},
		{"act", swap(t, "run_to_end", "run"), `6:12 right_act "run": one of run_to_end, do_not_test, end_test, stop_at_once, verify_then_go`},
		{"sex", swap(t, "sexes: [M]", "sexes: [M, X]"), `8:14 sex "X": M or F`},
		{"sex twice", swap(t, "sexes: [M]", "sexes: [M, M]"), "8:14 sex M is given twice"},
		{"no sex", swap(t, "sexes: [M]", "sexes: []"), "8:10 sexes: at least one of M and F"},
		{"too young", swap(t, "low: 20", "low: 12"), "9:10 who.age_y: 12–30 leaves 18–79"},
		{"too old", swap(t, "high: 30", "high: 80"), "9:10 who.age_y: 20–80 leaves 18–79"},
		{"half a year", swap(t, "low: 20", "low: 20.5"), "9:10 who.age_y: 20.5–30: whole years"},
		{"upside down", swap(t, "low: 20", "low: 40"), "9:10 who.age_y: low 40 is above high 30"},
		{"resting pressure", swap(t, "high: 30}", "high: 30}\n  resting_sbp_mmhg: {low: 20, high: 120}"), "10:21 who.resting_sbp_mmhg: 20–120 leaves 80–230"},
		{"no name for a sex", swap(t, "sexes: [M]", "sexes: [M, F]"), "11:3 names: none for sex F"},
		{"name of no sex", swap(t, "sex: M", "sex: m"), "11:3 names: none for sex M\n11:27 sex \"m\": M or F"},
		{"blank name", swap(t, "A Person", `""`), "11:5 names.0: name or work is blank"},
		{"question", swap(t, "health: []", "health: [{question: moon, says: [no]}]"), "12:21 question moon: one of " + strings.Join(questionKeys(), ", ")},
		{"question twice", swap(t, "health: []", "health: [{question: ill, says: [no]}, {question: ill, says: [no]}]"), "12:50 question ill is answered twice"},
		{"no answer", swap(t, "health: []", "health: [{question: ill, says: []}]"), "12:32 health.0.says: at least one"},
		{"no greeting", swap(t, "[Hello.]", "[]"), "14:13 voice.greeting: at least one"},
		{"blank greeting", swap(t, "[Hello.]", `[Hello., ""]`), "14:22 voice.greeting.1 is blank"},
		{"sign", swap(t, "looks: [Walks in.]", "looks: [Walks in.]\n  signs: {moon/seen/1: [a]}"), "17:11 voice.signs: no sign moon; `kilopond schema case` lists them"},
		{"sign misspelt", swap(t, "looks: [Walks in.]", "looks: [Walks in.]\n  signs: {leg_pian/found/1: [a]}"), "17:11 voice.signs: no sign leg_pian; did you mean leg_pain?"},
		{"channel misspelt", swap(t, "looks: [Walks in.]", "looks: [Walks in.]\n  signs: {pallor/sen/1: [a]}"), "17:11 voice.signs: pallor/sen/1: no channel sen; did you mean seen?"},
		{"channel of one's own", swap(t, "looks: [Walks in.]", "looks: [Walks in.]\n  signs: {pallor/heard/1: [a]}"), "17:11 voice.signs: pallor/heard/1: no channel heard: one of unasked, seen, found"},
		{"no channel", swap(t, "looks: [Walks in.]", "looks: [Walks in.]\n  signs: {pallor/1: [a]}"), "17:11 voice.signs: pallor/1 is not sign/channel/grade, as chest_discomfort/found/1"},
		{"person twice", swap(t, "work: works}", "work: works}\n  - {name: A Person, sex: M, work: digs}"), "12:12 name A Person is given twice"},
		{"grade of a sign", swap(t, "looks: [Walks in.]", "looks: [Walks in.]\n  signs: {pallor/seen/5: [a]}"), "17:11 voice.signs: pallor/seen/5: grade 5: 1 to 4"},
		{"no line for a sign", swap(t, "looks: [Walks in.]", "looks: [Walks in.]\n  signs: {pallor/seen/1: []}"), "17:26 voice.signs.pallor/seen/1: at least one"},
		{"no source", swap(t, "[CHOICE-CASES]", "[]"), "17:10 sources: at least one"},
		{"source", swap(t, "[CHOICE-CASES]", "[CHOICE-CASES, a book]"), "17:25 source a book: a key of physiology/SOURCES.md, as TANAKA2001"},
		{"mechanism out of range", good + "ills: [{angina: {rate_pressure_product: {low: 1, high: 2}}}]\n", "18:41 ills.0: rate_pressure_product: 1–2 leaves 9000–30000"},
		{"no mechanism", good + "ills: [{}]\n", "18:8 ills.0: one mechanism each: this has 0"},
		{"unknown mechanism", good + "ills: [{anginna: {}}]\n", "18:8 ills.0: one mechanism each: this has 0\n18:9 unknown key ills.0.anginna; did you mean angina?"},
	} {
		_, err := DecodeCase("x.yaml", []byte(c.text))
		faults, ok := err.(Faults)
		if !ok {
			t.Errorf("%s: %v; want Faults", c.name, err)
			continue
		}
		var got []string
		for _, f := range faults {
			got = append(got, placed(f))
		}
		if g := strings.Join(got, "\n"); g != c.want {
			t.Errorf("%s:\ngot  %s\nwant %s", c.name, g, c.want)
		}
	}
}

// Nesting without end, and aliases of aliases, are refused without being followed.
func TestBombs(t *testing.T) {
	bomb := "a: &a [x,x,x,x,x,x,x,x,x]\n"
	for c := 'b'; c <= 'k'; c++ {
		p := string(c - 1)
		bomb += fmt.Sprintf("%c: &%c [%s]\n", c, c, strings.TrimSuffix(strings.Repeat("*"+p+",", 9), ","))
	}
	for name, text := range map[string]string{
		"aliases of aliases":      bomb + "id: *k\n",
		"lists":                   "id: " + strings.Repeat("[", 20000),
		"closed lists":            "moon: " + strings.Repeat("[", 9000) + strings.Repeat("]", 9000),
		"tables":                  strings.Repeat("{a: ", 9000) + strings.Repeat("}", 9000),
		"blocks":                  strings.Repeat("- ", 9000),
		"sixty thousand bad keys": manyKeys(20000),
	} {
		_, err := DecodeCase("x.yaml", []byte(text))
		faults, ok := err.(Faults)
		if !ok {
			t.Errorf("%s: %v; want Faults", name, err)
			continue
		}
		if n := len(faults.Error()); n > 16000 {
			t.Errorf("%s: %d bytes of faults", name, n)
		}
	}
	_, err := DecodeCase("x.yaml", []byte("moon: "+strings.Repeat("[", 100)+strings.Repeat("]", 100)))
	if err == nil || !strings.Contains(err.Error(), "nested too deep") {
		t.Errorf("a hundred lists under an unknown key: %v", err)
	}
}

func manyKeys(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "key%d: 1\n", i)
	}
	return b.String()
}

// Faults of every kind are told together, in the order of their places, and what follows from a value that cannot be read is not told.
func TestFaultsComeTogether(t *testing.T) {
	text := strings.NewReplacer("difficulty: 1", "difficulty: x", "low: 20", "low: 020", "title:", "titel:", "run_to_end", "run", "[Hello.]", "[]").Replace(good)
	_, err := DecodeCase("x.yaml", []byte(text))
	faults, _ := err.(Faults)
	var got []string
	for _, f := range faults {
		got = append(got, fmt.Sprintf("%d:%d", f.Line, f.Column))
	}
	if want := []string{"1:1", "2:1", "5:13", "6:12", "9:16", "14:13"}; !reflect.DeepEqual(got, want) {
		t.Errorf("faults at %v, want %v:\n%v", got, want, err)
	}
}

func TestHowAFaultPrints(t *testing.T) {
	_, err := DecodeCase("my case.yaml", []byte(swap(t, "low: 20", "low: 020")))
	want := "my case.yaml:9:16: who.age_y.low: 020 begins with 0 and looks octal: write it without\n" +
		"      age_y: {low: 020, high: 30}\n" +
		"                   ^"
	if err == nil || err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", err, want)
	}
	f := Faults{{File: "x", Line: 2, Column: 3, Text: "\ta: 1", Message: "m"}}
	if want := "x:2:3: m\n    \ta: 1\n    \t ^"; f.Error() != want {
		t.Errorf("a tab before the caret: got %q, want %q", f.Error(), want)
	}
	f = Faults{{File: "x", Line: 1, Column: 151, Text: strings.Repeat("a", 150) + "B" + strings.Repeat("c", 149), Message: "m"}}
	part := strings.Split(f.Error(), "\n")
	if len(part) != 3 || len([]rune(part[1])) > lineWidth+6 || []rune(part[1])[len([]rune(part[2]))-1] != 'B' {
		t.Errorf("a long line:\n%v", f)
	}
}

func FuzzDecodeCase(f *testing.F) {
	f.Add([]byte(good))
	f.Add([]byte("a: &a [*a, *a]"))
	f.Add([]byte("\ufeff---\n{"))
	f.Add([]byte(good + "ills: [{angina: {rate_pressure_product: {low: 15000, high: 19000}}}]\nreasons: [{health: []}]\n"))
	f.Add([]byte("id: [\n---\n? [a]\n: \x1b"))
	for _, id := range IDs() {
		data, err := library.ReadFile("library/" + id + ".yaml")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := DecodeCase("fuzz.yaml", data)
		if err == nil {
			if c.Hash == "" || len(c.Who.Sexes) == 0 || !idForm.MatchString(c.ID) {
				t.Errorf("a case without what it needs was taken: %+v", c)
			}
			c.Draw(1).Body()
			return
		}
		if _, ok := err.(Faults); !ok || err.Error() == "" {
			t.Errorf("a fault without place or words: %#v", err)
		}
		for _, r := range err.Error() {
			if r != '\n' && r != '\t' && visible(string(r)) != string(r) {
				t.Errorf("a fault prints %q: %q", r, err)
				break
			}
		}
	})
}
