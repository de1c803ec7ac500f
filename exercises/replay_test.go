package exercises

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"reflect"
	"testing"

	"kilopond/scenarios"
)

// playedFile is an attempt as a file.
func playedFile(t testing.TB) ([]byte, scenarios.Scenario) {
	t.Helper()
	c, err := scenarios.Load("uneventful")
	if err != nil {
		t.Fatal(err)
	}
	sc := c.Draw(3)
	s := Begin(NewHeader(sc, json.RawMessage(`{"name":"x"}`), "00", "drill", false), sc)
	raw, err := EncodeHeader(s.State().Header)
	if err != nil {
		t.Fatal(err)
	}
	data := append(raw, '\n')
	for _, c := range []Command{
		{Act: Greet}, {Act: Ask, What: "health"}, {Act: Cuff, What: "adult"}, {Act: Seat, What: "chair"}, {Act: Rest, Seconds: 60},
		{Act: Count, Seconds: 15}, {Act: Pressure, PumpMmHg: 180, ValveMmHgS: 3},
		{Act: Write, Entries: []Entry{{Key: KeySymptoms, Text: `none <&> ","events":[ “so”`}}}, {Act: Look}, {Act: Decide, What: "refuse"}, {Act: Release}, {Act: HandIn},
	} {
		l, err := s.Do(c)
		if err != nil {
			t.Fatalf("%s: %v", c.Act, err)
		}
		l.Prev = Sum(raw)
		if raw, err = EncodeLine(l); err != nil {
			t.Fatal(err)
		}
		data = append(append(data, raw...), '\n')
	}
	return data, sc
}

// Played and read an attempt is the same, and what is encoded by hand is what the wire types say.
func TestReadPlayedIsReadAndPlayedAgain(t *testing.T) {
	data, sc := playedFile(t)
	subject := func(Header) (scenarios.Scenario, error) { return sc, nil }
	want := Read(data)
	if want.Damage != nil {
		t.Fatal(want.Damage)
	}
	for _, tail := range []string{"", `{"prev":"`} {
		a, s, ok := ReadPlayed(append(bytes.Clone(data), tail...), subject)
		if !ok {
			t.Fatal("an attempt that holds was not played")
		}
		if !reflect.DeepEqual(a.Lines, want.Lines) || !reflect.DeepEqual(a.Raw, want.Raw) || !reflect.DeepEqual(a.Header, want.Header) || a.Last() != want.Last() || string(a.Unfinished) != tail {
			t.Error("played, the attempt differs from what is read")
		}
		state, err := Rebuild(want.Header, want.Lines)
		if err != nil || !reflect.DeepEqual(state.View(), s.State().View()) || !reflect.DeepEqual(state.Events, s.State().Events) || !s.State().Closed {
			t.Errorf("the states differ: %v", err)
		}
	}
	for i, l := range want.Lines {
		w := wireLine{Prev: l.Prev, AtS: l.AtS, WallS: l.WallS, Command: l.Command, Events: make([]wireEvent, len(l.Events))}
		for k, e := range l.Events {
			raw, err := json.Marshal(e.Fact)
			if err != nil {
				t.Fatal(err)
			}
			w.Events[k] = wireEvent{e.Fact.wireName(), e.AtS, raw}
		}
		raw, err := json.Marshal(w)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(raw, want.Raw[i+1]) {
			t.Errorf("line %d:\n%s\nthe wire types say\n%s", i+2, want.Raw[i+1], raw)
		}
	}
}

// Nothing changed in a file passes: not one byte, not a line left out, said twice, or changed with its chain made to fit.
func TestReadPlayedFindsEveryChange(t *testing.T) {
	data, sc := playedFile(t)
	subject := func(Header) (scenarios.Scenario, error) { return sc, nil }
	rows := bytes.Split(bytes.TrimSuffix(data, []byte("\n")), []byte("\n"))
	last := len(data) - len(rows[len(rows)-1]) - 1 // a change of the last line breaks no chain
	r := rand.New(rand.NewPCG(1, 2))
	for range 400 {
		at := len(rows[0]) + 1 + r.IntN(len(data)-len(rows[0])-2)
		changed := bytes.Clone(data)
		changed[at] ^= byte(1 + r.IntN(127))
		if a, _, ok := ReadPlayed(changed, subject); ok && (at < last || len(a.Raw) == len(rows)) {
			t.Fatalf("byte %d of %d changed from %q to %q, and it passed", at, len(data), data[at], changed[at])
		}
	}
	for i := 1; i < len(rows); i++ {
		left := append(append([][]byte{}, rows[:i]...), rows[i+1:]...)
		if a, _, ok := ReadPlayed(append(bytes.Join(left, []byte("\n")), '\n'), subject); ok && (i < len(rows)-1 || a.Closed()) {
			t.Errorf("without line %d it passed", i+1)
		}
		twice := append(append(append([][]byte{}, rows[:i]...), rows[i]), rows[i:]...)
		if _, _, ok := ReadPlayed(append(bytes.Join(twice, []byte("\n")), '\n'), subject); ok {
			t.Errorf("with line %d twice it passed", i+1)
		}
	}
	forged := Read(data)
	for i, l := range forged.Lines {
		for k, e := range l.Events {
			if f, ok := e.Fact.(PulseFelt); ok {
				f.Tenths = f.Tenths[1:]
				l.Events[k].Fact = f
				forged.Lines[i] = l
			}
		}
	}
	again := append(bytes.Clone(rows[0]), '\n')
	prev := rows[0]
	for _, l := range forged.Lines {
		l.Prev = Sum(prev)
		raw, err := EncodeLine(l)
		if err != nil {
			t.Fatal(err)
		}
		prev, again = raw, append(append(again, raw...), '\n')
	}
	if Read(again).Damage != nil {
		t.Fatal("the forged chain does not hold")
	}
	if _, _, ok := ReadPlayed(again, subject); ok {
		t.Error("a forged reading passed")
	}
	for _, none := range []string{"", "\n", "{}\n", "Dear diary,\n"} {
		if _, _, ok := ReadPlayed([]byte(none), subject); ok {
			t.Errorf("%q passed", none)
		}
	}
}

// Whatever a file holds: what passes by playing passes by reading and playing again, with the same lines.
func FuzzReadPlayed(f *testing.F) {
	data, sc := playedFile(f)
	subject := func(h Header) (scenarios.Scenario, error) {
		if h.Case != sc.Case.ID || h.Seed != sc.Seed {
			return scenarios.Scenario{}, scenarios.ErrNoCase
		}
		return sc, nil
	}
	rows := bytes.SplitAfter(data, []byte("\n"))
	f.Add(data)
	f.Add(bytes.Join(rows[:5], nil))
	f.Add(append(bytes.Join(rows[:3], nil), rows[3][:40]...))
	f.Add([]byte("{}\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		a, s, ok := ReadPlayed(data, subject)
		if !ok {
			return
		}
		read := Read(data)
		if read.Damage != nil {
			t.Fatalf("played, but read: %v", read.Damage)
		}
		if !reflect.DeepEqual(a.Lines, read.Lines) || a.Last() != read.Last() {
			t.Error("played, the lines differ from those that are read")
		}
		if _, err := Resimulate(read.Header, sc, read.Lines); err != nil {
			t.Errorf("played, but not a second time: %v", err)
		}
		if s.State().ClockS < 0 {
			t.Error("the clock stands before the beginning")
		}
	})
}
