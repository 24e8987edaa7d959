package command

import (
	"bufio"
	"flag"
	"fmt"
	"io"

	"hedgereach/habitat"
)

// check writes the coverage report of each file. A file that cannot be read does not stop the rest.
func check(args []string, stdout, stderr io.Writer) error {
	fs := flag.NewFlagSet("check", flag.ContinueOnError)
	var o habitat.Options
	asked(fs, &o)
	asJSON, own := fs.Bool("json", false, ""), ownFlag(fs)
	files, err := parse(fs, args)
	if err != nil {
		return err
	}
	if len(files) == 0 {
		return wrongf("check needs a file")
	}
	c, err := catalogue(*own, stderr)
	if err != nil {
		return err
	}
	if !*asJSON && len(o.RangesM) == 0 { // people want one to start with; scripts get what they ask for
		o.RangesM = []float64{habitat.UsualRangeM}
	}
	w := bufio.NewWriter(stdout)
	defer w.Flush()
	failed := false
	for i, f := range files {
		p, err := read(f, stderr)
		if err != nil {
			fmt.Fprintf(stderr, "hedgereach: %s\n", oneLine(err))
			failed = true
			continue
		}
		a := habitat.Assess(p, c, o)
		if *asJSON {
			err = writeJSON(w, a)
		} else {
			if i > 0 {
				fmt.Fprintln(w)
			}
			err = writeText(w, a, f)
		}
		if err != nil {
			return err
		}
	}
	if err := w.Flush(); err != nil {
		return fmt.Errorf("the report could not be written: %w", err)
	}
	if failed {
		return errReported
	}
	return nil
}
