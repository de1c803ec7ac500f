package main

import "fmt"

// begunTwice names attempts that differ and fill one place of one pack: it was begun again, on another computer or after the first was put away. The
// one that was begun first counts, handed in or not; which is the true one is the instructor's to decide, by the receipt that was given.
func begunTwice(files []marked) {
	at := map[string][]int{}
	for i, f := range files {
		if f.graded && f.subject > 0 {
			key := fmt.Sprintf("%s/%03d/%03d", f.code, f.subject, f.try)
			at[key] = append(at[key], i)
		}
	}
	for _, key := range sortedKeys(at) {
		first := at[key][0]
		for _, i := range at[key] {
			if files[i].header.Pack.BegunAt.Before(files[first].header.Pack.BegunAt) {
				first = i
			}
		}
		for _, i := range at[key] {
			// The same beginning is the same attempt, perhaps copied before its end.
			if f := &files[i]; !f.header.Pack.BegunAt.Equal(files[first].header.Pack.BegunAt) {
				f.say("begun-twice", 0, "place %d, try %d was begun before, in %s (receipt %s); this one has the receipt %s: ask which was given first",
					f.subject, f.try, files[first].path, files[first].receipt, f.receipt)
				if f.why == "" {
					f.why = "begun twice"
				}
			}
		}
	}
}
