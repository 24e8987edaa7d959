package recovery

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"sync/atomic"
	"time"

	"github.com/google/uuid"

	"hedgereach/habitat/plan"
)

// caught hears of the faults that guards catch.
var caught atomic.Pointer[func(fault any, stack []byte)]

// OnCaught has f told of each fault that is caught from now on, with the calls that led to it, on whatever goroutine it was.
func OnCaught(f func(fault any, stack []byte)) { caught.Store(&f) }

// Tell tells of a fault that was caught: what recover answered, and debug.Stack.
func Tell(fault any, stack []byte) {
	if f := caught.Load(); f != nil {
		(*f)(fault, stack)
	}
}

// Guard does some work and answers an error, in words for the grower, where a fault of the program's own ended it.
func Guard(work func()) (err error) {
	defer func() {
		if fault := recover(); fault != nil {
			Tell(fault, debug.Stack())
			err = errors.New("there was a fault of the program's own in it; your plan is as it was")
		}
	}()
	work()
	return nil
}

// Go does some work on a goroutine of its own. Failed hears there of a fault in it.
func Go(work func(), failed func(error)) {
	go func() {
		if err := Guard(work); err != nil {
			failed(err)
		}
	}()
}

// words are those of the runtime on a fault that nobody catches.
func words(fault any, stack []byte) string {
	text := "panic: "
	if e, ok := fault.(runtime.Error); ok {
		text += e.Error()
	}
	return text + "\n\n" + string(stack)
}

func firstLine(program string) string {
	return fmt.Sprintf("Hedgereach %s, %s, %s/%s\n", program, runtime.Version(), runtime.GOOS, runtime.GOARCH)
}

// Note writes a report of a fault that was caught.
func Note(folder, program string, fault any, stack []byte) Report {
	r := Report{When: time.Now(), File: filepath.Join(folder, uuid.NewString()+".report.txt")}
	if plan.Replace(r.File, []byte(firstLine(program)+r.When.Format(time.RFC3339)+"\n\n"+impersonal(words(fault, stack)))) != nil {
		r.File = ""
	}
	return r
}

// Leave leaves what is known of a fault that ends the program, as Watch does for those that nobody can catch: the next start makes
// a report of it and says so.
func Leave(folder, program string, fault any, stack []byte) error {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return err
	}
	return plan.Replace(filepath.Join(folder, uuid.NewString()+faulted), []byte(firstLine(program)+words(fault, stack)))
}
