package exercises

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"reflect"
	"sort"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"kilopond/scenarios"
)

func begin(t testing.TB, id string, seed scenarios.Seed) *Session {
	t.Helper()
	c, err := scenarios.Load(id)
	if err != nil {
		t.Fatal(err)
	}
	sc := c.Draw(seed)
	return Begin(NewHeader(sc, json.RawMessage(`{}`), "hash", "drill", false), sc)
}

func do(t testing.TB, s *Session, commands ...Command) []Line {
	t.Helper()
	var lines []Line
	for _, c := range commands {
		l, err := s.Do(c)
		if err != nil {
			t.Fatalf("%+v: %v", c, err)
		}
		lines = append(lines, l)
	}
	return lines
}

// toStage brings a subject to a stage at a resistance.
func toStage(t testing.TB, s *Session, kp float64) []Line {
	return do(t, s, Command{Act: Greet}, Command{Act: Check, What: "brake"}, Command{Act: Cuff, What: "adult"}, Command{Act: Seat, What: "cycle"},
		Command{Act: Metronome, CadenceRPM: 50}, Command{Act: Pedal}, Command{Act: Wait, Seconds: 120}, Command{Act: Stage, ResistanceKp: kp})
}

func TestCommandsTakeTheirTime(t *testing.T) {
	s := begin(t, "uneventful", 7)
	toStage(t, s, 0.5)
	start := s.State().ClockS
	l := do(t, s, Command{Act: Count, Seconds: 15})[0]
	if l.AtS != start+findPulseS+15 {
		t.Errorf("a 15-s count ends at %d, want %d", l.AtS, start+findPulseS+15)
	}
	felt := l.Events[0].Fact.(PulseFelt)
	if felt.Seconds != 15 || len(felt.Tenths) < 14 || len(felt.Tenths) > 40 || felt.FromS != start+findPulseS {
		t.Errorf("felt %+v", felt)
	}
	c := do(t, s, Command{Act: Pressure, PumpMmHg: 180, ValveMmHgS: 3})[0]
	cuff := c.Events[0].Fact.(CuffFell)
	if took := c.AtS - cuff.FromS; took < 35 || took > 75 || cuff.TopMmHg != 180 || cuff.Heard == "" {
		t.Errorf("a pressure from 180 at 3 mmHg/s took %d s: %+v", took, cuff)
	}
	before := s.State().ClockS
	do(t, s, Command{Act: Write, Entries: []Entry{{Key: KeyBeats, Text: "22"}, {Key: KeyHR, Text: "88"}}})
	if s.State().ClockS != before+2 {
		t.Errorf("writing took %d s, want 2", s.State().ClockS-before)
	}
	if it := s.State().Items[1]; it.Stage != 1 || it.Minute != 1 || it.Text != "88" {
		t.Errorf("the entry stands at %+v", it)
	}
}

func TestImpossibleIsRefusedAndCostsNothing(t *testing.T) {
	s := begin(t, "uneventful", 7)
	check := func(c Command, says string) {
		t.Helper()
		before := s.State().ClockS
		_, err := s.Do(c)
		no, ok := err.(*Refused)
		if !ok || !strings.Contains(no.What, says) || no.Hint == "" {
			t.Errorf("%+v: %v, want a refusal that says %q and what to do", c, err, says)
		}
		if s.State().ClockS != before {
			t.Errorf("%+v: refused, yet time passed", c)
		}
	}
	check(Command{Act: Pedal}, "nobody is on the cycle")
	check(Command{Act: Pressure, PumpMmHg: 180, ValveMmHgS: 3}, "no cuff")
	check(Command{Act: HandIn}, "still here")
	check(Command{Act: "dance"}, "not something")
	check(Command{Act: Check, What: "ceiling"}, "not something")
	check(Command{Act: Saddle, What: "up"}, "saddle")
	toStage(t, s, 0.5)
	check(Command{Act: Resistance, ResistanceKp: -1}, "-1")
	check(Command{Act: Stage, ResistanceKp: 90}, "0 to 7")
	check(Command{Act: Pressure, PumpMmHg: 400, ValveMmHgS: 3}, "400")
	check(Command{Act: Pressure, PumpMmHg: 180, ValveMmHgS: 0}, "valve")
	check(Command{Act: Count, Seconds: 0}, "count of 0 s")
	check(Command{Act: Count, Seconds: 15, What: "wrist"}, "wrist")
	check(Command{Act: Time, Beats: 1}, "10 to 60")
	check(Command{Act: Wait, Seconds: 100000}, "1 to 600")
	check(Command{Act: Release}, "pedals are turning")
	check(Command{Act: Strike, Entry: 3}, "entry 3")
	check(Command{Act: Write}, "1 to 12")
	check(Command{Act: Write, Entries: []Entry{{Key: KeyHR, Text: "abc"}}}, "not a number")
	check(Command{Act: Write, Entries: []Entry{{Key: KeyHR, Text: "NaN"}}}, "not a number")
	check(Command{Act: Write, Entries: []Entry{{Key: KeyBP, Text: "148"}}}, "systolic/diastolic")
	check(Command{Act: Write, Entries: []Entry{{Key: "mood", Text: "1"}}}, "no box")
	check(Command{Act: Write, Entries: []Entry{{Key: KeySymptoms, Text: "a\x00b"}}}, "nothing to write")
	check(Command{Act: Write, Entries: []Entry{{Key: KeySymptoms, Text: "a\xffb"}}}, "nothing to write")
	check(Command{Act: Write, Entries: []Entry{{Key: KeySymptoms, Text: "a\u202eb"}}}, "nothing to write")
}

