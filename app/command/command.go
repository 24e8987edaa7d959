// Package command does the program's work without a window, for scripts and tests: the coverage report, the plot map, and
// the exchange of files. It reads arguments and writes to the streams that it is given.
package command

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"strings"

	"hedgereach/app/sheet"
)

// Exit codes.
const (
	Done  = 0 // findings do not change it
	Fail  = 1 // the job could not be done
	Wrong = 2 // wrong usage
)

const usageText = `Hedgereach plans habitat for natural enemies in gardens and on market farms.

  hedgereach [FILE | --sample]
      the window, on FILE if one is named, or on a sample garden

  hedgereach check FILE... [--json] [--range LENGTH]... [--on MM-DD] [--radius LENGTH] [--weather CSV] [--own FILE]
      the coverage report
      --json     as JSON, one object for each file
      --range    also say how much of each bed lies within LENGTH of any refuge; may be given again;
                 30 m where none is given, save in JSON
      --on       what serves on that day of the year, instead of in the whole season
      --radius   ground about each bed for its flowering cover, 50 m unless given
      --weather  a weather station's daily minimum and maximum (columns date, tmin_c, tmax_c or in °F), to date pests by
                 degree-days; it goes before what the plan keeps

  hedgereach sheet FILE -o OUT [--sheets ID,ID…] [--paper SIZE] [--portrait | --landscape] [--scale 1:N]
                               [--grey] [--big] [--guild ID | --range LENGTH] [--on MM-DD] [--dimensions]
                               [--author NAME] [--notes TEXT] [--plan-version TEXT] [--date YYYY-MM-DD]
                               [--stakes NAME,NAME] [--spare 10%] [--seed-spare 50%] [--pattern square|triangular]
                               [--own FILE]
      the sheets that go into the field; OUT is a .pdf with all pages, or a .svg or .png for each page; a .csv holds the
      planting list and what to buy
      --sheets   which, by id, with commas between; the usual ones unless given:
{sheets}
      --paper    {papers}
      --scale    of the plot map, as 1:200, 1/4 in = 1 ft or 1 in = 20 ft; where the sheet is too small for it, the map is
                 cut into tiles; the largest that fits unless given
      --grey     for a printer that has only black
      --big      letters and signs half as large again
      --guild    hatch the beds by their standing with a guild, such as ground-beetles
      --on       as of that day of the year: what serves, and what is in flower
      --dimensions  length and width in the beds that have room for them
      --stakes   the two to set out from, first the one where the base line begins; those farthest apart unless given
      --spare    plants to get on top of those that are to stand; --seed-spare the same of seed
      --pattern  how habitat plants stand: triangular unless given
      --date     on the title; the day unless given, or that of SOURCE_DATE_EPOCH, in seconds from 1970: the same plan and date
                 make the same bytes
      --plan-version  as on the title; a mark made from what the plan holds unless given

  hedgereach convert IN OUT
      a plan to GeoJSON and back, by extension: .hedgereach or .geojson (.json);
      also points walked with a GPS, IN being a .gpx, or a .csv with columns lat and lon, or x and y in metres

  hedgereach facts [--json] [--own FILE] ID | WORD...
      what the catalogue says of a guild, plant, crop, pest, companion, trap crop, trap, material or source, with evidence
      and full citations; where several entries have the words, their ids, as LIST/ID

  hedgereach suggest FILE [--guild ID]... [--range LENGTH] [--bed NAME]... [--least area|length|patches]
                          [--width LENGTH] [--length LENGTH] [--walk LENGTH] [--along LINES] [--inside NAME]...
                          [--kind KIND] [--most M2] [--on MM-DD] [--time 60s] [--gap PERCENT] [-o OUT] [--json] [--own FILE]
      where new strips of refuge would bring every bed into reach, by the least area, and how good that is
      --guild    of a guild, such as ground-beetles, at its typical range; may be given again, and then each bed is to be within reach
                 of all; crops stands for all that hold the pests of the plan's crops and have a published distance
      --range    without a guild: of any refuge within LENGTH, 30 m unless given
      --bed      a bed to protect, by name or id; may be given again; all unless given
      --least    what there is to be as little of as can be
      --width    of the strips, 1.5 m unless given; --length their least length, 4 m unless given
      --walk     kept free about beds, 0.5 m unless given, 0 for none
      --along    what strips may follow, of margin,fence,path,bed-ends,wall,free; all unless given
      --inside   only on the ground of a feature, by name or id, such as a cover crop or a path that is no longer needed
      --kind     of habitat, such as beetle-bank; one that shelters the guilds unless given
      --most     square metres of new habitat at most
      --time     after which the best so far is answered, as it is on an interrupt
      --gap      stop when proven within PERCENT of the best possible
      -o         write the plan with the proposal to OUT, a .hedgereach or .geojson other than FILE

  hedgereach suggest FILE --edits [--guild ID]... [--range LENGTH] [--bed NAME]... [--walk LENGTH] [--along LINES] [--inside NAME]...
                          [--kind KIND] [--on MM-DD] [--time 60s] [-o OUT] [--json] [--own FILE]
      what edits of what is there already do: a strip or hedge widened, a strip moved, one bed turned into habitat; the best of each
      sort, the best of all first, which is what -o writes; options as above, --kind being what a bed becomes, --along and --walk
      where a strip may go

  hedgereach suggest FILE --mix HABITAT|all [--species N] [--height LENGTH] [--spacing LENGTH] [--native] [--harmless] [--any-zone]
                          [--prices CSV [--most-price N] [--cheapest]] [--guild ID]... [-o OUT] [--json] [--own FILE]
      the fewest plants that keep a habitat, or all of them, in flower between the frosts and feed the guilds that the crops need,
      and what each bound costs
      --species  in flower at any time, 3 unless given
      --height   no taller; --spacing needing no more room; --native to the continent; --harmless without any caution
      --any-zone also plants that the winter here may kill
      --prices   only plants with a price in CSV (columns plant, by id, name or scientific name, and price), and what the mix comes to,
                 one of each; a price is of one plant or packet, whatever you count by, in any money, all alike, to the hundredth
      --most-price  no plant dearer than N; --cheapest the least sum of prices, instead of the fewest plants
      --guild    to be fed, instead of those that hold the pests of the plan's crops; may be given again

  hedgereach help
      this text

Your own plants, crops and ranges (in the window under Plan) go before the built-in catalogue in all of these, and what a plan
keeps of its own before both. --own FILE takes a personal catalogue (CSV), or what another plan keeps, instead of yours; --own none
goes without.
FILE is a plan, a GeoJSON file (RFC 7946), GPX or CSV. LENGTH is in metres, or with a unit: 60, 60m, "200 ft".
Exit codes: 0 done, 1 the job could not be done, 2 wrong usage.
`

