package grader_test

import (
	"fmt"
	"math"

	"kilopond/grader"
	"kilopond/scenarios"
)

// The reference proctor works a test by the house's rules, and loses nothing.
func ExampleGrade() {
	house := grader.Default()
	c, err := scenarios.Load("uneventful")
	if err != nil {
		fmt.Println(err)
		return
	}
	played, err := grader.Play(house, c.Draw(7))
	if err != nil {
		fmt.Println(err)
		return
	}
	r := grader.Grade(house, grader.ReadState(house, played.Session.State()))
	fmt.Printf("%.0f %% of the points, passed: %v, findings: %d\n", *r.Percent, r.Passed, len(r.Findings))
	fmt.Println("within 1 % of the worked answer:", math.Abs(*r.Margins.A.Percent) < 1)
	// Output:
	// 100 % of the points, passed: true, findings: 0
	// within 1 % of the worked answer: true
}
