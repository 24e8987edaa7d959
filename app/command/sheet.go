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
	"hedgereach/data"
	"hedgereach/habitat"
	"hedgereach/habitat/spacing"
)

// drawSheet writes the set of sheets, and names the files where there are several.
func drawSheet(args []string, stdout, stderr io.Writer) error {
	k, err := sheetAsked(args)
	if err != nil {
		return err
	}
	c, err := catalogue(*k.own, stderr)
	if err != nil {
		return err
	}
	if err := k.settle(c); err != nil {
		return err
	}
	p, err := read(k.file, stderr)
	if err != nil {
		return err
	}
	set, err := sheet.Make(habitat.Assess(p, c, k.measures), k.sheets)
	if err != nil {
		return fmt.Errorf("%s: %w", k.file, err)
	}
	if set.Unprinted != "" {
		fmt.Fprintf(stderr, "%s: %s\n", k.file, set.Unprinted)
	}
	for _, name := range set.Files(k.out) {
		if err := apart(k.file, name); err != nil {
			return err
		}
	}
	written, err := set.WriteFile(k.out)
	if len(written) > 1 {
		fmt.Fprintln(stdout, strings.Join(written, "\n"))
	}
	return err
}

// A sheetAsk is what the command line asks for.
type sheetAsk struct {
	file, out           string
	own                 *string
	portrait, landscape bool
	measures            habitat.Options
	sheets              sheet.Options
}

// sheetAsked reads the command line, and refuses what does not go together.
func sheetAsked(args []string) (*sheetAsk, error) {
	fs := flag.NewFlagSet("sheet", flag.ContinueOnError)
	k := &sheetAsk{own: ownFlag(fs)}
	asked(fs, &k.measures)
	fs.StringVar(&k.out, "o", "", "")
	k.paperFlags(fs)
	k.titleFlags(fs)
	k.contentFlags(fs)
	files, err := parse(fs, args)
	switch {
	case err != nil:
		return nil, err
	case len(files) != 1:
		return nil, wrongf("sheet needs one file")
	case k.out == "":
		return nil, wrongf("sheet needs -o and the name of a .pdf, .svg, .png or .csv")
	case !slices.Contains(sheet.Formats, strings.ToLower(strings.TrimPrefix(filepath.Ext(k.out), "."))):
		return nil, wrongf("a sheet is a .pdf, .svg or .png, the planting list a .csv, not %q", filepath.Base(k.out))
	case strings.EqualFold(filepath.Ext(k.out), ".csv") && len(k.sheets.Sheets) > 0:
		return nil, wrongf("a .csv holds the planting list and what to buy, whatever --sheets says: leave --sheets out, or write a .pdf")
	case k.portrait && k.landscape:
		return nil, wrongf("a sheet is --portrait or --landscape, not both")
	case k.sheets.Guild != "" && len(k.measures.RangesM) > 0 || len(k.measures.RangesM) > 1:
		return nil, wrongf("a map shows one guild or one range")
	case k.portrait:
		k.sheets.Orientation = sheet.Portrait
	case k.landscape:
		k.sheets.Orientation = sheet.Landscape
	}
	k.file = files[0]
	return k, nil
}

// paperFlags adds the options of paper and scale.
func (k *sheetAsk) paperFlags(fs *flag.FlagSet) {
	fs.Func("paper", "", func(v string) (err error) {
		k.sheets.Paper, err = sheet.PaperNamed(v)
		return err
	})
	fs.BoolVar(&k.portrait, "portrait", false, "")
	fs.BoolVar(&k.landscape, "landscape", false, "")
	fs.Func("scale", "", func(v string) (err error) {
		k.sheets.ScaleDenominator, err = sheet.ScaleFrom(v)
		return err
	})
	fs.BoolVar(&k.sheets.Grey, "grey", false, "")
	fs.BoolVar(&k.sheets.Big, "big", false, "")
}

// titleFlags adds the options of what the title says.
func (k *sheetAsk) titleFlags(fs *flag.FlagSet) {
	fs.StringVar(&k.sheets.Author, "author", "", "")
	fs.StringVar(&k.sheets.Notes, "notes", "", "")
	fs.StringVar(&k.sheets.Version, "plan-version", "", "")
	fs.Func("date", "", func(v string) (err error) {
		if k.sheets.Date, err = time.Parse(time.DateOnly, v); err != nil {
			err = fmt.Errorf("%q is not a date: write it like 2026-03-01", v)
		}
		return err
	})
}

// contentFlags adds the options of what is printed, and how plants are counted.
func (k *sheetAsk) contentFlags(fs *flag.FlagSet) {
	s := &k.sheets
	fs.Func("sheets", "", func(v string) error {
		for id := range strings.SplitSeq(v, ",") {
			kind, err := sheet.KindNamed(id)
			if err != nil {
				return err
			}
			s.Sheets = append(s.Sheets, kind)
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
}

// settle holds what was asked against the catalogue, and says what was left open.
func (k *sheetAsk) settle(c *data.Catalogue) error {
	if k.sheets.Guild != "" && c.Guild(k.sheets.Guild) == nil {
		return wrongf("there is no guild %q; use an id such as %s", k.sheets.Guild, c.Guilds[0].ID)
	}
	if k.sheets.Guild == "" && len(k.measures.RangesM) == 0 {
		k.measures.RangesM = []float64{habitat.UsualRangeM}
	}
	if len(k.measures.RangesM) > 0 {
		k.sheets.RangeM = k.measures.RangesM[0]
	}
	k.sheets.On = k.measures.On
	return nil
}
