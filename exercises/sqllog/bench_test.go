package sqllog

import (
	"context"
	"fmt"
	"path/filepath"
	"sync"
	"testing"

	"kilopond/exercises/logtest"
)

// writers is how many students write at once.
const writers = 16

// BenchmarkAppend is acknowledged commands of several writers in one class file; the budget is 2 000 a second.
func BenchmarkAppend(b *testing.B) {
	ctx := context.Background()
	for _, processes := range []int{1, 2} { // a store each, as two processes have it
		b.Run(fmt.Sprintf("stores=%d", processes), func(b *testing.B) {
			path := filepath.Join(b.TempDir(), "class.db")
			h := logtest.Session(b, 5).State().Header
			var logs []*Log
			for range processes {
				s := made(b, path)
				for range writers / processes {
					l, err := s.Begin(ctx, Place{fmt.Sprintf("%d.jsonl", len(logs)), "anna"}, h)
					if err != nil {
						b.Fatal(err)
					}
					logs = append(logs, l)
				}
			}
			b.ResetTimer()
			var all sync.WaitGroup
			for _, l := range logs {
				all.Go(func() {
					for n := range b.N / writers {
						if _, err := l.Append(n, look(n)); err != nil {
							b.Error(err)
							return
						}
					}
				})
			}
			all.Wait()
			b.ReportMetric(float64(b.N/writers*writers)/b.Elapsed().Seconds(), "commands/s")
		})
	}
}
