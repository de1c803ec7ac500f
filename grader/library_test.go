package grader

import (
	"sync"
	"testing"

	"kilopond/scenarios"
)

// libraryPeople is how many people of each case are played: with fewer than 12 of 20 doing what the case says, it is doubted; what is nearer to the
// line than that `kilopond case check` tells with more people.
const libraryPeople = 20

// knownDoubts are cases that are known to be doubted, and why; a case that is not any more must leave the list.
var knownDoubts = map[string]string{}

// Every case of the library is played, and what comes out is what it says; the proctor hardly ever loses a point over it.
func TestLibraryDoesWhatItSays(t *testing.T) {
	all, err := scenarios.Library()
	if err != nil {
		t.Fatal(err)
	}
	book := Default()
	studies := make([]CaseStudy, len(all))
	faults := make([]error, len(all))
	var wg sync.WaitGroup
	next := make(chan int)
	for range 2 {
		wg.Go(func() {
			for i := range next {
				studies[i], faults[i] = StudyCase(book, all[i], 0, libraryPeople)
			}
		})
	}
	for i := range all {
		next <- i
	}
	close(next)
	wg.Wait()
	charged := 0
	for i, s := range studies {
		if faults[i] != nil {
			t.Errorf("%s: %v", all[i].ID, faults[i])
			continue
		}
		why, known := knownDoubts[all[i].ID]
		for _, d := range s.Doubts {
			if !known {
				t.Errorf("%s: %s", all[i].ID, d)
			}
		}
		if known && len(s.Doubts) == 0 {
			t.Errorf("%s is not doubted any more (%s): take it off the list", all[i].ID, why)
		}
		charged += len(s.Charged)
		if len(s.Charged) > 0 {
			t.Logf("%s: charged %v", all[i].ID, s.Charged)
		}
	}
	// About one in a hundred people brings a moment that no proctor gets quite right: see the log.
	if most := len(all) * libraryPeople / 100; charged > most {
		t.Errorf("the reference proctor was charged %d times by %d people, want at most %d", charged, len(all)*libraryPeople, most)
	}
}
