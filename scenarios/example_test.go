package scenarios_test

import (
	"fmt"

	"kilopond/scenarios"
)

// The same case and seed bring the same person; the truth is kept apart from what they tell.
func ExampleCase_Draw() {
	c, err := scenarios.Load("uneventful")
	if err != nil {
		fmt.Println(err)
		return
	}
	s := c.Draw(7)
	fmt.Printf("%s, %s, %.0f, %s\n", s.Name.Name, s.Traits.Sex, float64(s.Traits.Age), s.Name.Work)
	fmt.Println(s.Greeting)
	fmt.Println(c.Draw(8).Name.Name)
	// Output:
	// Oduya Merrin, M, 24, drives a night bus
	// Hello. I'm down for the bike thing?
	// Wen Abernethie
}
