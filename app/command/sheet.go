package command

import (
	"flag"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"hedgereach/app/sheet"
	"hedgereach/habitat"
	"hedgereach/habitat/spacing"
)

// drawSheet writes the set of sheets, and names the files where there are several.
func drawSheet(args []string, stdout, stderr io.Writer) error {
	fs := flag.NewFlagSet("sheet", flag.ContinueOnError)
	var o habitat.Options
	var s sheet.Options
	asked(fs, &o)
	out, own := fs.String("o", "", ""), ownFlag(fs)
	fs.Func("paper", "", func(v string) (err error) {
		s.Paper, err = sheet.PaperNamed(v)
		return err
	})
	portrait, landscape := fs.Bool("portrait", false, ""), fs.Bool("landscape", false, "")
	fs.Func("scale", "", func(v string) (err error) {
		s.ScaleDenominator, err = scale(v)
		return err
	})
	fs.BoolVar(&s.Grey, "grey", false, "")
	fs.BoolVar(&s.Big, "big", false, "")
	fs.StringVar(&s.Author, "author", "", "")
	fs.StringVar(&s.Notes, "notes", "", "")
	fs.StringVar(&s.Version, "plan-version", "", "")
	fs.Func("date", "", func(v string) (err error) {
		if s.Date, err = time.Parse(time.DateOnly, v); err != nil {
			err = fmt.Errorf("%q is not a date: write it like 2026-03-01", v)
		}
		return err
	})
	fs.Func("sheets", "", func(v string) error {
		for id := range strings.SplitSeq(v, ",") {
			k, err := sheet.KindNamed(id)
			if err != nil {
				return err
			}
			s.Sheets = append(s.Sheets, k)
		}
		return nil
	})
	fs.Func("stakes", "", func(v string) error {
		names := strings.Split(v, ",")
		if len(names) != 2 {
			return fmt.Errorf("%q does not name two stakes: write NAME,NAME", v)
		}
		s.Stakes = [2]string(names)
		return nil
	})
	share := func(to **float64) func(string) error {
		return func(v string) error {
			n, err := strconv.ParseFloat(strings.TrimSuffix(v, "%"), 64)
			if err != nil {
				return fmt.Errorf("%q is not a share: write it like 10%%", v)
			}
			n /= 100
			*to = &n
			return s.Numbers.Check()
		}
	}
	fs.Func("spare", "", share(&s.Numbers.Spare))
	fs.Func("seed-spare", "", share(&s.Numbers.SeedSpare))
	fs.Func("pattern", "", func(v string) error {
		s.Numbers.Layout = spacing.Layout(v)
		return s.Numbers.Check()
	})
	fs.StringVar(&s.Guild, "guild", "", "")
	fs.BoolVar(&s.Dimensions, "dimensions", false, "")
	files, err := parse(fs, args)
	switch {
	case err != nil:
		return err
	case len(files) != 1:
		return wrongf("sheet needs one file")
	case *out == "":
		return wrongf("sheet needs -o and the name of a .pdf, .svg, .png or .csv")
	case !slices.Contains(sheet.Formats, strings.ToLower(strings.TrimPrefix(filepath.Ext(*out), "."))):
		return wrongf("a sheet is a .pdf, .svg or .png, the planting list a .csv, not %q", filepath.Base(*out))
	case *portrait && *landscape:
		return wrongf("a sheet is --portrait or --landscape, not both")
	case s.Guild != "" && len(o.RangesM) > 0 || len(o.RangesM) > 1:
		return wrongf("a map shows one guild or one range")
	case *portrait:
		s.Orientation = sheet.Portrait
	case *landscape:
		s.Orientation = sheet.Landscape
	}
	c, err := catalogue(*own, stderr)
	if err != nil {
		return err
	}
	if s.Guild != "" && c.Guild(s.Guild) == nil {
		return wrongf("there is no guild %q; use an id such as %s", s.Guild, c.Guilds[0].ID)
	}
	if s.Guild == "" && len(o.RangesM) == 0 {
		o.RangesM = []float64{habitat.UsualRangeM}
	}
	if len(o.RangesM) > 0 {
		s.RangeM = o.RangesM[0]
	}
	s.On = o.On
	p, err := read(files[0], stderr)
	if err != nil {
		return err
	}
	set, err := sheet.Make(habitat.Assess(p, c, o), s)
	if err != nil {
		return fmt.Errorf("%s: %w", files[0], err)
	}
	for _, name := range set.Files(*out) {
		if err := apart(files[0], name); err != nil {
			return err
		}
	}
	written, err := set.WriteFile(*out)
	if len(written) > 1 {
		fmt.Fprintln(stdout, strings.Join(written, "\n"))
	}
	return err
}

// scale reads "1:200" or "200".
func scale(s string) (int, error) {
	n, err := strconv.Atoi(strings.TrimPrefix(strings.ReplaceAll(s, " ", ""), "1:"))
	if err != nil || n < 1 {
		return 0, fmt.Errorf("%q is not a scale: write it like 1:200", s)
	}
	return n, nil
}
