package command

import (
	"bufio"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"slices"
	"strings"
	"time"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/suggest"
)

// mostTime is the longest that a search may be asked to go on.
const mostTime = 24 * time.Hour

// suggestions proposes what would bring beds into reach, or keep habitat in flower. It changes nothing, but can save the plan with the
// proposal to another file.
func suggestions(args []string, stdout, stderr io.Writer) error {
	k, err := suggestAsked(args)
	if err != nil {
		return err
	}
	c, err := catalogue(k.own, stderr)
	if err != nil {
		return err
	}
	p, err := read(k.file, stderr)
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt) // the best so far is worth having
	defer stop()
	ctx, cancel := context.WithTimeout(ctx, k.limit)
	defer cancel()
	var a suggestion
	switch {
	case k.mix != "":
		if err = k.readPrices(p, c, stderr); err != nil {
			return err
		}
		a, err = k.plants(ctx, p, c)
	case k.edits:
		a, err = k.changes(ctx, p, c)
	default:
		a, err = k.strips(ctx, p, c)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", k.file, err)
	}
	if k.save != "" {
		if err := plan.WriteFile(k.save, a.proposal().Plan); err != nil {
			return err
		}
	}
	w := bufio.NewWriter(stdout)
	if k.json {
		err = a.json(w, p)
	} else {
		err = a.text(w, p)
	}
	if err == nil {
		err = w.Flush()
	}
	if err != nil {
		return fmt.Errorf("the suggestion could not be written: %w", err)
	}
	return nil
}

// A suggestion is what was found, of any sort.
type suggestion interface {
	proposal() *suggest.Proposal // the best
	text(w io.Writer, p *plan.Plan) error
	json(w io.Writer, p *plan.Plan) error
}

type (
	stripsFound struct{ *suggest.Proposal }
	editsFound  []*suggest.Proposal // one at least
	plantsFound struct {
		*suggest.Mix
		prices map[string]float64
	}
)

func (a stripsFound) proposal() *suggest.Proposal { return a.Proposal }
func (a editsFound) proposal() *suggest.Proposal  { return a[0] }
func (a plantsFound) proposal() *suggest.Proposal { return &a.Mix.Proposal }

func (a stripsFound) text(w io.Writer, p *plan.Plan) error {
	return proposalText(w, p, a.Proposal, true)
}
func (a editsFound) text(w io.Writer, p *plan.Plan) error {
	for i, q := range a {
		if i > 0 {
			if _, err := io.WriteString(w, "\n"); err != nil {
				return err
			}
		}
		if err := proposalText(w, p, q, i == 0); err != nil {
			return err
		}
	}
	return nil
}

func (a plantsFound) text(w io.Writer, p *plan.Plan) error { return mixText(w, p, a.Mix, a.prices) }

func (a stripsFound) json(w io.Writer, p *plan.Plan) error {
	return proposalsJSON(w, p, []*suggest.Proposal{a.Proposal}, nil)
}

func (a editsFound) json(w io.Writer, p *plan.Plan) error { return proposalsJSON(w, p, a, nil) }

func (a plantsFound) json(w io.Writer, p *plan.Plan) error {
	return proposalsJSON(w, p, []*suggest.Proposal{&a.Mix.Proposal}, mixOf(a.Mix, a.prices))
}

// A suggestAsk is what the command line asks for. Features are named in it as they were typed.
type suggestAsk struct {
	file, own, save string
	json            bool
	limit           time.Duration

	where        suggest.Ask
	beds, inside []string

	edits        bool
	mix          string // a habitat's name or id, or "all"; "" asks for strips
	plantsOf     suggest.MixAsk
	tallM, roomM float64
	prices       string // file
}

// cropGuilds, in the place of a guild's id, asks for all that the plan's crops need.
const cropGuilds = "crops"

// Of the options, those that only one search has, and of those for strips what edits of what is there do not heed.
var (
	onlyMix    = []string{"species", "height", "spacing", "native", "harmless", "any-zone", "prices", "most-price", "cheapest"}
	onlyStrips = []string{"bed", "inside", "kind", "along", "least", "width", "length", "walk", "range", "most", "gap", "on", "edits"}
	onlyNew    = []string{"least", "width", "length", "most", "gap"}
)