// 5 kp for 0.5 is possible: it is obeyed, and the person reacts.
func TestAWrongLoadIsObeyed(t *testing.T) {
	s := begin(t, "thursday-three", 4)
	toStage(t, s, 5)
	spoke := false
	for range 40 {
		l, err := s.Do(Command{Act: Wait, Seconds: 20})
		if err != nil {
			break
		}
		for _, e := range l.Events {
			if said, ok := e.Fact.(Said); ok && said.Unasked {
				spoke = true
			}
		}
	}
	if !spoke {
		t.Error("nobody said a word at 5 kp")
	}
}

// What nobody could fail to notice ends a command at its second, and what was gained so far is returned.
func TestUnaskedSpeechEndsACount(t *testing.T) {
	cut := 0
	for seed := range scenarios.Seed(20) {
		s := begin(t, "thursday-three", seed)
		toStage(t, s, 2)
		for range 40 {
			l, err := s.Do(Command{Act: Count, Seconds: 60})
			if err != nil {
				break
			}
			if f, ok := l.Events[len(l.Events)-1].Fact.(PulseFelt); ok && f.CutShort {
				cut++
				if f.Seconds >= 60 || l.AtS != f.FromS+f.Seconds && f.Seconds > 0 {
					t.Errorf("seed %d: cut short after %d s, clock %d from %d", seed, f.Seconds, l.AtS, f.FromS)
				}
				break
			}
		}
	}
	if cut < 5 {
		t.Errorf("%d of 20 counts were cut short by speech, want some", cut)
	}
}

// Two people who differ only in what goes wrong later are the same, to the byte, until then.
func TestTheSameUntilSomethingHappens(t *testing.T) {
	for seed := range scenarios.Seed(15) {
		c, err := scenarios.Load("friday-nine")
		if err != nil {
			t.Fatal(err)
		}
		ill := c.Draw(seed)
		well := ill
		well.Case.Ills = nil
		h := NewHeader(ill, json.RawMessage(`{}`), "", "drill", false)
		a, b := Begin(h, ill), Begin(h, well)
		for _, cmd := range []Command{{Act: Greet}, {Act: Ask, What: "health"}, {Act: Cuff, What: "adult"}, {Act: Rest, Seconds: 300}, {Act: Count, Seconds: 30},
			{Act: Pressure, PumpMmHg: 180, ValveMmHgS: 3}, {Act: Seat, What: "cycle"}, {Act: Metronome, CadenceRPM: 50}, {Act: Pedal}, {Act: Wait, Seconds: 120}} {
			la, lb := do(t, a, cmd)[0], do(t, b, cmd)[0]
			ra, _ := EncodeLine(la)
			rb, _ := EncodeLine(lb)
			if !bytes.Equal(ra, rb) {
				t.Fatalf("seed %d, %s: %s\n%s", seed, cmd.Act, ra, rb)
			}
		}
		va, _ := json.Marshal(a.State().View())
		vb, _ := json.Marshal(b.State().View())
		if !bytes.Equal(va, vb) {
			t.Errorf("seed %d: the views differ", seed)
		}
	}
}

