package tasks

import (
	"slices"
	"time"

	"hedgereach/data/season"
	"hedgereach/habitat/plan"
)

// A Week is seven days of work; the last one of the year has eight.
type Week struct {
	From, To season.Day
	Jobs     []Job
}

// A Job is what one week asks for of one kind, in the same words, on all features together.
type Job struct {
	Kind     Kind
	What     string
	Features []*plan.Feature // in the order of the plan
	Tasks    []*Task
}

// Weeks sorts tasks into the weeks of a growing year, in its order; weeks without work are left out, and so are tasks without
// a day. A week's jobs come in the order of Kinds. Where the year is known weeks begin on Mondays, the first of them with the days before; else on the year's first day
// and each seventh after it. Year 0 is one that is not known.
func Weeks(list []Task, year int, southern bool) []Week {
	first := season.NewYear(southern)
	shift := 0 // days of the first week
	if year > 0 {
		m, d := first.MonthDay()
		shift = (8 - int(time.Date(year, time.Month(m), d, 0, 0, 0, 0, time.UTC).Weekday())) % 7
	}
	of := func(day season.Day) int {
		n := first.DaysTo(day) - shift
		if shift > 0 {
			if n < 0 {
				return 0
			}
			return 1 + n/7
		}
		return n / 7
	}
	last := of(first.Add(364))
	weeks := make([]Week, last+1)
	for d := range 365 {
		day := first.Add(d)
		w := &weeks[of(day)]
		if w.From == 0 {
			w.From = day
		}
		w.To = day
	}
	for i := range list {
		t := &list[i]
		if t.When.From == 0 {
			continue
		}
		from, to := of(t.When.From), of(t.When.From)
		if t.Weekly {
			to = of(t.When.To)
		}
		for n := from; ; n = (n + 1) % len(weeks) {
			weeks[n].put(t)
			if n == to {
				break
			}
		}
	}
	var out []Week
	for _, w := range weeks {
		slices.SortStableFunc(w.Jobs, func(a, b Job) int { return slices.Index(Kinds, a.Kind) - slices.Index(Kinds, b.Kind) })
		if len(w.Jobs) > 0 {
			out = append(out, w)
		}
	}
	return out
}

// put adds a task to the job that asks for the same, or makes one.
func (w *Week) put(t *Task) {
	for i := range w.Jobs {
		j := &w.Jobs[i]
		if j.Kind == t.Kind && j.What == t.What {
			j.Tasks = append(j.Tasks, t)
			for _, f := range j.Features {
				if f == t.Feature {
					return
				}
			}
			j.Features = append(j.Features, t.Feature)
			return
		}
	}
	w.Jobs = append(w.Jobs, Job{Kind: t.Kind, What: t.What, Features: []*plan.Feature{t.Feature}, Tasks: []*Task{t}})
}
