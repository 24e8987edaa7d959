package command

import (
	"bufio"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"hedgereach/habitat"
	"hedgereach/habitat/degreeday"
	"hedgereach/habitat/plan"
)

// readWeather reads a station's file of daily temperatures, which goes before what a plan keeps.
func readWeather(path string) (*plan.Weather, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, &plan.ReadError{File: path, What: "the weather file cannot be opened", Mend: "check its name and folder, and that you may read it"}
	}
	defer f.Close()
	r, err := degreeday.Read(f, path, "")
	if err != nil {
		return nil, err
	}
	w := habitat.WeatherOf(strings.TrimSuffix(filepath.Base(path), filepath.Ext(path)), r)
	var bad *plan.ReadError
	if errors.As((&plan.Plan{Units: plan.Metric, Weather: w}).Check(), &bad) {
		bad.File = path
		return nil, bad
	}
	return w, nil
}

// check writes the coverage report of each file. A file that cannot be read does not stop the rest.
func check(args []string, stdout, stderr io.Writer) error {
	fs := flag.NewFlagSet("check", flag.ContinueOnError)
	var o habitat.Options
	asked(fs, &o)
	asJSON, own := fs.Bool("json", false, ""), ownFlag(fs)
	weather := fs.String("weather", "", "")
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
	var record *plan.Weather
	if *weather != "" {
		if record, err = readWeather(*weather); err != nil {
			return err
		}
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
		if record != nil {
			p = p.Clone()
			p.Weather = record
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