func TestViewIsAnAllowList(t *testing.T) {
	var got []string
	for i, v := 0, reflect.TypeOf(View{}); i < v.NumField(); i++ {
		got = append(got, v.Field(i).Name)
	}
	sort.Strings(got)
	want := "ClockS CuffOn Items MetronomeRPM Pedalling Phase PhaseClockS ResistanceKp Screening Stage Subject Where"
	if strings.Join(got, " ") != want {
		t.Errorf("the view shows %v, want %s: may a student see what is new?", got, want)
	}
	for _, f := range reflect.VisibleFields(reflect.TypeOf(Subject{})) {
		if !strings.Contains("Name Sex AgeY Work", f.Name) {
			t.Errorf("the subject shows %s", f.Name)
		}
	}
}

// randomCommand is legal or not, sensible or not.
func randomCommand(r *rand.Rand) Command {
	all := []Command{
		{Act: Greet}, {Act: Ask, What: "health"}, {Act: Ask, What: "symptoms"}, {Act: Ask, What: "exertion"}, {Act: Look}, {Act: Check, What: "brake"},
		{Act: Check, What: "cadence"}, {Act: Cuff, What: "adult"}, {Act: Seat, What: "cycle"}, {Act: Seat, What: "chair"}, {Act: Pedal},
		{Act: Metronome, CadenceRPM: 50}, {Act: Stage, ResistanceKp: 0.5}, {Act: Stage, ResistanceKp: 5}, {Act: Resistance, ResistanceKp: 1},
		{Act: Extend}, {Act: Count, Seconds: 15}, {Act: Count, Seconds: -1}, {Act: Time, Beats: 30}, {Act: Pressure, PumpMmHg: 160, ValveMmHgS: 5},
		{Act: Wait, Seconds: 40}, {Act: Wait, Seconds: 200}, {Act: Coach}, {Act: CoolDown, ResistanceKp: 0.5}, {Act: Stop}, {Act: Call, What: "instructor"},
		{Act: Write, Entries: []Entry{{Key: KeyHR, Text: "120"}}}, {Act: Strike, Entry: 1}, {Act: Release}, {Act: HandIn}, {Act: Decide, What: "test"},
	}
	return all[r.IntN(len(all))]
}

// Whatever is done: replay equals live, time never runs backwards, nothing of the truth stands in an event before the end.
func TestReplayEqualsLive(t *testing.T) {
	ids := scenarios.IDs()
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(rt, "commands")
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "choices"), 1))
		id := rapid.SampledFrom(ids).Draw(rt, "case")
		s := begin(t, id, scenarios.Seed(rapid.IntRange(0, 50).Draw(rt, "seed")))
		var lines []Line
		clock := 0
		for range n {
			l, err := s.Do(randomCommand(r))
			if err != nil {
				continue
			}
			if l.AtS < clock {
				rt.Fatalf("the clock runs back from %d to %d", clock, l.AtS)
			}
			clock = l.AtS
			lines = append(lines, l)
		}
		h := s.State().Header
		again, err := Rebuild(h, lines)
		if err != nil {
			rt.Fatal(err)
		}
		if !reflect.DeepEqual(again, s.State()) {
			rt.Fatal("the fold of the lines is not the live state")
		}
		if _, err := Resimulate(h, s.Subject(), lines); err != nil {
			rt.Fatal(err)
		}
		for i, l := range lines {
			raw, err := EncodeLine(l)
			if err != nil {
				rt.Fatal(err)
			}
			back, err := DecodeLine(raw)
			if err != nil {
				rt.Fatalf("line %d: %v", i, err)
			}
			twice, err := EncodeLine(back)
			if err != nil || !bytes.Equal(raw, twice) {
				rt.Fatalf("line %d does not come back: %s\n%s", i, raw, twice)
			}
			if l.Command.Act != HandIn {
				for _, word := range []string{"true_", "spoiler", "right_act", "angina", "pressure_fall", "chest_discomfort"} {
					if bytes.Contains(raw, []byte(word)) {
						rt.Fatalf("line %d tells the truth (%s): %s", i, word, raw)
					}
				}
			}
		}
	})
}