// suggestAsked reads the command line, and refuses what could only fail later, before a search takes its time.
func suggestAsked(args []string) (*suggestAsk, error) {
	fs := flag.NewFlagSet("suggest", flag.ContinueOnError)
	k := &suggestAsk{}
	fs.BoolVar(&k.json, "json", false, "")
	fs.StringVar(&k.save, "o", "", "")
	fs.StringVar(&k.own, "own", "", "")
	fs.DurationVar(&k.limit, "time", time.Minute, "")
	fs.Func("guild", "", func(s string) error { k.where.Guilds = append(k.where.Guilds, s); return nil })
	gap := k.stripFlags(fs)
	k.mixFlags(fs)
	files, err := parse(fs, args)
	if err != nil {
		return nil, err
	}
	given := map[string]bool{}
	fs.Visit(func(f *flag.Flag) { given[f.Name] = true })
	for _, only := range onlyMix {
		if given[only] && k.mix == "" {
			return nil, wrongf("--%s goes with --mix", only)
		}
	}
	for _, only := range onlyStrips {
		if given[only] && k.mix != "" {
			return nil, wrongf("--%s does not go with --mix", only)
		}
	}
	for _, only := range onlyNew {
		if given[only] && k.edits {
			return nil, wrongf("--%s does not go with --edits", only)
		}
	}
	switch {
	case len(files) != 1:
		return nil, wrongf("suggest needs one file")
	case k.limit <= 0 || k.limit > mostTime:
		return nil, wrongf("a search takes more than 0 s and at most %v", mostTime)
	case !(*gap >= 0 && *gap < 100):
		return nil, wrongf("a gap is from 0 to less than 100 per cent")
	case given["most"] && !(k.where.MostM2 > 0): // 0 would set no limit
		return nil, wrongf("the most ground to give is more than 0 m²")
	case given["species"] && k.plantsOf.Species < 1: // 0 would mean the usual
		return nil, wrongf("the species in flower are 1 or more")
	case given["most-price"] && !(k.plantsOf.MostPrice > 0): // 0 would set no limit
		return nil, wrongf("the most that a plant may cost is more than 0")
	case k.prices == "" && (given["most-price"] || given["cheapest"]):
		return nil, wrongf("--most-price and --cheapest need --prices")
	}
	k.where.Gap = *gap / 100
	k.file = files[0]
	if k.save != "" {
		if err := planFile("suggest", k.file, k.save); err != nil {
			return nil, err
		}
	}
	return k, nil
}

// stripFlags adds the options of the search for strips. The gap that it answers is in per cent.
func (k *suggestAsk) stripFlags(fs *flag.FlagSet) (gap *float64) {
	where := &k.where
	fs.BoolVar(&k.edits, "edits", false, "")
	fs.Func("bed", "", func(s string) error { k.beds = append(k.beds, s); return nil })
	fs.Func("inside", "", func(s string) error { k.inside = append(k.inside, s); return nil })
	fs.Func("kind", "", func(s string) error { where.Kind = plan.Kind(s); return nil })
	fs.Func("along", "", func(s string) error {
		for a := range strings.SplitSeq(s, ",") {
			where.Along = append(where.Along, suggest.Along(strings.TrimSpace(a)))
		}
		return nil
	})
	fs.Func("least", "", func(s string) error { where.Least = suggest.Objective(s); return nil })
	lengthFlag(fs, "width", "a width", &where.WidthM)
	lengthFlag(fs, "length", "a least length", &where.LeastM)
	lengthFlag(fs, "range", "a range", &where.RangeM)
	fs.Func("walk", "", func(s string) error {
		m, err := rangeM(s)
		if where.WalkM = m; m == 0 {
			where.WalkM = -1 // 0 would mean the usual
		}
		return err
	})
	fs.Float64Var(&where.MostM2, "most", 0, "")
	fs.Func("on", "", func(s string) error {
		h, err := season.ParseHalfMonth(s)
		where.On = &h
		return err
	})
	return fs.Float64("gap", 0, "")
}

// mixFlags adds the options of the search for plants.
func (k *suggestAsk) mixFlags(fs *flag.FlagSet) {
	fs.StringVar(&k.mix, "mix", "", "")
	fs.IntVar(&k.plantsOf.Species, "species", 0, "")
	lengthFlag(fs, "height", "a height", &k.tallM)
	lengthFlag(fs, "spacing", "a spacing", &k.roomM)
	fs.BoolVar(&k.plantsOf.NativeOnly, "native", false, "")
	fs.BoolVar(&k.plantsOf.Harmless, "harmless", false, "")
	fs.BoolVar(&k.plantsOf.AnyZone, "any-zone", false, "")
	fs.StringVar(&k.prices, "prices", "", "")
	fs.Float64Var(&k.plantsOf.MostPrice, "most-price", 0, "")
	fs.BoolVar(&k.plantsOf.LeastCost, "cheapest", false, "")
}

// lengthFlag adds an option for a length. 0 is refused: in what is asked it stands for the usual length, or for no bound.
func lengthFlag(fs *flag.FlagSet, name, what string, to *float64) {
	fs.Func(name, "", func(s string) error {
		m, err := rangeM(s)
		if err == nil && m == 0 {
			err = fmt.Errorf("%s is more than 0", what)
		}
		*to = m
		return err
	})
}

