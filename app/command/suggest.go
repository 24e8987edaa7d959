package command

import (
	"bufio"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"time"

	"hedgereach/data/season"
	"hedgereach/geometry"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/suggest"
)

// mostTime is the longest that a search may be asked to go on.
const mostTime = 24 * time.Hour

// suggestions proposes what would bring beds into reach. It changes nothing, but can save the plan with the proposal to another
// file.
func suggestions(args []string, stdout, stderr io.Writer) error {
	fs := flag.NewFlagSet("suggest", flag.ContinueOnError)
	var k suggest.Ask
	asJSON := fs.Bool("json", false, "")
	save := fs.String("o", "", "")
	limit := fs.Duration("time", time.Minute, "")
	var beds []string
	fs.Func("guild", "", func(s string) error { k.Guilds = append(k.Guilds, s); return nil })
	fs.Func("bed", "", func(s string) error { beds = append(beds, s); return nil })
	fs.Func("kind", "", func(s string) error { k.Kind = plan.Kind(s); return nil })
	fs.Func("along", "", func(s string) error {
		for _, a := range strings.Split(s, ",") {
			k.Along = append(k.Along, suggest.Along(strings.TrimSpace(a)))
		}
		return nil
	})
	fs.Func("least", "", func(s string) error { k.Least = suggest.Objective(s); return nil })
	var inside []string
	fs.Func("inside", "", func(s string) error { inside = append(inside, s); return nil })
	lengthFlag(fs, "width", &k.WidthM)
	lengthFlag(fs, "length", &k.LeastM)
	lengthFlag(fs, "walk", &k.WalkM)
	lengthFlag(fs, "range", &k.RangeM)
	fs.Float64Var(&k.MostM2, "most", 0, "")
	gap := fs.Float64("gap", 0, "")
	fs.Func("on", "", func(s string) error {
		h, err := season.ParseHalfMonth(s)
		k.On = &h
		return err
	})
	mix := fs.String("mix", "", "")
	var mk suggest.MixAsk
	fs.IntVar(&mk.Species, "species", 0, "")
	var tall, room float64
	lengthFlag(fs, "height", &tall)
	lengthFlag(fs, "spacing", &room)
	fs.BoolVar(&mk.NativeOnly, "native", false, "")
	fs.BoolVar(&mk.Harmless, "harmless", false, "")
	fs.BoolVar(&mk.AnyZone, "any-zone", false, "")
	ownFile := fs.String("own", "", "")
	files, err := parse(fs, args)
	if err != nil {
		return err
	}
	given := map[string]bool{}
	fs.Visit(func(f *flag.Flag) { given[f.Name] = true })
	for _, only := range []string{"species", "height", "spacing", "native", "harmless", "any-zone"} {
		if given[only] && *mix == "" {
			return wrongf("--%s goes with --mix", only)
		}
	}
	for _, only := range []string{"bed", "inside", "kind", "along", "least", "width", "length", "walk", "range", "most", "gap", "on"} {
		if given[only] && *mix != "" {
			return wrongf("--%s does not go with --mix", only)
		}
	}
	switch {
	case len(files) != 1:
		return wrongf("suggest needs one file")
	case *limit <= 0 || *limit > mostTime:
		return wrongf("a search takes more than 0 s and at most %v", mostTime)
	case !(*gap >= 0 && *gap < 100):
		return wrongf("a gap is from 0 to less than 100 per cent")
	}
	k.Gap = *gap / 100
	c, err := catalogue(*ownFile, stderr)
	if err != nil {
		return err
	}
	p, err := read(files[0], stderr)
	if err != nil {
		return err
	}
	for _, b := range beds {
		id, err := bedID(p, b)
		if err != nil {
			return fmt.Errorf("%s: %w", files[0], err)
		}
		k.Beds = append(k.Beds, id)
	}
	for _, s := range inside {
		id, err := featureID(p, s)
		if err != nil {
			return fmt.Errorf("%s: %w", files[0], err)
		}
		k.Inside = append(k.Inside, id)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt) // the best so far is worth having
	defer stop()
	ctx, cancel := context.WithTimeout(ctx, *limit)
	defer cancel()
	var q *suggest.Proposal
	var plants *suggest.Mix
	if *mix != "" {
		mk.HeightCM, mk.SpacingCM, mk.Guilds = tall*100, room*100, k.Guilds
		if mk.Habitats, err = habitatIDs(p, *mix); err == nil {
			plants, err = suggest.Plant(ctx, p, c, mk)
		}
		if err == nil {
			q = &plants.Proposal
		}
	} else {
		q, err = suggest.Where(ctx, p, c, k, nil)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", files[0], err)
	}
	if *save != "" {
		if err := plan.WriteFile(*save, q.Plan); err != nil {
			return err
		}
	}
	w := bufio.NewWriter(stdout)
	switch {
	case *asJSON:
		err = proposalsJSON(w, p, []*suggest.Proposal{q})
	case plants != nil:
		err = mixText(w, p, plants)
	default:
		err = proposalText(w, p, q)
	}
	if err == nil {
		err = w.Flush()
	}
	if err != nil {
		return fmt.Errorf("the suggestion could not be written: %w", err)
	}
	return nil
}

