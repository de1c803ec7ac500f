package scenarios

import "testing"

// Budget: the whole library loaded and checked in 50 ms.
func BenchmarkLibrary(b *testing.B) {
	for b.Loop() {
		all, err := Library()
		if err != nil || len(all) < 70 {
			b.Fatal(len(all), err)
		}
	}
}

// One person drawn of an ordinary case, and of one that chooses people by their first stage.
func BenchmarkDraw(b *testing.B) {
	for _, id := range []string{"uneventful", "monday-five"} {
		c, err := Load(id)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(id, func(b *testing.B) {
			seed := Seed(0)
			for b.Loop() {
				c.Draw(seed)
				seed++
			}
		})
	}
}
