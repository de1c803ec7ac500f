// Package inorder does many like pieces of work on all cores and hands the results on in the order of their index, so that what comes out does
// not depend on how many cores there are. It holds few results at a time, whatever their number.
package inorder

import (
	"context"
	"runtime"
	"sync"
)

// Each works pieces 0 to n−1 and calls take with each result, in order, from one goroutine. The first error, of work, of take or of the
// context, ends it; pieces under way are awaited.
func Each[T any](ctx context.Context, n int, work func(i int) (T, error), take func(i int, v T) error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	workers := min(runtime.GOMAXPROCS(0), n)
	type piece struct {
		value T
		err   error
	}
	// A slot is a promise of one result. Slots wait in order in the queue, whose length bounds how far the workers run ahead.
	type job struct {
		i    int
		slot chan piece
	}
	jobs := make(chan job)
	queue := make(chan chan piece, 4*workers)
	var crew sync.WaitGroup
	for range workers {
		crew.Add(1)
		go func() {
			defer crew.Done()
			for j := range jobs {
				v, err := work(j.i)
				j.slot <- piece{v, err}
			}
		}()
	}
	go func() {
		defer close(queue)
		defer close(jobs)
		for i := range n {
			slot := make(chan piece, 1)
			select {
			case queue <- slot:
			case <-ctx.Done():
				return
			}
			select {
			case jobs <- job{i, slot}:
			case <-ctx.Done():
				slot <- piece{err: ctx.Err()}
				return
			}
		}
	}()
	var failed error
	i := 0
	for slot := range queue {
		if failed != nil {
			continue
		}
		p := <-slot
		if p.err == nil {
			p.err = take(i, p.value)
		}
		if p.err != nil {
			failed = p.err
			cancel()
		}
		i++
	}
	crew.Wait()
	if failed == nil {
		failed = ctx.Err()
	}
	return failed
}
