package command

import (
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"

	"hedgereach/habitat/plan"
)

// convert reads a plan in one format and writes it in another.
func convert(args []string, _, stderr io.Writer) error {
	files, err := parse(flag.NewFlagSet("convert", flag.ContinueOnError), args)
	if err != nil {
		return err
	}
	if len(files) != 2 {
		return wrongf("convert needs two files, IN and OUT")
	}
	in, out := files[0], files[1]
	if err := planFile("convert", in, out); err != nil {
		return err
	}
	p, err := read(in, stderr)
	if err != nil {
		return err
	}
	return plan.WriteFile(out, p)
}

// planFile refuses an output of a command that is the input, or no file that a plan can be written to. Asked before the work, it
// saves the wait for what cannot be kept.
func planFile(command, in, out string) error {
	switch strings.ToLower(filepath.Ext(out)) {
	case ".hedgereach", ".geojson", ".json":
		return apart(in, out)
	}
	return wrongf("%s writes .hedgereach and .geojson files, not %q", command, filepath.Base(out))
}

// apart refuses an output that is the input.
func apart(in, out string) error {
	a, errIn := os.Stat(in)
	b, errOut := os.Stat(out)
	if errIn == nil && errOut == nil && os.SameFile(a, b) {
		return wrongf("%s is both the input and the output; name another output", out)
	}
	return nil
}
