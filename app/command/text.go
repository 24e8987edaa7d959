package command

import (
	"fmt"
	"io"
	"runtime"
	"slices"
	"strings"
	"text/tabwriter"
	"unicode/utf8"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry/length"
	"hedgereach/geometry/parallel"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// writeText writes the report for people: the site, a table of beds, the year's flowers, the findings.
func writeText(w io.Writer, a *habitat.Assessment, file string) error {
	t := texter{a: a, w: w, season: habitat.SeasonOf(a)}
	if a.Plan.Units == plan.US {
		t.units = length.US
	}
	title := a.Plan.Name
	if title == "" {
		title = file
	} else {
		title += " (" + file + ")"
	}
	t.line(title)
	t.site()
	t.beds()
	t.flowers()
	t.pests()
	t.findings()
	return t.err
}

// A texter writes lines and keeps the first error.
type texter struct {
	a      *habitat.Assessment
	season *habitat.Season
	w      io.Writer
	units  length.System
	err    error
}

func (t *texter) line(s string) {
	if _, err := io.WriteString(t.w, strings.TrimRight(s, " ")+"\n"); t.err == nil {
		t.err = err
	}
}

func (t *texter) linef(format string, a ...any) { t.line(fmt.Sprintf(format, a...)) }

func (t *texter) length(m float64) string { return length.Format(m, t.units) }
func (t *texter) area(m2 float64) string  { return length.FormatArea(m2, t.units) }

func (t *texter) site() {
	s := &t.a.Site
	part := 0.0
	if s.AreaM2 > 0 {
		part = s.HabitatM2 / s.AreaM2
	}
	beds := fmt.Sprintf("%d beds", s.Beds)
	if s.Beds == 1 {
		beds = "1 bed"
	}
	t.linef("Site %s; %s, %s; habitat %s, %s of the site", t.area(s.AreaM2), beds, t.area(s.BedsM2),
		t.area(s.HabitatM2), habitat.Percent(part))
	if on := t.a.Options.On; on != nil {
		t.linef("What serves is asked for %s", on.Label())
	}
}

func (t *texter) beds() {
	if len(t.a.Beds) == 0 {
		t.line("")
		t.line("There are no beds.")
		return
	}
	var known []int // guilds that have a published range
	var unknown []string
	for i, g := range t.a.Beds[0].Guilds {
		if g.Guild.HasRange() {
			known = append(known, i)
		} else {
			unknown = append(unknown, habitat.InText(g.Guild.Name))
		}
	}
	t.line("")
	var b strings.Builder
	tw := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	cells := []string{"area", "nearest", "farthest", "mean"}
	for _, r := range t.a.Options.RangesM {
		cells = append(cells, "in "+length.FormatRange(r, t.units))
	}
	marks := ""
	for i := range known {
		marks += " " + mark(i)
	}
	parallel.Each(runtime.GOMAXPROCS(0), len(t.a.Beds), func(i int) { // the means are worked out when first asked for
		if l := t.a.Beds[i].Refuge; l != nil {
			l.MeanM()
		}
	})
	names, width := []string{"Bed"}, len("Bed")
	fmt.Fprintln(tw, strings.Join(cells, "\t")+"\t"+marks+"\t")
	for _, bed := range t.a.Beds {
		names = append(names, bedName(bed))
		width = max(width, utf8.RuneCountInString(bedName(bed)))
		cells = []string{t.area(bed.AreaM2), "–", "–", "–"}
		if l := bed.Refuge; l != nil {
			cells[1], cells[2], cells[3] = t.length(l.NearestM), t.length(l.FarthestM), t.length(l.MeanM())
		}
		for _, r := range bed.Reach {
			cells = append(cells, habitat.Percent(r.WithinFraction))
		}
		letters := ""
		for _, i := range known {
			letters += " " + letter(&bed.Guilds[i])
		}
		fmt.Fprintln(tw, strings.Join(cells, "\t")+"\t"+letters+"\t")
	}
	tw.Flush()
	for i, row := range strings.Split(strings.TrimRight(b.String(), "\n"), "\n") {
		t.linef("%s%s  %s", names[i], strings.Repeat(" ", width-utf8.RuneCountInString(names[i])), row)
	}
	t.line("")
	t.line("nearest, farthest: from the bed's nearest and farthest point to any refuge; mean: from all its points")
	t.line("W within, P partly within, B beyond the typical range of:")
	for n, i := range known {
		g := t.a.Beds[0].Guilds[i].Guild
		t.linef("  %s  %s, %s%s", mark(n), g.Name, length.FormatRange(g.TypicalM, t.units), t.band(g))
	}
	t.bands(known)
	if len(unknown) > 0 {
		t.paragraph("", "No published distance limits: "+strings.Join(unknown, ", ")+".")
	}
}

// letter is small where the ends of the guild's published band say otherwise than its typical range.
func letter(g *habitat.GuildReach) string {
	if g.Band() != "" {
		return strings.ToLower(g.Status.Letter())
	}
	return g.Status.Letter()
}

// band is a guild's published band in brackets, as far as it is known.
func (t *texter) band(g *data.Guild) string {
	low, outer := length.FormatRange(g.LowM, t.units), length.FormatRange(g.OuterM, t.units)
	switch {
	case g.LowM > 0 && g.OuterM > 0:
		return fmt.Sprintf(" (%s to %s)", low, outer)
	case g.LowM > 0:
		return fmt.Sprintf(" (from %s)", low)
	case g.OuterM > 0:
		return fmt.Sprintf(" (to %s)", outer)
	}
	return ""
}

// bands says for each guild of how many beds the standing depends on which end of its published band is right, and names those
// for which everything does.
func (t *texter) bands(known []int) {
	said := false
	for n, i := range known {
		var parts []string
		for _, says := range []string{"within at best, beyond at worst", "within at best, partly at worst", "partly at best, beyond at worst"} {
			var beds []string
			for _, b := range t.a.Beds {
				if b.Guilds[i].Band() == says {
					beds = append(beds, bedName(b))
				}
			}
			if len(beds) == 0 {
				continue
			}
			part := fmt.Sprintf("%d %s", len(beds), says)
			if len(parts) == 0 && strings.Contains(says, "within at best, beyond") {
				const most = 8
				if len(beds) > most {
					beds = append(beds[:most-1:most-1], fmt.Sprintf("%d more", len(beds)-most+1))
				}
				part += " (" + strings.Join(beds, ", ") + ")"
			}
			parts = append(parts, part)
		}
		if len(parts) == 0 {
			continue
		}
		if !said {
			said = true
			t.paragraph("", "Small letters: the published band leaves it open. Beds at best (its outer end) and worst (its low end):")
		}
		t.paragraph("  ", mark(n)+"  "+strings.Join(parts, "; "))
	}
}

// mark heads a guild's column.
func mark(i int) string { return string(rune('a' + i)) }

func bedName(b *habitat.Bed) string {
	const most = 30
	name := b.Feature.Title()
	if r := []rune(name); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return name
}

func (t *texter) flowers() {
	list, when := t.a.Site.Season, "between the frosts"
	if len(list) == 0 {
		when = "all year, since no frost dates are given"
		for h := range season.HalfMonth(season.HalfMonths) {
			list = append(list, h)
		}
	}
	gap := map[season.HalfMonth]bool{}
	for _, h := range t.a.Site.BloomGaps {
		gap[h] = true
	}
	t.line("")
	t.line("In flower, " + when)
	for _, h := range list {
		c := t.a.Site.Cover[h]
		note := ""
		if gap[h] {
			note = "  bloom gap"
		}
		t.linef("  %-9s  %7s of the ground  %2d species%s", h.Label(), habitat.Percent(c.Fraction), c.Species, note)
	}
	if d := t.season.Diversity(); d.Species > 0 {
		t.linef("Plants in habitat: %d species by their ground; Shannon %.2f, Simpson %.2f, evenness %.2f", d.Species, d.Shannon, d.Simpson, d.Evenness)
	}
	if t.a.BloomEstimated {
		t.paragraph("", habitat.BloomIsMoved)
	}
}

// pests lists for each bed the pests of its crops, when they come and who holds them.
func (t *texter) pests() {
	if len(t.season.Verdicts) == 0 {
		return
	}
	t.line("")
	t.line("Pests of what is planted: when they come, and whether their enemies are in reach and fed then")
	for _, b := range t.season.Beds {
		if len(b.Verdicts) == 0 {
			continue
		}
		t.line(bedName(b.Bed))
		var held, also []string
		add := func(list *[]string, words string) {
			if !slices.Contains(*list, words) {
				*list = append(*list, words)
			}
		}
		for _, v := range b.Verdicts {
			name := v.Pest.Name
			switch {
			case v.Standing != habitat.EnemiesReady:
				t.paragraph("  ", t.crop(v.Planting.Crop)+": "+v.Line())
			case v.Time == nil:
				add(&also, name)
			case v.Time.Window.From == v.Time.Window.To:
				add(&held, name+" ("+v.Time.Window.From.Label()+")")
			default:
				add(&held, name+" ("+v.Time.Window.Label()+")")
			}
		}
		if len(held) > 0 {
			t.paragraph("  ", "Enemies in reach and fed when they come: "+strings.Join(held, ", ")+".")
		}
		if len(also) > 0 {
			t.paragraph("  ", "Enemies in reach, time not known here: "+strings.Join(also, ", ")+".")
		}
	}
	if t.a.Plan.Weather == nil {
		t.line("There is no weather record in the plan: times are those of the calendar where a source gives one.")
	}
	if slices.ContainsFunc(t.season.Verdicts, func(v habitat.Verdict) bool { return v.Time != nil && v.Time.Moved }) {
		t.line("Times that are called estimated were moved here as bloom is, by Hopkins' bioclimatic law (1918).")
	}
}

func (t *texter) crop(id string) string {
	if c := t.a.Catalogue.Crop(id); c != nil {
		return c.Name
	}
	return id
}

func (t *texter) findings() {
	t.line("")
	all := t.season.AllFindings()
	open := habitat.Open(all)
	if len(open) == 0 {
		t.line("No findings.")
	} else {
		t.line("Findings")
	}
	for _, f := range open {
		t.finding(&f)
	}
	if len(open) == len(all) {
		return
	}
	t.line("")
	t.line("Let stand")
	for _, f := range all {
		if f.Accepted == nil {
			continue
		}
		t.finding(&f)
		reason := "Let stand"
		if !f.Accepted.Date.IsZero() {
			reason += " on " + f.Accepted.Date.Format("2 January 2006")
		}
		if f.Accepted.Reason != "" {
			reason += ": " + f.Accepted.Reason
		}
		t.paragraph("      ", reason)
	}
}

func (t *texter) finding(f *habitat.Finding) {
	severity := strings.ToUpper(string(f.Severity[:1])) + string(f.Severity[1:])
	t.paragraph("  ", severity+": "+f.Title+". "+f.Message)
	if f.Mend != "" {
		t.paragraph("      ", "Mend: "+f.Mend)
	}
	if f.Source != "" {
		source := "Source: " + f.Source
		if f.Evidence != "" && f.Evidence != "none" {
			source += " (evidence " + string(f.Evidence) + ")"
		}
		t.paragraph("      ", source)
	}
}

// paragraph writes words in lines of up to 100 characters, further lines indented a little more.
func (t *texter) paragraph(indent, words string) {
	const most = 100
	line := indent
	for i, word := range strings.Fields(words) {
		if i > 0 && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > most {
			t.line(line)
			line = indent + "  "
		} else if i > 0 {
			line += " "
		}
		line += word
	}
	t.line(line)
}