func FuzzRoundTrip(f *testing.F) {
	s := begin(f, "uneventful", 1)
	for _, l := range toStage(f, s, 0.5) {
		raw, err := EncodeLine(l)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(raw)
	}
	f.Fuzz(func(t *testing.T, raw []byte) {
		l, err := DecodeLine(raw)
		if err != nil {
			return
		}
		once, err := EncodeLine(l)
		if err != nil {
			t.Fatalf("read, but cannot be written: %v", err)
		}
		back, err := DecodeLine(once)
		if err != nil {
			t.Fatalf("written, but cannot be read: %v\n%s", err, once)
		}
		twice, err := EncodeLine(back)
		if err != nil || !bytes.Equal(once, twice) {
			t.Fatalf("%s\n%s", once, twice)
		}
	})
}

// file writes an attempt as its file stands.
func file(t testing.TB, h Header, lines []Line) []byte {
	t.Helper()
	raw, err := EncodeHeader(h)
	if err != nil {
		t.Fatal(err)
	}
	out := append(append([]byte{}, raw...), '\n')
	for _, l := range lines {
		l.Prev = Sum(raw)
		if raw, err = EncodeLine(l); err != nil {
			t.Fatal(err)
		}
		out = append(append(out, raw...), '\n')
	}
	return out
}

func TestReadNamesTheFirstLineThatDoesNotHold(t *testing.T) {
	s := begin(t, "uneventful", 3)
	lines := toStage(t, s, 0.5)
	whole := file(t, s.State().Header, lines)
	if a := Read(whole); a.Damage != nil || len(a.Lines) != len(lines) || len(a.Unfinished) != 0 {
		t.Fatalf("a whole file: %v, %d lines", a.Damage, len(a.Lines))
	}
	rows := bytes.SplitAfter(whole, []byte("\n"))
	without := append(append([]byte{}, bytes.Join(rows[:3], nil)...), bytes.Join(rows[4:], nil)...)
	for _, c := range []struct {
		name  string
		data  []byte
		line  int
		says  string
		holds int
	}{
		{"empty", nil, 1, "empty", 0},
		{"foreign", []byte("{\"a\":1}\n"), 1, "not the first line", 0},
		{"binary", []byte{0x7f, 'E', 'L', 'F', 0, '\n', 1, 2}, 1, "not the first line", 0},
		{"text", []byte("hello\n"), 1, "not the first line", 0},
		{"no newline at all", rows[0][:len(rows[0])-1], 1, "never finished", 0},
		{"edited", bytes.Replace(whole, []byte(`"seconds":120`), []byte(`"seconds":121`), 1), 9, "was changed", 7},
		{"a line taken out", without, 4, "was changed", 2},
		{"unknown event", append(append([]byte{}, whole...), []byte(`{"prev":"x","at_s":1,"cmd":{"act":"look"},"events":[{"e":"moon/1","at_s":1,"f":{}}]}`+"\n")...), len(lines) + 2, "not a kind", len(lines)},
		{"unknown field", append(append([]byte{}, whole...), []byte(`{"prev":"x","at_s":1,"cmd":{"act":"look"},"events":[],"x":1}`+"\n")...), len(lines) + 2, "does not belong there", len(lines)},
	} {
		a := Read(c.data)
		if a.Damage == nil || a.Damage.Line != c.line || !strings.Contains(a.Damage.Why, c.says) || len(a.Lines) != c.holds {
			t.Errorf("%s: %v with %d good lines; want line %d, %q, %d", c.name, a.Damage, len(a.Lines), c.line, c.says, c.holds)
		}
	}
	cut := Read(whole[:len(whole)-5])
	if cut.Damage != nil || len(cut.Lines) != len(lines)-1 || len(cut.Unfinished) == 0 {
		t.Errorf("a last line without newline: %v, %d lines", cut.Damage, len(cut.Lines))
	}
	lines[3].Events = append([]Event{}, lines[3].Events...)
	lines[3].Events[0] = Event{AtS: lines[3].Events[0].AtS, Fact: Seated{Where: "lying"}}
	if _, err := Resimulate(s.State().Header, s.Subject(), lines); err == nil || !strings.Contains(err.Error(), "line 5") {
		t.Errorf("an event that the subject does not give: %v", err)
	}
}

