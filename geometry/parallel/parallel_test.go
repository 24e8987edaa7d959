package parallel

import (
	"sync/atomic"
	"testing"
)

func TestEachPieceIsDoneOnce(t *testing.T) {
	for _, workers := range []int{0, 1, 2, 7, 100} {
		for _, n := range []int{0, 1, 3, 1000} {
			done := make([]atomic.Int32, n)
			Each(workers, n, func(i int) { done[i].Add(1) })
			for i := range done {
				if c := done[i].Load(); c != 1 {
					t.Errorf("%d workers, piece %d of %d: done %d times", workers, i, n, c)
				}
			}
		}
	}
}

func TestAPanicComesToTheCaller(t *testing.T) {
	for _, workers := range []int{1, 4} {
		var begun atomic.Int32
		func() {
			defer func() {
				if r := recover(); r != "broken" {
					t.Errorf("%d workers: recovered %v", workers, r)
				}
			}()
			Each(workers, 1000, func(i int) {
				begun.Add(1)
				panic("broken")
			})
			t.Errorf("%d workers: no panic", workers)
		}()
		if n := int(begun.Load()); n > max(1, workers) {
			t.Errorf("%d workers began %d pieces after the first panic", workers, n)
		}
	}
}
