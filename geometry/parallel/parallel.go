// Package parallel shares work of equal pieces among the cores. It knows nothing of the work.
package parallel

import (
	"sync"
	"sync/atomic"
)

// Each calls f for 0 … n−1 from as many goroutines as there are workers, in no order, and returns when all is done. Where f
// panics, no further piece is begun, and Each panics with the same value on the caller's goroutine: there it can be recovered,
// while a panic that leaves a worker ends the program.
func Each(workers, n int, f func(i int)) {
	workers = min(workers, n)
	if workers < 2 {
		for i := range n {
			f(i)
		}
		return
	}
	var next atomic.Int64
	var fault atomic.Pointer[any]
	var wait sync.WaitGroup
	for range workers {
		wait.Go(func() {
			defer func() {
				if r := recover(); r != nil {
					fault.CompareAndSwap(nil, &r)
				}
			}()
			for fault.Load() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				f(i)
			}
		})
	}
	wait.Wait()
	if r := fault.Load(); r != nil {
		panic(*r)
	}
}
