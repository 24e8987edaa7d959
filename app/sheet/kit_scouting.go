package sheet

import (
	"slices"
	"strconv"
	"strings"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/pestwindow"
	"hedgereach/habitat/plan"
)

// noThreshold stands where the catalogue has no threshold that was read at a source.
const noThreshold = "no published threshold here: write yours"

// A watched pest is one that a crop of the plan may have.
type watched struct {
	pest  *data.Pest
	crops []string
	beds  []*plan.Feature
	times []string
	why   string // why no time is known
}

// watch lists the pests of the plan's beds, those with a known time first, by the day when they come, then by name.
func (j *job) watch() []*watched {
	var all []*watched
	at := map[string]*watched{}
	first := map[*watched]int{}
	days := map[*watched]map[string]season.Day{} // on which each time begins
	for _, f := range j.a.Plan.Features {
		if f.Kind != plan.Bed && f.Kind != plan.TrapCrop {
			continue
		}
		for _, p := range f.Crops {
			for _, row := range j.field().pests.Of(p.Crop, p.Dates) {
				w := at[row.Pest.ID]
				if w == nil {
					w = &watched{pest: row.Pest, why: row.Why}
					at[row.Pest.ID] = w
					first[w], days[w] = 1000, map[string]season.Day{}
					all = append(all, w)
				}
				if c := j.a.Catalogue.Crop(p.Crop); c != nil && !slices.Contains(w.crops, c.Name) {
					w.crops = append(w.crops, c.Name)
				}
				if !slices.Contains(w.beds, f) {
					w.beds = append(w.beds, f)
				}
				for i := range row.Times {
					t := &row.Times[i]
					if words := pestTime(t); t.Meets && !slices.Contains(w.times, words) {
						w.times, days[w][words] = append(w.times, words), t.Window.From
						first[w] = min(first[w], int(t.Window.From))
					}
				}
			}
		}
	}
	year := j.a.Plan.NewYear()
	for _, w := range all {
		slices.SortStableFunc(w.times, func(a, b string) int { return year.DaysTo(days[w][a]) - year.DaysTo(days[w][b]) })
	}
	slices.SortStableFunc(all, func(a, b *watched) int {
		if d := first[a] - first[b]; d != 0 {
			return d
		}
		return strings.Compare(a.pest.Name, b.pest.Name)
	})
	return all
}

// pestTime is when a pest comes, without what it rests on.
func pestTime(t *pestwindow.Time) string {
	if t.Window.From == t.Window.To {
		return "about " + joined(t.Window.From.Label())
	}
	return joined(t.Window.Label())
}

// threshold is the pest's threshold in words where somebody read it at its source or at second hand; known is false where not.
func threshold(p *data.Pest) (words string, known bool) {
	from := p.ThresholdFrom
	if p.Threshold == "" || from.Evidence == data.None || from.Checked != data.ReadAtSource && from.Checked != data.SecondHand && from.Checked != data.OwnEntry {
		return noThreshold, false
	}
	return p.Threshold, true
}

