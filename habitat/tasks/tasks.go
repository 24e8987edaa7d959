// Package tasks lists the dated work that a plan asks for: what is sown and planted, covers put on and taken off, traps hung
// and renewed, walks to scout when pests come, trap crops cleared, flower strips cut, last resorts. It knows days, beds and the
// catalogue, and nothing of paper or windows.
package tasks

import (
	"fmt"
	"slices"
	"strings"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry/length"
	"hedgereach/habitat"
	"hedgereach/habitat/pestwindow"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/quantities"
)

// A Kind says what is done.
type Kind string

// The kinds, in the order in which a day's work is listed.
const (
	Sow       Kind = "sow"
	Plant     Kind = "plant"
	CoverOn   Kind = "cover on"
	CoverOff  Kind = "cover off"
	HangTrap  Kind = "hang trap"
	RenewTrap Kind = "renew trap"
	TakeTrap  Kind = "take trap down"
	Scout     Kind = "walk and look"
	PickOff   Kind = "clear pests from trap crop"
	ClearTrap Kind = "clear trap crop"
	Treat     Kind = "last resort"
	Cut       Kind = "cut"
	Clear     Kind = "last harvest"
)

// Kinds lists every kind.
var Kinds = []Kind{Sow, Plant, CoverOn, CoverOff, HangTrap, RenewTrap, TakeTrap, Scout, PickOff, ClearTrap, Treat, Cut, Clear}

// A Task is one piece of work on one feature.
type Task struct {
	Kind    Kind
	Feature *plan.Feature
	When    season.Window // the day, or the days within which it is done; not given where the plan says none
	Weekly  bool          // it is done once in each week of When, else once, from its first day on
	What    string        // a few words, without the feature's name: "sow carrot"
	How     string        // a sentence, or ""
	Row     *quantities.Row
	Pest    *data.Pest
	Time    *pestwindow.Time // of the pest
	Dangers []habitat.Danger
	Source  string // of the day, where the plan does not say it; "" else
}

// Cutting of flower strips. The share and the season are those of an agency's scheme for flower-rich margins; the days are our
// reading of its "late summer", and that a strip still in flower then is left to finish is ours.
const (
	CutShare  = 0.9
	cutFrom   = season.Day(228) // 16 August
	cutDays   = 30
	CutSource = "rpa-ab8"
)

// everyWeek is why walks are weekly where the pest's own row says nothing else.
const everyWeek = "once a week (common practice, no source)"

// Of lists the work of an assessed plan, in the order of its days; what has no day comes last. The list of quantities is that
// of the same plan; nil leaves numbers out.
func Of(a *habitat.Assessment, l *quantities.List, pests *pestwindow.Calendar) []Task {
	w := &work{a: a, c: a.Catalogue, pests: pests, year: a.Plan.NewYear()}
	rows := map[*plan.Feature][]*quantities.Row{}
	if l != nil {
		for i := range l.Rows {
			r := &l.Rows[i]
			rows[r.Feature] = append(rows[r.Feature], r)
		}
	}
	for _, f := range a.Plan.Features {
		w.planting(f, rows[f])
		w.covers(f)
		w.trap(f)
		w.trapCrop(f)
		w.treatments(f)
		w.cuts(f)
		w.scouting(f)
	}
	slices.SortStableFunc(w.list, func(x, y Task) int {
		if d := w.rank(x) - w.rank(y); d != 0 {
			return d
		}
		return slices.Index(Kinds, x.Kind) - slices.Index(Kinds, y.Kind)
	})
	return w.list
}

type work struct {
	a     *habitat.Assessment
	c     *data.Catalogue
	pests *pestwindow.Calendar
	year  season.Day // the first of the growing year
	list  []Task
}

// rank is the place of a task's first day in the growing year, which begins in January, south of the equator in July.
func (w *work) rank(t Task) int {
	if t.When.From == 0 {
		return 1000
	}
	return w.year.DaysTo(t.When.From)
}

func (w *work) add(t Task) { w.list = append(w.list, t) }

// on is the window of one day; not given for a day that is not.
func on(d season.Day) season.Window { return season.Window{From: d, To: d} }

