package sheet

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"hedgereach/data/season"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/tasks"
)

// weeklyList is the season's work week by week, with room to write who does it.
func (j *job) weeklyList() {
	if j.a.Catalogue == nil {
		return
	}
	list := j.field().tasks
	if len(list) == 0 {
		return
	}
	southern := j.a.Plan.Place != nil && j.a.Plan.Place.Latitude < 0
	weeks := tasks.Weeks(list, j.a.Plan.Year, southern)
	defer j.onHand(false)()
	f := newFlow(j, "Weekly list")
	f.divide(1)
	title := "The season, week by week"
	if j.a.Plan.Year > 0 {
		title += fmt.Sprintf(", %d", j.a.Plan.Year)
	}
	f.heading(title, 30)
	words := "Tick what is done and write who did it. Work that may wait stands in the week in which it begins. Every week: walk past all beds, look " +
		"under leaves, and write what you see on the scouting sheet"
	if n := j.unknownPests(); n > 0 {
		words += fmt.Sprintf("; for %d of the plan's pests no time is known here", n)
	}
	f.paragraph(words+".", j.hand(handSmall), false, 0)
	f.y += 2
	t := ruled{letter: j.hand(handSmall), least: j.look.Pt(handSmall) * 2.1, columns: []ruledColumn{{head: "Done", share: 11, tick: true}, {head: "When", share: 21},
		{head: "What", share: 62}, {head: "Where", share: 62}, {head: "Who", share: 34}}}
	for _, w := range weeks {
		t.rows = append(t.rows, ruledRow{band: j.week(w)})
		walked := false
		for _, x := range w.Jobs {
			switch {
			case x.Kind != tasks.Scout:
				t.rows = append(t.rows, j.jobRow(x))
			case !walked: // one walk for all pests
				t.rows = append(t.rows, j.walkRow(w))
				walked = true
			}
		}
	}
	var undated []ruledRow
	seen := map[string]int{}
	for i := range list {
		x := &list[i]
		if x.When.From != 0 {
			continue
		}
		if at, ok := seen[x.What]; ok {
			undated[at].words[3] += ", " + joined(j.name(x.Feature))
			continue
		}
		seen[x.What] = len(undated)
		undated = append(undated, ruledRow{words: []string{"", "", capital(x.What), joined(j.name(x.Feature)), ""}})
	}
	if len(undated) > 0 {
		t.rows = append(append(t.rows, ruledRow{band: "No date in the plan", note: "of what is to last, only what does not stand there yet"}), undated...)
	}
	f.ruled(t)
}

// jobRow is one job of a week.
func (j *job) jobRow(x tasks.Job) ruledRow {
	what, when := capital(x.What), j.jobDays(x.Tasks)
	number := 0
	for _, t := range x.Tasks {
		if t.Row != nil && (t.Kind == tasks.Sow || t.Kind == tasks.Plant) {
			number += t.Row.Take
		}
	}
	if number > 0 {
		what += fmt.Sprintf(" (%s %s)", thousands(number), plural(x.Tasks[0].Row.As, number))
	}
	return ruledRow{words: []string{"", when, what, j.names(x.Features, 12), ""}}
}

// jobDays is when one job is done: its day, from the first to the last where its places have different ones, or the last of those
// that it may take; nothing where those differ.
func (j *job) jobDays(list []*tasks.Task) string {
	year := j.a.Plan.NewYear()
	days, long := list[0].When, list[0].When.To != list[0].When.From && list[0].When.To != 0
	for _, t := range list[1:] {
		if t.When != list[0].When && (long || t.When.To != t.When.From && t.When.To != 0) {
			return ""
		}
		if year.DaysTo(t.When.From) < year.DaysTo(days.From) {
			days.From = t.When.From
		}
		if year.DaysTo(t.When.To) > year.DaysTo(days.To) {
			days.To = t.When.To
		}
	}
	if long {
		return "until " + days.To.Label()
	}
	if m, first := days.From.MonthDay(); days.From != days.To {
		if last, _ := days.To.MonthDay(); m == last { // the column is narrow
			return fmt.Sprintf("%d–%s", first, days.To.Label())
		}
	}
	return span(days)
}

// walkRow is the week's walk with the pests that may come; the scouting sheet says which is looked for in which bed.
func (j *job) walkRow(w tasks.Week) ruledRow {
	var pests []string
	var beds []*plan.Feature
	for _, x := range w.Jobs {
		if x.Kind == tasks.Scout {
			pests = append(pests, plainName(x.Tasks[0].Pest.Name))
			for _, f := range x.Features {
				if !slices.Contains(beds, f) {
					beds = append(beds, f)
				}
			}
		}
	}
	return ruledRow{words: []string{"", "", "Walk and look for " + strings.Join(pests, ", "), j.names(beds, 9), ""}}
}

// plainName is a name without what stands in brackets after it.
func plainName(s string) string {
	name, _, _ := strings.Cut(s, " (")
	return name
}

// week is its days in words: "Monday 4 to Sunday 10 May", or without weekdays where the plan gives no year.
func (j *job) week(w tasks.Week) string {
	if y := j.a.Plan.Year; y > 0 {
		date := func(d season.Day) time.Time {
			m, day := d.MonthDay()
			year := y
			if j.a.Plan.Place != nil && j.a.Plan.Place.Latitude < 0 && m < 7 {
				year++
			}
			return time.Date(year, time.Month(m), day, 0, 0, 0, 0, time.UTC)
		}
		from, to := date(w.From), date(w.To)
		if from.Month() == to.Month() {
			return from.Format("Monday 2") + " – " + to.Format("Monday 2 January")
		}
		return from.Format("Monday 2 January") + " – " + to.Format("Monday 2 January")
	}
	return (season.Window{From: w.From, To: w.To}).Label()
}

// unknownPests counts the pests of the plan's crops for which no time is known here.
func (j *job) unknownPests() int {
	unknown := map[string]bool{}
	for _, f := range j.a.Plan.Features {
		if f.Kind != plan.Bed {
			continue
		}
		for _, p := range f.Crops {
			for _, r := range j.field().pests.Of(p.Crop, p.Dates) {
				if !r.Known() {
					unknown[strings.ToLower(r.Pest.ID)] = true
				}
			}
		}
	}
	return len(unknown)
}
