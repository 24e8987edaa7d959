package calendar

import (
	"slices"
	"strings"

	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// Beds is the bed calendar: for each bed and trap crop what stands in it and when, when it lies under cover, and for each pest of
// its crops when it comes and whether its enemies can be there.
func Beds(s *habitat.Season) *Chart {
	a, verdicts := s.Assessment, s.Verdicts
	c := of(a, "Bed calendar")
	c.name, c.note = "Beds, crops, pests", "Who holds the pest"
	c.empty = "No bed is drawn yet."
	of := map[*plan.Feature][]*habitat.Verdict{}
	for i := range verdicts {
		of[verdicts[i].Bed] = append(of[verdicts[i].Bed], &verdicts[i])
	}
	for _, f := range a.Plan.Features {
		if f.Kind != plan.Bed && f.Kind != plan.TrapCrop {
			continue
		}
		c.rows = append(c.rows, row{heading: true, name: f.Title()})
		first := len(c.rows) - 1
		for _, p := range f.Crops {
			name := p.Crop
			if crop := a.Catalogue.Crop(p.Crop); crop != nil {
				name = crop.Name
			}
			r := row{name: name, bars: split(a.Plan.Days(p.Dates), standing, "")}
			if p.Share < 1 {
				r.name += ", " + share(p.Share)
			}
			c.rows = append(c.rows, r)
		}
		for _, cover := range f.Covers() {
			r := row{name: "row cover or net", bars: split(a.Plan.Days(cover.Dates), covered, "")}
			if cover.Material != "" {
				r.name = cover.Material
			}
			c.rows = append(c.rows, r)
		}
		c.rows = append(c.rows, works(a, f)...)
		c.rows = append(c.rows, pests(of[f])...)
		if len(f.Crops) == 0 {
			c.rows = append(c.rows, row{name: "nothing is sown or planted", italic: true})
		}
		for i := first; i < len(c.rows); i++ {
			c.rows[i].feature = f.ID
		}
	}
	for _, f := range a.Plan.Features {
		if t := f.Trap; t != nil && (t.Set != 0 || t.Until != 0) {
			c.rows = append(c.rows, row{heading: true, name: f.Title(), feature: f.ID})
			hung := row{name: "hung, and renewed", feature: f.ID}
			if t.Set != 0 && t.Until != 0 {
				hung.bars = split(season.Window{From: t.Set, To: t.Until}, standing, "")
			}
			hung.bars = append(hung.bars, days(append([]season.Day{t.Set}, t.Renewals()...)...)...)
			c.rows = append(c.rows, hung)
		}
	}
	c.used([]keyed{{standing, "stands"}, {covered, "under cover"}, {ready, "pest: its enemies within reach, and fed (W)"},
		{partly, "partly, or not fed (P)"}, {missing, "beyond reach (B)"}, {unknown, "not known how far they go (?)"}, {shut, "kept out by a cover (C)"}, {dated, "work of a day"}})
	return c
}

// works are the rows of what is done on certain days: treatments, and the sowing and clearing of a trap crop.
func works(a *habitat.Assessment, f *plan.Feature) (rows []row) {
	for _, t := range f.Treatments {
		r := row{name: t.Material, bars: days(t.On...)}
		if m := a.Catalogue.Material(t.Material); m != nil {
			r.name = m.Name
		}
		if p := a.Catalogue.Pest(t.Pest); p != nil {
			r.note = "against " + p.Name
		}
		rows = append(rows, r)
	}
	if t := f.Trapping; t != nil && (t.Sown != 0 || t.Cleared != 0) {
		rows = append(rows, row{name: "trap sown, trap cleared", bars: days(t.Sown, t.Cleared), note: t.Removal})
	}
	return rows
}

// days are bars of single days; those not given are left out.
func days(list ...season.Day) (bars []bar) {
	for _, d := range list {
		if d != 0 {
			bars = append(bars, bar{d, d, dated, ""})
		}
	}
	return bars
}

// pests are the rows of a bed's pests: each pest once, with all its times at which a crop of the bed stands. Those whose time is
// not known here share a row, which names them.
func pests(verdicts []*habitat.Verdict) (rows []row) {
	at := map[string]int{}
	var timeless []string
	for _, v := range verdicts {
		name := v.Pest.Name
		if len(v.HalfMonths) == 0 {
			if !slices.Contains(timeless, name) {
				timeless = append(timeless, name)
			}
			continue
		}
		i, there := at[v.Pest.ID]
		if !there {
			i = len(rows)
			at[v.Pest.ID] = i
			rows = append(rows, row{name: name, italic: true})
		}
		if rows[i].note == "" { // of the first time at which no cover keeps it out
			rows[i].note = strings.TrimSuffix(who(v), ".")
		}
		s := map[habitat.Standing]sort{habitat.EnemiesReady: ready, habitat.EnemiesPartly: partly, habitat.EnemiesMissing: missing,
			habitat.CoverKeepsOut: shut}
		look, known := s[v.Standing]
		if !known {
			look = unknown
		}
		open := slices.DeleteFunc(slices.Clone(v.HalfMonths), func(h season.HalfMonth) bool { return slices.Contains(v.Covered, h) })
		for _, run := range runs(open) {
			rows[i].bars = append(rows[i].bars, bar{run[0].First(), run[1].Last(), look, letters[look]})
		}
		for _, run := range runs(v.Covered) {
			rows[i].bars = append(rows[i].bars, bar{run[0].First(), run[1].Last(), shut, letters[shut]})
		}
	}
	for i := range rows {
		if rows[i].note == "" {
			rows[i].note = "Kept out by the cover"
		}
	}
	if len(timeless) > 0 {
		rows = append(rows, row{name: "time not known here: " + strings.Join(timeless, ", "), italic: true, wide: true})
	}
	return rows
}

// letters stand in the bars of pests, since neither colour nor ruling says how bad a case is.
var letters = map[sort]string{ready: habitat.Within.Letter(), partly: habitat.Partly.Letter(), missing: habitat.Beyond.Letter(),
	unknown: habitat.Unknown.Letter(), shut: "C"}

// who is the part of a verdict's line that names the enemies, in short; none where a cover keeps the pest out.
func who(v *habitat.Verdict) string {
	_, enemies, _ := strings.Cut(v.Line(), ". ")
	for _, e := range v.Enemies {
		enemies = strings.ReplaceAll(enemies, habitat.InText(e.Guild.Name), habitat.InText(short(e.Guild.Name)))
		enemies = strings.ReplaceAll(enemies, e.Guild.Name, short(e.Guild.Name)) // at the start
	}
	return enemies
}

// runs are the unbroken stretches of half-months in the order of the year.
func runs(list []season.HalfMonth) (out [][2]season.HalfMonth) {
	for _, h := range list {
		if n := len(out); n > 0 && out[n-1][1]+1 == h {
			out[n-1][1] = h
			continue
		}
		out = append(out, [2]season.HalfMonth{h, h})
	}
	return out
}