// scouting is the sheet for walks: pests with where and how to look and when it is time to act, room for counts, and the
// natural enemies seen.
func (j *job) scouting() {
	if j.a.Catalogue == nil {
		return
	}
	all := j.watch()
	if len(all) == 0 {
		return
	}
	defer j.onHand(true)()
	f := newFlow(j, "Scouting sheet")
	f.divide(1)
	f.heading("Scouting sheet", 40)
	small := j.hand(handSmall)
	f.paragraph("Walk once a week, in the same order, on a dry morning. Count as the sheet says, write the number, and write 0 where you looked and "+
		"saw none. Thresholds were made for commercial fields of one region: take them as a guide. Below the threshold, wait and look "+
		"again: the enemies need something to eat. Above it, the gentlest thing first.", small, false, 0)
	f.cautions(habitat.Stings, habitat.Labels)
	f.y += j.look.Pt(handSmall)
	j.blanks(f.list(), f.x, f.x+f.wide, f.y+small.size, small, "Walked by", "Week of", "Weather and other notes")
	f.y += small.size*1.2 + 3
	t := ruled{letter: small, least: j.look.Pt(handSmall) * 3.4, columns: []ruledColumn{{head: "Pest", share: 40}, {head: "When and where", share: 48}, {head: "How to look", share: 46},
		{head: "Time to act", share: 56}, {head: "1st", share: 14}, {head: "2nd", share: 14}, {head: "3rd", share: 14}, {head: "4th", share: 14}, {head: "Enemies seen on it", share: 34}}}
	sources := &footnotes{}
	for n, w := range all {
		when := strings.Join(w.times, ", ")
		switch known := when != ""; {
		case known && n == 0:
			t.rows = append(t.rows, ruledRow{band: "Pests whose time is known here", note: "in the order in which they come"})
		case !known && (n == 0 || len(all[n-1].times) > 0):
			t.rows = append(t.rows, ruledRow{band: "Pests whose time is not known here", note: "look as long as the crop stands"})
		}
		if when != "" {
			when += ": "
		}
		act, known := threshold(w.pest)
		if known {
			act = capital(act)
			for _, id := range w.pest.ThresholdFrom.Sources {
				if s := j.a.Catalogue.Source(id); s != nil {
					act += string(noBreak) + sources.mark(s.Citation)
				}
			}
		} else {
			act = capital(act) + " ………"
		}
		t.rows = append(t.rows, ruledRow{words: []string{capital(w.pest.Name), when + j.names(w.beds, 6), capital(w.pest.Scouting), act, "", "", "", "", ""},
			bold: []bool{true, false, false, false, false, false, false, false, false}})
	}
	f.ruled(t)
	if len(sources.sources) > 0 {
		f.heading("Where the thresholds come from", 8)
		for i, s := range sources.sources {
			f.paragraph("["+strconv.Itoa(i+1)+"] "+s, j.hand(handSmall-1.5), true, 0)
		}
	}
	j.enemiesSeen(f, all)
}

// enemiesSeen is a table for the natural enemies met on the walks.
func (j *job) enemiesSeen(f *flow, all []*watched) {
	guilds := j.helpers(all)
	if len(guilds) == 0 {
		return
	}
	f.heading("Natural enemies seen", 40)
	f.paragraph("Look before you do anything: where these are at work, give them a week. Count for five minutes in the beds and five at the rough "+
		"edge.", j.hand(handSmall), false, 0)
	f.y += 1.5
	t := ruled{letter: j.hand(handSmall), least: j.look.Pt(handSmall) * 2.8, columns: []ruledColumn{{head: "Who", share: 50}, {head: "Eats", share: 76}, {head: "Of this plan's pests", share: 70},
		{head: "1st", share: 20}, {head: "2nd", share: 20}, {head: "3rd", share: 20}, {head: "4th", share: 20}}}
	for _, g := range guilds {
		var pests []string
		for _, w := range all {
			if slices.Contains(w.pest.Guilds, g.ID) {
				pests = append(pests, w.pest.Name)
			}
		}
		if len(pests) > 6 {
			pests = append(pests[:5], "and "+strconv.Itoa(len(pests)-5)+" more")
		}
		t.rows = append(t.rows, ruledRow{words: []string{g.Name, capital(g.Eats), capital(strings.Join(pests, ", ")), "", "", "", ""}, bold: []bool{true, false, false, false, false, false, false}})
	}
	f.ruled(t)
}

// helpers are the guilds of natural enemies that hold a pest of the plan, those that hold most of them first.
func (j *job) helpers(all []*watched) []*data.Guild {
	count := map[*data.Guild]int{}
	var out []*data.Guild
	for _, g := range j.a.Catalogue.Guilds {
		for _, w := range all {
			if slices.Contains(w.pest.Guilds, g.ID) {
				count[g]++
			}
		}
		if count[g] > 0 && !g.Pollinator {
			out = append(out, g)
		}
	}
	slices.SortStableFunc(out, func(a, b *data.Guild) int { return count[b] - count[a] })
	return out
}