func lengthFlag(fs *flag.FlagSet, name string, to *float64) {
	fs.Func(name, "", func(s string) error {
		m, err := rangeM(s)
		*to = m
		return err
	})
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

// mixText writes a mix for people.
func mixText(w io.Writer, p *plan.Plan, q *suggest.Mix) error {
	t := &texter{w: w, units: units(p)}
	t.paragraph("", q.Title+": "+q.Effect+".")
	t.paragraph("", q.How)
	t.line("")
	for _, pl := range q.Plants {
		t.paragraph("  ", fmt.Sprintf("%s (%s), %s", pl.Name, pl.Scientific, pl.Form))
	}
	for _, c := range q.Changes {
		t.paragraph("  ", c.After.Title()+": "+lowerFirst(c.Why))
	}
	t.line("")
	t.line("In flower, before and with it")
	for _, h := range q.InFlower {
		note := ""
		if h.Short {
			note = "  no more within the bounds"
		}
		t.linef("  %-9s  %2d  %2d%s", h.HalfMonth.Label(), h.Before, h.After, note)
	}
	if len(q.Unfed) > 0 {
		var names []string
		for _, g := range q.Unfed {
			names = append(names, g.Name)
		}
		t.paragraph("", "Fed by no plant within the bounds: "+strings.Join(names, ", ")+".")
	}
	if len(q.WithoutEach) > 0 {
		t.line("")
		t.line("What each bound costs")
		for _, b := range q.WithoutEach {
			t.paragraph("  ", q.Costs(b))
		}
	}
	if len(q.Cautions) > 0 {
		t.line("")
		t.line("Cautions")
		for _, c := range q.Cautions {
			t.paragraph("  ", c)
		}
	}
	return t.err
}

func lowerFirst(s string) string { return strings.ToLower(s[:1]) + s[1:] }

func units(p *plan.Plan) length.System {
	if p.Units == plan.US {
		return length.US
	}
	return length.Metric
}

// proposalText writes a proposal for people.
func proposalText(w io.Writer, p *plan.Plan, q *suggest.Proposal) error {
	t := &texter{w: w, units: units(p)}
	t.paragraph("", q.Title+": "+q.Effect+".")
	t.paragraph("", q.How)
	for _, c := range q.Changes {
		t.line("")
		switch {
		case c.Before == nil:
			t.paragraph("  ", c.After.Title()+", "+length.FormatArea(geometry.Area(c.After.Geometry), t.units)+where(c.After))
		case c.After == nil:
			t.paragraph("  ", c.Before.Title()+" goes")
		default:
			t.paragraph("  ", c.Before.Title()+" becomes "+c.After.Title()+where(c.After))
		}
		t.paragraph("      ", c.Why)
	}
	return t.err
}

// where says where a strip lies on the plan; "" of other shapes.
func where(f *plan.Feature) string {
	if len(f.Line) < 2 {
		return ""
	}
	a, b := f.Line[0], f.Line[len(f.Line)-1]
	return fmt.Sprintf(", from x %.2f m, y %.2f m to x %.2f m, y %.2f m", a[0], a[1], b[0], b[1])
}

// proposalsJSON writes proposals for scripts: lengths in metres, areas in m², features as in a plan file.
func proposalsJSON(w io.Writer, p *plan.Plan, list []*suggest.Proposal) error {
	type changeJSON struct {
		Before  string          `json:"before"` // id; "" for a new feature
		Feature json.RawMessage `json:"feature"`
		Why     string          `json:"why"`
	}
	type proposalJSON struct {
		Title   string       `json:"title"`
		Effect  string       `json:"effect"`
		How     string       `json:"how"`
		Proven  bool         `json:"proven"`
		Bound   float64      `json:"bound"`
		Gap     float64      `json:"gap"`
		Out     int          `json:"beds_out"`
		Beds    []string     `json:"beds"`
		Lacking []string     `json:"lacking"`
		Lost    []string     `json:"lost"`
		AreaM2  float64      `json:"area_m2"`
		LengthM float64      `json:"length_m"`
		Patches int          `json:"patches"`
		Changes []changeJSON `json:"changes"`
	}
	out := struct {
		Plan      string         `json:"plan"`
		Proposals []proposalJSON `json:"proposals"`
	}{Plan: p.Name, Proposals: []proposalJSON{}}
	ids := func(list []string) []string { return append([]string{}, list...) }
	for _, q := range list {
		j := proposalJSON{Title: q.Title, Effect: q.Effect, How: q.How, Proven: q.Proven, Bound: milli(q.BoundCost),
			Gap: millionth(q.Gap), Out: q.Out, Beds: ids(q.Beds), Lacking: ids(q.Lacking), Lost: ids(q.Lost),
			AreaM2: milli(q.AreaM2), LengthM: milli(q.LengthM), Patches: q.Patches, Changes: []changeJSON{}}
		for _, c := range q.Changes {
			d := changeJSON{Why: c.Why}
			if c.Before != nil {
				d.Before = c.Before.ID
			}
			if c.After != nil {
				all, err := plan.MarshalFeatures([]*plan.Feature{c.After})
				if err != nil {
					return err
				}
				var one struct {
					Features []json.RawMessage `json:"features"`
				}
				if err := json.Unmarshal(all, &one); err != nil || len(one.Features) != 1 {
					return fmt.Errorf("a feature could not be written: %w", err)
				}
				d.Feature = one.Features[0]
			}
			j.Changes = append(j.Changes, d)
		}
		out.Proposals = append(out.Proposals, j)
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(out)
}
