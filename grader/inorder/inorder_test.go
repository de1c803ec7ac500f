package inorder

import (
	"context"
	"errors"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"
	"time"
)

func TestResultsComeInOrder(t *testing.T) {
	for _, cores := range []int{1, 2, 8} {
		before := runtime.GOMAXPROCS(cores)
		var got []int
		err := Each(t.Context(), 500, func(i int) (int, error) {
			time.Sleep(time.Duration(rand.IntN(50)) * time.Microsecond)
			return i * i, nil
		}, func(i, v int) error {
			if v != i*i {
				t.Errorf("piece %d is %d", i, v)
			}
			got = append(got, i)
			return nil
		})
		runtime.GOMAXPROCS(before)
		if err != nil || len(got) != 500 || !slices.IsSorted(got) {
			t.Errorf("%d cores: %d results, in order %v, %v", cores, len(got), slices.IsSorted(got), err)
		}
	}
	if err := Each(t.Context(), 0, func(int) (int, error) { return 0, errors.New("worked") }, nil); err != nil {
		t.Errorf("no pieces: %v", err)
	}
}

func TestTheFirstErrorEndsIt(t *testing.T) {
	broken := errors.New("broken")
	worked, taken := make(chan int, 100000), 0
	err := Each(t.Context(), 100000, func(i int) (int, error) {
		worked <- i
		if i == 40 {
			return 0, broken
		}
		return i, nil
	}, func(int, int) error { taken++; return nil })
	if !errors.Is(err, broken) || taken != 40 || len(worked) > 200 {
		t.Errorf("%v after %d results, %d pieces worked", err, taken, len(worked))
	}
	if err := Each(t.Context(), 1000, func(i int) (int, error) { return i, nil }, func(i, _ int) error {
		if i == 7 {
			return broken
		}
		return nil
	}); !errors.Is(err, broken) {
		t.Errorf("an error of the taker: %v", err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	err = Each(ctx, 100000, func(i int) (int, error) {
		if i == 50 {
			cancel()
		}
		return i, nil
	}, func(int, int) error { return nil })
	if !errors.Is(err, context.Canceled) {
		t.Errorf("called off: %v", err)
	}
}
