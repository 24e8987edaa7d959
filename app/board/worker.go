package board

import (
	"sync"

	"hedgereach/app/recovery"
)

// A worker does one job after another away from the window's goroutine. Only the newest job that waits is kept: what it
// would show replaces all before. It ends when it has nothing to do, so that an idle board costs nothing and needs no closing.
type worker[J any] struct {
	do func(J)

	mu      sync.Mutex
	next    *J
	running bool
}

// give hands in a job.
func (w *worker[J]) give(j J) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.next = &j
	if !w.running {
		w.running = true
		go w.run()
	}
}

// busy tells whether a job is under way or waits.
func (w *worker[J]) busy() bool {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.running
}

func (w *worker[J]) run() {
	for {
		w.mu.Lock()
		j := w.next
		w.next = nil
		if j == nil {
			w.running = false
			w.mu.Unlock()
			return
		}
		w.mu.Unlock()
		w.safely(*j)
	}
}

// safely does a job. A picture that cannot be painted must not take the window, and the grower's unsaved work, with it.
func (w *worker[J]) safely(j J) {
	_ = recovery.Guard(func() { w.do(j) })
}
