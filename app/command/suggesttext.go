package command

import (
	"fmt"
	"io"
	"strings"

	"hedgereach/geometry"
	"hedgereach/geometry/length"
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