// usage is the text with the sheets and papers on offer.
func usage() string {
	var sheets, papers []string
	for _, s := range sheet.Sheets {
		more := ""
		if !s.Usual {
			more = " (only if named)"
		}
		sheets = append(sheets, fmt.Sprintf("                 %-13s %s%s", s.Kind, s.About, more))
	}
	for _, p := range sheet.Papers {
		papers = append(papers, strings.ReplaceAll(strings.ToLower(p.Name), " ", "-"))
	}
	return strings.NewReplacer("{sheets}", strings.Join(sheets, "\n"), "{papers}",
		strings.Join(papers[:len(papers)/2], ", ")+",\n                 "+strings.Join(papers[len(papers)/2:], ", ")).Replace(usageText)
}

// wrongUsage is an error of the command line itself.
type wrongUsage string

func (w wrongUsage) Error() string { return string(w) }

func wrongf(format string, a ...any) error { return wrongUsage(fmt.Sprintf(format, a...)) }

// Run does the command that the arguments name (without the program's own name). handled is false where they ask for the
// window: no argument, or a single file.
func Run(args []string, stdout, stderr io.Writer) (exit int, handled bool) {
	if len(args) == 0 {
		return Done, false
	}
	var do func([]string, io.Writer, io.Writer) error
	switch args[0] {
	case "check":
		do = check
	case "sheet":
		do = drawSheet
	case "convert":
		do = convert
	case "facts":
		do = facts
	case "suggest":
		do = suggestions
	case "help", "-h", "-help", "--help":
		fmt.Fprint(stdout, usage())
		return Done, true
	default:
		if len(args) == 1 && !strings.HasPrefix(args[0], "-") && isFile(args[0]) {
			return Done, false
		}
		do = func([]string, io.Writer, io.Writer) error {
			if strings.HasPrefix(args[0], "-") {
				return wrongf("there is no option %s before a command", args[0])
			}
			if len(args) == 1 {
				return wrongf("there is no command and no file %q", args[0])
			}
			return wrongf("there is no command %q, and the window takes one file", args[0])
		}
	}
	err := do(args[1:], stdout, stderr)
	var wrong wrongUsage
	switch {
	case err == nil:
		return Done, true
	case errors.Is(err, flag.ErrHelp):
		fmt.Fprint(stdout, usage())
		return Done, true
	case errors.As(err, &wrong):
		fmt.Fprintf(stderr, "hedgereach: %s; see hedgereach help\n", oneLine(err))
		return Wrong, true
	case errors.Is(err, errReported):
	default:
		fmt.Fprintf(stderr, "hedgereach: %s\n", oneLine(err))
	}
	return Fail, true
}

// isFile tells a file's name from a word that is no command: it is there, or it looks like one.
func isFile(name string) bool {
	if strings.ContainsAny(name, `./\`) {
		return true
	}
	_, err := os.Stat(name)
	return err == nil
}

// errReported is a failure of which every part was said already.
var errReported = errors.New("failed")

// oneLine keeps an error on one line, whatever a file's name holds.
func oneLine(err error) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, err.Error())
}

// parse reads flags that stand before, between or after files, and answers the files.
func parse(fs *flag.FlagSet, args []string) ([]string, error) {
	fs.SetOutput(io.Discard)
	fs.Usage = func() {}
	var files []string
	for {
		if err := fs.Parse(args); err != nil {
			if errors.Is(err, flag.ErrHelp) {
				return nil, err
			}
			return nil, wrongUsage(err.Error())
		}
		if fs.NArg() == 0 {
			return files, nil
		}
		files = append(files, fs.Arg(0))
		args = fs.Args()[1:]
	}
}
