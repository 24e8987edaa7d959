package command

import (
	"fmt"
	"io"
	"strings"

	"hedgereach/data"
	"hedgereach/geometry"
	"hedgereach/geometry/length"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/suggest"
)

// mixText writes a mix for people.
func mixText(w io.Writer, p *plan.Plan, q *suggest.Mix, prices map[string]float64) error {
	t := &texter{w: w, units: units(p)}
	t.paragraph("", q.Title+": "+q.Effect+".")
	t.paragraph("", q.How)
	t.line("")
	for _, pl := range q.Plants {
		words := fmt.Sprintf("%s (%s), %s", pl.Name, pl.Scientific, pl.Form)
		if v, known := prices[pl.ID]; known {
			words += ", " + suggest.FormatPrice(v)
		}
		t.paragraph("  ", words)
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
		t.paragraph("", "Fed by no plant within the bounds: "+guildNames(q.Unfed)+".")
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

func guildNames(list []*data.Guild) string {
	var names []string
	for _, g := range list {
		names = append(names, habitat.InText(g.Name))
	}
	return strings.Join(names, ", ")
}

// becomes says what an edit makes of a feature.
func becomes(was, is *plan.Feature, u length.System) string {
	if was.Kind != is.Kind {
		return was.Title() + " becomes " + habitat.InText(is.Kind.Label()) + ", " + length.FormatArea(geometry.Area(is.Geometry), u)
	}
	now := length.FormatArea(geometry.Area(is.Geometry), u)
	if was := length.FormatArea(geometry.Area(was.Geometry), u); was != now {
		now = was + " before, " + now + " then"
	}
	return is.Title() + ", " + now + where(is)
}

func lowerFirst(s string) string { return strings.ToLower(s[:1]) + s[1:] }

func units(p *plan.Plan) length.System {
	if p.Units == plan.US {
		return length.US
	}
	return length.Metric
}

// proposalText writes a proposal for people, where it is said with the names of the guilds that it is for.
func proposalText(w io.Writer, p *plan.Plan, q *suggest.Proposal, said bool) error {
	t := &texter{w: w, units: units(p)}
	t.paragraph("", q.Title+": "+q.Effect+".")
	t.paragraph("", q.How)
	if n := len(q.For); said && n > 1 {
		t.paragraph("", fmt.Sprintf("For all %d guilds: %s.", n, guildNames(q.For)))
	}
	for _, c := range q.Changes {
		t.line("")
		switch {
		case c.Before == nil:
			t.paragraph("  ", c.After.Title()+", "+length.FormatArea(geometry.Area(c.After.Geometry), t.units)+where(c.After))
		case c.After == nil:
			t.paragraph("  ", c.Before.Title()+" goes")
		default:
			t.paragraph("  ", becomes(c.Before, c.After, t.units))
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