func TestRebuildRefusesWhatCannotFollow(t *testing.T) {
	at := func(clock int, facts ...Event) Line {
		return Line{AtS: clock, Command: Command{Act: Look}, Events: facts}
	}
	h := begin(t, "uneventful", 1).State().Header
	written := Event{AtS: 5, Fact: Written{Item: 1, Key: KeyHR, Text: "72"}}
	for _, c := range []struct {
		name  string
		lines []Line
		says  string
	}{
		{"clock", []Line{at(5), at(4)}, "line 3: the clock runs back"},
		{"event after the line", []Line{at(5, Event{AtS: 6, Fact: Coached{}})}, "line 2: an event at 6 s"},
		{"event before the line", []Line{at(5), at(9, Event{AtS: 4, Fact: Coached{}})}, "line 3: an event at 4 s"},
		{"entry numbers", []Line{at(5, Event{AtS: 5, Fact: Written{Item: 2, Key: KeyHR, Text: "72"}})}, "line 2: sheet entry 2"},
		{"nothing to strike", []Line{at(5, Event{AtS: 5, Fact: Struck{Item: 1}})}, "line 2: sheet entry 1 is struck out"},
		{"struck twice", []Line{at(5, written), at(6, Event{AtS: 6, Fact: Struck{Item: 1}}), at(7, Event{AtS: 7, Fact: Struck{Item: 1}})}, "line 4: sheet entry 1 is struck out"},
		{"after the end", []Line{at(5, Event{AtS: 5, Fact: HandedIn{}}), at(6)}, "line 3: something follows"},
	} {
		if _, err := Rebuild(h, c.lines); err == nil || !strings.HasPrefix(err.Error(), c.says) {
			t.Errorf("%s: %v, want %q", c.name, err, c.says)
		}
	}
	if _, err := Rebuild(h, []Line{at(5, written), at(6, Event{AtS: 6, Fact: Struck{Item: 1}})}); err != nil {
		t.Errorf("what can follow: %v", err)
	}
}

func TestClosingTellsTheTruth(t *testing.T) {
	s := begin(t, "thursday-three", 2)
	toStage(t, s, 0.5)
	do(t, s, Command{Act: Wait, Seconds: 165}, Command{Act: Count, Seconds: 15}, Command{Act: CoolDown, ResistanceKp: 0.5}, Command{Act: Wait, Seconds: 60}, Command{Act: Stop}, Command{Act: Release})
	l := do(t, s, Command{Act: HandIn})[0]
	h := l.Events[0].Fact.(HandedIn)
	if h.Truth.VO2MaxRel <= 0 || h.Truth.CaseID != "thursday-three" || len(h.Minutes) != 3 || len(h.Counts) != 1 {
		t.Errorf("closing: %+v", h)
	}
	if m := h.Minutes[2]; m.HRbpm < 60 || m.HRbpm > 190 || m.WorkKgm < 130 || m.WorkKgm > 170 {
		t.Errorf("minute 3 of stage 1: %+v", m)
	}
	if _, err := s.Do(Command{Act: Look}); err == nil {
		t.Error("something could be done after handing in")
	}
}

func BenchmarkRebuild(b *testing.B) {
	s := begin(b, "uneventful", 1)
	lines := toStage(b, s, 0.5)
	for range 200 {
		lines = append(lines, do(b, s, Command{Act: Count, Seconds: 15}, Command{Act: Ask, What: "symptoms"})...)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Rebuild(s.State().Header, lines); err != nil {
			b.Fatal(err)
		}
	}
}

// A first line of which a part is missing is none, and says which.
func TestFirstLineWithAPartMissing(t *testing.T) {
	whole := begin(t, "uneventful", 1).State().Header
	if raw, err := EncodeHeader(whole); err != nil {
		t.Fatal(err)
	} else if _, err := DecodeHeader(raw); err != nil {
		t.Fatalf("the whole one: %v", err)
	}
	for says, without := range map[string]func(*Header){
		"the model":            func(h *Header) { h.Model = 0 },
		"the name of the case": func(h *Header) { h.Case = "" },
		"the hash of the case": func(h *Header) { h.CaseHash = "" },
		"who the person is":    func(h *Header) { h.Subject.Name = "" },
		"the rulebook":         func(h *Header) { h.Rulebook = json.RawMessage("null") },
		"the mode":             func(h *Header) { h.Mode = "" },
	} {
		h := whole
		without(&h)
		raw, err := EncodeHeader(h)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := DecodeHeader(raw); err == nil || !strings.Contains(err.Error(), says) || !strings.HasSuffix(err.Error(), "missing") {
			t.Errorf("without %s: %v", says, err)
		}
	}
}