// strips looks for strips that bring beds into reach.
func (k *suggestAsk) strips(ctx context.Context, p *plan.Plan, c *data.Catalogue) (suggestion, error) {
	ask, err := k.settled(p, c)
	if err != nil {
		return nil, err
	}
	q, err := suggest.Where(ctx, p, c, *ask, nil)
	return stripsFound{q}, err
}

// changes looks for edits of what is there that bring beds into reach.
func (k *suggestAsk) changes(ctx context.Context, p *plan.Plan, c *data.Catalogue) (suggestion, error) {
	ask, err := k.settled(p, c)
	if err != nil {
		return nil, err
	}
	list, err := suggest.Edits(ctx, p, c, *ask, nil)
	switch {
	case err != nil:
		return nil, err
	case len(list) == 0 && ctx.Err() != nil:
		return nil, errors.New("the time was over before an edit was found: allow more by --time")
	case len(list) == 0:
		return nil, errors.New("no feature moved or widened and no bed turned into habitat brings one of these beds into reach: " +
			"go without --edits for new strips")
	}
	return editsFound(list), nil
}

// settled finds the guilds, beds and ground that are asked for in the plan.
func (k *suggestAsk) settled(p *plan.Plan, c *data.Catalogue) (*suggest.Ask, error) {
	ask := k.where
	if slices.Contains(ask.Guilds, cropGuilds) {
		if len(ask.Guilds) > 1 {
			return nil, fmt.Errorf("--guild %s stands for all that the crops need: give no other guild with it", cropGuilds)
		}
		ask.Guilds = nil
		for _, g := range suggest.CropGuilds(p, c) {
			ask.Guilds = append(ask.Guilds, g.ID)
		}
		if len(ask.Guilds) == 0 {
			return nil, errors.New("no crop of the plan needs a guild with a published distance: name the guilds")
		}
	}
	for _, s := range k.beds {
		id, err := bedID(p, s)
		if err != nil {
			return nil, err
		}
		ask.Beds = append(ask.Beds, id)
	}
	for _, s := range k.inside {
		id, err := featureID(p, s)
		if err != nil {
			return nil, err
		}
		ask.Inside = append(ask.Inside, id)
	}
	return &ask, nil
}

// readPrices reads the price list that is named, and says on stderr which of its plants the catalogue lacks.
func (k *suggestAsk) readPrices(p *plan.Plan, base *data.Catalogue, stderr io.Writer) error {
	if k.prices == "" {
		return nil
	}
	in, err := os.Open(k.prices)
	if err != nil {
		return &plan.ReadError{File: k.prices, What: "the price list cannot be opened", Mend: "check its name and folder, and that you may read it"}
	}
	defer in.Close()
	c, _ := habitat.CatalogueOf(p, base)
	list, err := suggest.ReadPrices(in, k.prices, c)
	if err != nil {
		return err
	}
	if len(list.Unknown) > 0 {
		fmt.Fprintf(stderr, "hedgereach: %s: note: %s\n", k.prices, list.Says())
	}
	k.plantsOf.Prices = list.Of
	return nil
}

// plants looks for plants that keep habitat in flower.
func (k *suggestAsk) plants(ctx context.Context, p *plan.Plan, c *data.Catalogue) (suggestion, error) {
	ask := k.plantsOf
	ask.HeightCM, ask.SpacingCM = k.tallM*100, k.roomM*100
	if !slices.Equal(k.where.Guilds, []string{cropGuilds}) { // what it asks for unless told
		ask.Guilds = k.where.Guilds
	}
	var err error
	if ask.Habitats, err = habitatIDs(p, k.mix); err != nil {
		return nil, err
	}
	q, err := suggest.Plant(ctx, p, c, ask)
	return plantsFound{q, ask.Prices}, err
}

// bedID finds a bed by its id or name.
func bedID(p *plan.Plan, s string) (string, error) {
	return find(p, s, "bed", func(f *plan.Feature) bool { return f.Kind == plan.Bed })
}

// featureID finds a feature by its id or name.
func featureID(p *plan.Plan, s string) (string, error) {
	return find(p, s, "feature", func(*plan.Feature) bool { return true })
}

func find(p *plan.Plan, s, what string, fits func(*plan.Feature) bool) (string, error) {
	found := ""
	for _, f := range p.Features {
		if !fits(f) || f.ID != s && f.Name != s {
			continue
		}
		if found != "" {
			return "", fmt.Errorf("two of the plan are called %q: write the id of the %s that is meant", s, what)
		}
		found = f.ID
	}
	if found == "" {
		return "", fmt.Errorf("the plan has no %s %q", what, s)
	}
	return found, nil
}

// habitatIDs finds a habitat by its id or name; none for "all".
func habitatIDs(p *plan.Plan, s string) ([]string, error) {
	if s == "all" {
		return nil, nil
	}
	id, err := find(p, s, "habitat", (*plan.Feature).IsHabitat)
	return []string{id}, err
}
