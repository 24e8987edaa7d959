package command

import (
	"flag"
	"fmt"
	"io"

	"hedgereach/data/season"
	"hedgereach/geometry/length"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// Lengths that a range or radius may have. Beyond 100 km nothing here means anything.
const maxRangeM = 100_000

// rangeM reads a length, a bare number as metres.
func rangeM(s string) (float64, error) {
	m, err := length.Parse(s, length.Metric)
	if err != nil {
		return 0, fmt.Errorf("%q is not a length: write metres, or a unit with it, like 60, 60m or \"200 ft\"", s)
	}
	if !(m >= 0 && m <= maxRangeM) {
		return 0, fmt.Errorf("%q is not a range between 0 and %d km", s, maxRangeM/1000)
	}
	return m, nil
}

// asked adds the flags that say what is measured.
func asked(fs *flag.FlagSet, o *habitat.Options) {
	fs.Func("range", "", func(s string) error {
		m, err := rangeM(s)
		o.RangesM = append(o.RangesM, m)
		return err
	})
	fs.Func("on", "", func(s string) error {
		h, err := season.ParseHalfMonth(s)
		o.On = &h
		return err
	})
	fs.Func("radius", "", func(s string) error {
		m, err := rangeM(s)
		if err == nil && m == 0 {
			err = fmt.Errorf("a radius is more than 0")
		}
		o.CoverRadiusM = m
		return err
	})
}

// read reads a plan, and says on stderr what was left out or taken for granted.
func read(path string, stderr io.Writer) (*plan.Plan, error) {
	r, err := plan.Open(path)
	for _, n := range r.Notes {
		fmt.Fprintf(stderr, "hedgereach: %s: note: %s\n", path, n)
	}
	return r.Plan, err
}
