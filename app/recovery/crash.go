package recovery

import (
	"bytes"
	"io"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"strings"
	"time"

	"github.com/google/uuid"

	"hedgereach/habitat/plan"
)

// faulted is the ending of what is known of a fault that ended a program.
const faulted = ".fault"

const maxFault = 1 << 20 // bytes that are read of a fault in many goroutines; the one at fault comes first

// Watch has the runtime write what it knows of a fault that ends the program, in any goroutine, to a file in the folder. The next
// start makes a report of it. End is called where the program ends as it should.
func Watch(folder, program string) (end func(), err error) {
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return nil, err
	}
	l, err := take(filepath.Join(folder, uuid.NewString()+faulted))
	if err != nil {
		return nil, err
	}
	if _, err = l.file.WriteString(firstLine(program)); err == nil {
		err = debug.SetCrashOutput(l.file, debug.CrashOptions{})
	}
	if err != nil {
		l.Release()
		return nil, err
	}
	return func() {
		_ = debug.SetCrashOutput(nil, debug.CrashOptions{})
		l.Release()
	}, nil
}

// A Report is what is known of a fault that ended a program: the calls that led to it. It names nothing of the grower's.
type Report struct {
	When time.Time
	File string // where it can be read; "" where it could not be written
}

// Reports makes reports of the faults that ended programs since it was last called.
func Reports(folder string) []Report {
	names, err := filepath.Glob(filepath.Join(folder, "*"+faulted))
	if err != nil {
		return nil
	}
	var out []Report
	for _, name := range names {
		l, err := take(name)
		if err != nil { // that program runs
			continue
		}
		s, err := l.file.Stat()
		raw, errRead := io.ReadAll(io.LimitReader(l.file, maxFault))
		if head, rest, _ := bytes.Cut(raw, []byte("\n")); err == nil && errRead == nil && len(rest) > 0 {
			r := Report{When: s.ModTime(), File: strings.TrimSuffix(name, faulted) + ".report.txt"}
			text := string(head) + "\n" + r.When.Format(time.RFC3339) + "\n\n" + impersonal(string(rest))
			if plan.Replace(r.File, []byte(text)) != nil {
				r.File = ""
			}
			out = append(out, r)
		}
		l.Release()
	}
	return out
}

var call = regexp.MustCompile(`^(\S.*)\([^()]*\)$`)

// impersonal takes out of the runtime's words on a fault whatever could come from the plan or name a person: the words of a panic,
// unless they are the runtime's own; values; folders.
func impersonal(raw string) string {
	var out []string
	calls := false // what led to the fault has begun; before it stand its words, on any number of lines
	for line := range strings.Lines(raw) {
		line = strings.TrimRight(line, "\r\n")
		switch {
		case strings.HasPrefix(line, "goroutine "):
			calls = true
			out = append(out, "", line)
		case !calls && (strings.HasPrefix(line, "panic: runtime error: ") || strings.HasPrefix(line, "fatal error: ") ||
			strings.HasPrefix(line, "[signal ") || strings.HasPrefix(line, "SIG")):
			out = append(out, line)
		case !calls && strings.HasPrefix(line, "panic: "):
			out = append(out, "panic: (its words are left out: they may quote the plan)")
		case calls && strings.HasPrefix(line, "\t"):
			place, _, _ := strings.Cut(line[1:], " ")
			out = append(out, "\t"+path.Base(strings.ReplaceAll(place, `\`, "/")))
		case calls && strings.HasPrefix(line, "created by "):
			out = append(out, line)
		case calls:
			if m := call.FindStringSubmatch(line); m != nil {
				out = append(out, m[1])
			}
		}
	}
	return strings.TrimLeft(strings.Join(out, "\n"), "\n") + "\n"
}