func (w *work) planting(f *plan.Feature, rows []*quantities.Row) {
	for _, r := range rows {
		t := Task{Feature: f, Row: r, Kind: Plant, When: on(r.From), What: "plant " + r.Called(), Dangers: []habitat.Danger{habitat.Dust}}
		switch {
		case r.Method == quantities.Sow:
			t.Kind, t.What = Sow, "sow "+r.Called()
		case r.Method == quantities.Set:
			t.What = "set " + r.Called()
		}
		if r.Plant != nil {
			t.Dangers = append(t.Dangers, habitat.BadPlants)
			switch {
			case f.Kind == plan.FlowerStrip && w.a.Plan.Place != nil && w.a.Plan.Place.LastFrost != 0:
				t.When = on(w.a.Plan.Place.LastFrost)
				t.Source = "after the usual last frost (common practice, no source)"
			case f.Kind != plan.FlowerStrip && f.Kind != plan.CoverCrop:
				t.How = "Only what does not stand there yet."
				t.Dangers = append(t.Dangers, habitat.Buried)
			}
		}
		w.add(t)
		if r.Crop != nil && r.Stands {
			w.list[len(w.list)-1].How = "Only what does not stand there yet."
		} else if r.Crop != nil && f.Kind == plan.Bed && r.Until != 0 {
			w.add(Task{Kind: Clear, Feature: f, Row: r, When: on(r.Until), What: "last harvest of " + r.Called()})
		}
	}
}

func (w *work) covers(f *plan.Feature) {
	for _, c := range f.Covers() {
		what := "row cover"
		if c.Material != "" {
			what = c.Material
		}
		put := Task{Kind: CoverOn, Feature: f, What: what + " on", When: on(c.Dates.From), How: "Bury or weigh down the edges all along."}
		if c.MeshMM > 0 {
			put.What += fmt.Sprintf(" (mesh %g mm)", c.MeshMM)
		}
		w.add(put)
		w.add(Task{Kind: CoverOff, Feature: f, What: what + " off", When: on(c.Dates.To)})
	}
}

func (w *work) trap(f *plan.Feature) {
	m := f.Trap
	if m == nil {
		return
	}
	what := "trap"
	if k := w.c.Trap(m.Trap); k != nil {
		what = k.Name
	}
	t := Task{Kind: HangTrap, Feature: f, Pest: w.c.Pest(m.Pest), What: "hang " + what}
	if n := m.Count(); n > 1 {
		t.What = fmt.Sprintf("hang %d × %s", n, what)
	}
	var how []string
	if m.HeightM > 0 {
		height := fmt.Sprintf("%g m", m.HeightM)
		if w.a.Plan.Units == plan.US {
			height = length.Format(m.HeightM, length.US)
		}
		how = append(how, height+" above the ground")
	}
	if t.Pest != nil {
		how = append(how, "for "+t.Pest.Name)
	}
	if len(how) > 0 {
		t.How = upper(strings.Join(how, ", ")) + "."
	}
	t.When = on(m.Set)
	w.add(t)
	for _, d := range m.Renewals() {
		w.add(Task{Kind: RenewTrap, Feature: f, Pest: t.Pest, When: on(d), What: "count and renew " + what, How: "Write the count down before the old one goes."})
	}
	if m.Until != 0 {
		w.add(Task{Kind: TakeTrap, Feature: f, Pest: t.Pest, When: on(m.Until), What: "take down " + what})
	}
}

func (w *work) trapCrop(f *plan.Feature) {
	x := f.Trapping
	if x == nil {
		return
	}
	var stands season.Window
	for _, p := range f.Crops {
		if p.Dates.From != 0 && stands.From == 0 {
			stands = p.Dates
		}
	}
	if x.Sown != 0 {
		stands.From = x.Sown
	}
	if x.Cleared != 0 {
		stands.To = x.Cleared
	}
	pest := w.c.Pest(x.Pest)
	name := "the pest"
	if pest != nil {
		name = pest.Name
	}
	how := strings.TrimSpace(x.Removal)
	if how == "" {
		how = "The plan does not say how: decide before it is sown, or leave the trap crop out."
	}
	days := stands // of the walks
	if days.From != 0 {
		days = w.a.Plan.Days(days)
	}
	pick := Task{Kind: PickOff, Feature: f, Pest: pest, What: "look for " + name + " and take it off", How: how, When: days, Weekly: true}
	if x.EveryDays > 0 && days.Given() {
		for d := x.EveryDays; d < days.From.DaysTo(days.To); d += x.EveryDays {
			one := pick
			one.When, one.Weekly = on(days.From.Add(d)), false
			w.add(one)
		}
	} else {
		w.add(pick)
	}
	w.add(Task{Kind: ClearTrap, Feature: f, Pest: pest, What: "clear the trap crop", How: how, When: on(stands.To)})
}

