package skill

import (
	"reflect"
	"testing"
)

func TestRead(t *testing.T) {
	two := &Item{Boxes: []Box{{"beats", ""}, {"heart rate", "bpm"}}}
	one := &Item{Boxes: []Box{{"load", "kp"}}, None: "it cannot be given"}
	words := &Item{Choices: []Choice{{"next", ""}, {"minute", ""}}}
	for _, c := range []struct {
		it    *Item
		typed string
		want  Answer
		bad   bool
	}{
		{two, "28 112", Answer{Numbers: []float64{28, 112}}, false},
		{two, "28 beats, 112 bpm", Answer{Numbers: []float64{28, 112}}, false},
		{two, "148/72", Answer{Numbers: []float64{148, 72}}, false},
		{two, "28", Answer{Numbers: []float64{28}}, false},
		{two, "28 112 5", Answer{}, true},
		{two, "none", Answer{}, true},
		{one, "1,5 kp", Answer{Numbers: []float64{1.5}}, false},
		{one, "450 kg·m/min", Answer{Numbers: []float64{450}}, false},
		{one, "none", Answer{None: true}, false},
		{one, "−3", Answer{}, true},
		{one, "1e9", Answer{}, true},
		{one, "NaN", Answer{}, true},
		{one, "inf", Answer{}, true},
		{one, "kp", Answer{}, true},
		{one, "", Answer{}, true},
		{words, "next", Answer{Choice: "next"}, false},
		{words, " NEXT ", Answer{Choice: "next"}, false},
		{words, "m", Answer{Choice: "minute"}, false},
		{words, "2", Answer{Choice: "minute"}, false},
		{words, "3", Answer{}, true},
		{words, "go", Answer{}, true},
	} {
		got, problem := c.it.Read(Answer{}, c.typed)
		if (problem != nil) != c.bad || !c.bad && !reflect.DeepEqual(got, c.want) {
			t.Errorf("%q: %+v, %v; want %+v, a problem %v", c.typed, got, problem, c.want, c.bad)
		}
	}
}

// Whatever is typed, it is an answer that can be judged or a problem in words, and a problem changes nothing.
func FuzzTypedAnswers(f *testing.F) {
	for _, s := range []string{"28 112", "148/72", "none", "next", "2", "1,5 kp", "−", "/", ",,;", "1e400", "0x1p-2", "٣", "450kg·m/min", "mi", "\x00"} {
		f.Add(s, uint8(3))
	}
	m := maker(f)
	var items []*Item
	for _, s := range Skills() {
		items = append(items, draw(f, m, s.Name, 3, 1), draw(f, m, s.Name, 3, Levels))
	}
	f.Fuzz(func(t *testing.T, typed string, which uint8) {
		it := items[int(which)%len(items)]
		var a Answer
		next, problem := it.Read(a, typed)
		if problem != nil {
			if problem.What == "" || problem.Hint == "" {
				t.Fatalf("%q: a problem without words", typed)
			}
			if !reflect.DeepEqual(next, a) {
				t.Fatalf("%q: a problem, and yet %+v", typed, next)
			}
			return
		}
		for a = next; !it.Whole(a); {
			if a, problem = it.Read(a, "1"); problem != nil {
				t.Fatalf("%q, then 1: %+v", typed, problem)
			}
		}
		if v := it.Judge(a); !(v.Credit >= 0 && v.Credit <= 1) || v.Right && v.Credit != 1 {
			t.Fatalf("%q is judged %+v", typed, v)
		}
		if a.String() == "" {
			t.Fatalf("%q is kept as nothing", typed)
		}
	})
}
