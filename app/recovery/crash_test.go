package recovery

import (
	"errors"
	"os"
	"os/exec"
	"strings"
	"testing"
)

// crash does something in a goroutine of its own, as a program that is watched.
func crash(do func()) func(folder string) error {
	return func(folder string) error {
		end, err := Watch(folder, "1.2.3")
		if err != nil {
			return err
		}
		done := make(chan struct{})
		go func() {
			inTheMidst(do)
			close(done) // not deferred, or the end would be a good one
		}()
		<-done
		end()
		return nil
	}
}

func inTheMidst(do func()) { do() }

func TestAFaultIsReportedWithoutAnythingPersonal(t *testing.T) {
	if testing.Short() {
		t.Skip("starts processes")
	}
	for how, want := range map[string]string{
		"words": "panic: (its words are left out",
		"index": "panic: runtime error: index out of range [5] with length 1",
		"none":  "",
	} {
		folder := t.TempDir()
		out, err := start(folder, how).CombinedOutput()
		var exit *exec.ExitError
		if want == "" {
			if left, _ := os.ReadDir(folder); err != nil || len(left) != 0 || len(Reports(folder)) != 0 {
				t.Errorf("a good end leaves %d files behind, %v", len(left), err)
			}
			continue
		}
		if !errors.As(err, &exit) {
			t.Fatalf("%s: it ended well: %s", how, out)
		}
		found := Reports(folder)
		if len(found) != 1 || found[0].When.IsZero() {
			t.Fatalf("%s: reports %v", how, found)
		}
		text, err := os.ReadFile(found[0].File)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range []string{"Hedgereach 1.2.3, go", want, "hedgereach/app/recovery.inTheMidst", "\tcrash_test.go:"} {
			if !strings.Contains(string(text), s) {
				t.Errorf("%s: the report does not say %q:\n%s", how, s, text)
			}
		}
		for _, s := range []string{"Polly", "polly", "/", "0x"} {
			// Slashes stand in the names of packages only.
			rest := string(text)
			if s == "/" {
				rest = strings.NewReplacer("hedgereach/app/", "", "created by ", "", "linux/", "", "darwin/", "", "windows/", "").Replace(rest)
			}
			if strings.Contains(rest, s) {
				t.Errorf("%s: the report says %q:\n%s", how, s, text)
			}
		}
		if again := Reports(folder); len(again) != 0 {
			t.Errorf("%s: it is reported twice", how)
		}
	}
}

func TestARunningProgramHasNoFault(t *testing.T) {
	folder := t.TempDir()
	end, err := Watch(folder, "1.2.3")
	if err != nil {
		t.Fatal(err)
	}
	if found := Reports(folder); len(found) != 0 {
		t.Errorf("reports %v", found)
	}
	end()
}