func (w *work) treatments(f *plan.Feature) {
	for _, x := range f.Treatments {
		name := x.Material
		t := Task{Kind: Treat, Feature: f, Pest: w.c.Pest(x.Pest), Dangers: []habitat.Danger{habitat.Labels, habitat.Dust}}
		if m := w.c.Material(x.Material); m != nil {
			name = m.Name
			t.How = m.Cautions
		}
		t.What = name
		if t.Pest != nil {
			t.What += " against " + t.Pest.Name
		}
		var how []string
		if x.Evening {
			how = append(how, "in the evening, when bees no longer fly")
		}
		if x.HarvestHours != nil {
			how = append(how, fmt.Sprintf("no harvest for %g h after it", *x.HarvestHours))
		} else {
			how = append(how, "read on the label how long to wait before harvest")
		}
		if t.How != "" {
			how = append([]string{t.How}, how...)
		}
		t.How = upper(strings.Join(how, "; ")) + "."
		if len(x.On) == 0 {
			w.add(t)
		}
		for _, d := range x.On {
			t.When = on(d)
			w.add(t)
		}
	}
}

// cuts are those of perennial strips, in late summer or when the last of their flowers is over, and of cover crops before they
// seed themselves, when their flowers fade.
func (w *work) cuts(f *plan.Feature) {
	if f.Kind != plan.PerennialStrip && f.Kind != plan.CoverCrop || len(f.Plants) == 0 {
		return // what is not there need not be cut
	}
	var last season.Day // end of bloom
	for _, g := range f.Plants {
		if b := w.a.Bloom(g); b.Given() && (last == 0 || w.year.DaysTo(b.To) > w.year.DaysTo(last)) {
			last = b.To
		}
	}
	t := Task{Kind: Cut, Feature: f, Dangers: []habitat.Danger{habitat.Stings, habitat.Dust}}
	if f.Kind == plan.CoverCrop {
		if last == 0 {
			return
		}
		t.What, t.Source = "cut before it sets seed", "common practice, no source"
		t.How = "Cut it on a cool morning, when few bees fly, and leave it lying or rake it to the side."
		t.When = season.Window{From: last.Add(-7), To: last.Add(7)}
		w.add(t)
		return
	}
	from := cutFrom
	if w.year == season.NewYear(true) {
		from = from.Add(season.HalfYear)
	}
	if last != 0 && w.year.DaysTo(last) > w.year.DaysTo(from) {
		from = last.Add(1)
	}
	t.What = fmt.Sprintf("cut %.0f\u00a0%%, leave %.0f\u00a0%% standing for what winters in it", CutShare*100, (1-CutShare)*100)
	t.How = "Natural enemies winter in old stems and tussocks: leave another part standing than last year, cut no lower than a hand's breadth, and rake it to the side so that what lives in it can walk out."
	t.When = season.Window{From: from, To: from.Add(cutDays)}
	t.Source = w.source(CutSource)
	w.add(t)
}

func (w *work) source(id string) string {
	if s := w.c.Source(id); s != nil {
		return s.Citation
	}
	return ""
}

// scouting is a walk a week in the days in which a pest of a bed's crop comes while the crop stands.
func (w *work) scouting(f *plan.Feature) {
	if f.Kind != plan.Bed || w.pests == nil {
		return
	}
	for _, p := range f.Crops {
		for _, row := range w.pests.Of(p.Crop, p.Dates) {
			for i := range row.Times {
				x := &row.Times[i]
				for _, days := range shared(x.Window, w.a.Plan.Days(p.Dates)) {
					w.add(Task{Kind: Scout, Feature: f, When: days, Weekly: true, Pest: row.Pest, Time: x, What: "look for " + row.Pest.Name,
						How: upper(row.Pest.Scouting) + ".", Source: everyWeek, Dangers: []habitat.Danger{habitat.Stings}})
				}
			}
		}
	}
}

// shared are the days that two windows share: none, one run of them, or two where both reach round the year. A window that is not
// given is the whole year.
func shared(a, b season.Window) (runs []season.Window) {
	in := func(w season.Window, d season.Day) bool { return !w.Given() || w.Contains(d) }
	if !a.Given() && !b.Given() {
		return []season.Window{{From: 1, To: 365}}
	}
	var open season.Window
	for d := season.Day(1); d <= 365; d++ {
		switch both := in(a, d) && in(b, d); {
		case both && open.From == 0:
			open = season.Window{From: d, To: d}
		case both:
			open.To = d
		case open.From != 0:
			runs = append(runs, open)
			open = season.Window{}
		}
	}
	if open.From != 0 {
		runs = append(runs, open)
	}
	if n := len(runs); n > 1 && runs[0].From == 1 && runs[n-1].To == 365 { // one run over the turn of the year
		runs[0].From = runs[n-1].From
		runs = runs[:n-1]
	}
	return runs
}

func upper(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[0])) + string(r[1:])
}
