package exercises

import (
	"bytes"
	"encoding/json"
	"errors"
	"testing"

	"kilopond/physiology/protocol"
	"kilopond/scenarios"
)

func smallPlan(t testing.TB) Plan {
	t.Helper()
	one, err := scenarios.Load("uneventful")
	if err != nil {
		t.Fatal(err)
	}
	return Plan{Terms: testTerms(), Cases: []scenarios.Case{one}, Rules: protocol.Default()}
}

// ownPlan is a small one with a case of the instructor's own.
func ownPlan(t testing.TB) Plan {
	t.Helper()
	plan := smallPlan(t)
	plan.Cases = append(plan.Cases, ownCase(t, "ones-own", ""))
	return plan
}

// No edit of a pack goes unseen, wherever it is.
func TestEveryEditOfAPackIsSeen(t *testing.T) {
	a, packs := assign(t, ownPlan(t), testClass(1))
	raw, err := packs[0].Encode()
	if err != nil {
		t.Fatal(err)
	}
	code := a.Students[0].Code
	for i := range len(raw) - 1 {
		wrong := bytes.Clone(raw)
		wrong[i] ^= 1
		p, err := ReadPack(wrong)
		if err == nil {
			_, err = p.Open(code)
		}
		if err == nil {
			t.Fatalf("byte %d, %q for %q, goes unseen", i, wrong[i], raw[i])
		}
	}
}

// What can be read is what would be written.
func FuzzPack(f *testing.F) {
	_, packs := assign(f, ownPlan(f), testClass(1))
	raw, err := packs[0].Encode()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(raw)
	f.Add([]byte(`{"kilopond":"pack/1"}`))
	f.Add([]byte(`{"kilopond":"assignment/1"}`))
	f.Add([]byte(`{`))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := ReadPack(data)
		if err != nil {
			return
		}
		again, err := p.Encode()
		if err != nil || !bytes.Equal(bytes.TrimRight(again, "\n"), bytes.TrimRight(bytes.TrimPrefix(data, []byte("\ufeff")), "\r\n")) {
			t.Fatalf("%q is read and written as %q: %v", data, again, err)
		}
		if _, err := p.Open("0000-0000"); err == nil {
			t.Fatal("a pack opens with a code of nobody")
		}
	})
}

// Whatever is read as an instructor's file can be written and read again.
func FuzzAssignment(f *testing.F) {
	a, _ := assign(f, ownPlan(f), testClass(2))
	raw, err := a.Encode()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(raw)
	f.Add([]byte(`{"kilopond":"assignment/1","students":[]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		a, err := ReadAssignment(data)
		if err != nil {
			return
		}
		again, err := a.Encode()
		if err != nil {
			t.Fatal(err)
		}
		b, err := ReadAssignment(again)
		if err != nil {
			t.Fatalf("written and not read: %v", err)
		}
		x, _ := json.Marshal(a)
		y, _ := json.Marshal(b)
		if !bytes.Equal(x, y) {
			t.Fatal("it changes on the way")
		}
	})
}

func TestPacksSayWhatElseAFileIs(t *testing.T) {
	a, _ := assign(t, smallPlan(t), testClass(1))
	own, err := a.Encode()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := ReadPack(own); err == nil || errors.Is(err, ErrEdited) {
		t.Error(err)
	}
	head, err := EncodeHeader(Header{Format: Format})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := ReadPack(head); err == nil || errors.Is(err, ErrEdited) {
		t.Error(err)
	}
}

// The header of an attempt says its place, and the times of its lines never run back.
func TestWallTimeOfLines(t *testing.T) {
	a, packs := assign(t, smallPlan(t), testClass(1))
	c, err := scenarios.Load("uneventful")
	if err != nil {
		t.Fatal(err)
	}
	h := NewHeader(c.Draw(1), json.RawMessage(`{}`), "hash", "drill", false)
	h.Pack = &PackPlace{
		Hash: packs[0].Hash(), Assignment: a.Assignment, Code: a.Students[0].Code, Subject: 1, Try: 1, BegunAt: testClock, Report: ReportHeld,
	}
	write := func(walls ...int) *Attempt {
		raw, err := EncodeHeader(h)
		if err != nil {
			t.Fatal(err)
		}
		file := append(bytes.Clone(raw), '\n')
		for _, w := range walls {
			line, err := EncodeLine(Line{Prev: Sum(raw), WallS: w, Command: Command{Act: Look}})
			if err != nil {
				t.Fatal(err)
			}
			raw = line
			file = append(append(file, line...), '\n')
		}
		return Read(file)
	}
	if x := write(0, 5, 5, 70); x.Damage != nil || x.WallS() != 70 || x.LastAt() != testClock.Add(70e9) {
		t.Errorf("%v %d", x.Damage, x.WallS())
	}
	if x := write(0, 5, 4); x.Damage == nil || x.Damage.Line != 4 {
		t.Errorf("%v", x.Damage)
	}
	h.Pack.Code = "nobody"
	if x := write(0); x.Damage == nil || x.Damage.Line != 1 {
		t.Errorf("%v", x.Damage)
	}
	h.Pack = nil
	if x := write(3); x.Damage == nil {
		t.Error("practice keeps a wall time")
	}
}
