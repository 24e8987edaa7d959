package data

import (
	"io/fs"
	"math"
	"slices"
	"strings"

	"hedgereach/data/season"
)

// Phase is what an event says of a pest's coming and going.
type Phase string

// The phases. A Stage lasts so long from another that has to be seen first, so it has no date of its own. Advice is when to
// do something, not when the pest is there.
const (
	Comes  Phase = "comes"
	Peaks  Phase = "peak"
	Ends   Phase = "ends"
	Stage  Phase = "stage"
	Advice Phase = "advice"
)

// An Event is a sum of degree-days at which something happens in a pest's year. It holds only with its own method,
// thresholds and start: sums of different models must not be mixed.
type Event struct {
	ID         string
	Pest       string // id
	Model      string // what the events of one table share: where it was made, or who made it
	Name       string // "flies, 1st generation"
	Phase      Phase
	Generation int     // 1 for the first or wintering one; 0 where the event names none
	DegreeDays float64 // in Unit
	Unit       string  // "°C" or "°F"; "" where the source was not read so far
	Lower      float64 // threshold in Unit; NaN where it is not given
	Upper      float64 // threshold in Unit; NaN where there is none
	Method     string  // as package degreeday names it; "" where daily minimum and maximum do not serve
	Cutoff     string
	Start      season.Day // the day from which the sum runs; 0 where it runs from something that has to be seen
	StartWords string
	StartFrom  Checked // how far the start was held against its source
	Note       string
	From       Origin
}

// Dated tells whether a weather record gives the event a date: it knows how its degree-days are counted, and from when.
func (e *Event) Dated() bool { return e.Method != "" && e.Start != 0 }

// A PestTime is when a pest is about by the calendar, at one place, as a source words it.
type PestTime struct {
	ID      string
	Pest    string // id
	What    string // what it does then: "moths fly"
	Window  season.Window
	Place   Place  // where that holds
	Wording string // the time in the source's words
	Note    string
	From    Origin
}

// EventsOf are the degree-day events of a pest, in the order of the file; models stand together.
func (c *Catalogue) EventsOf(pest string) []*Event {
	return filter(c.Events, func(e *Event) bool { return e.Pest == pest })
}

// TimesOf are the times of a pest by the calendar, each for its place.
func (c *Catalogue) TimesOf(pest string) []*PestTime {
	return filter(c.Times, func(t *PestTime) bool { return t.Pest == pest })
}

// times adds when a pest comes: by degree-days, those of one table in a group, and by the calendar of a place.
func (e *builder) times(p *Pest) {
	var last *Event
	for _, v := range e.c.EventsOf(p.ID) {
		if last == nil || last.Model != v.Model || last.From.Checked != v.From.Checked || !slices.Equal(last.From.Sources, v.From.Sources) {
			e.group("By degree-days, "+v.Model, v.From)
		}
		last = v
		e.add(Fact{Label: firstUpper(v.Name), Value: v.words(), Min: v.DegreeDays, Max: v.DegreeDays, Unit: v.Unit})
	}
	for _, t := range e.c.TimesOf(p.ID) {
		e.group("By the calendar, "+t.Place.Name, t.From)
		e.text(firstUpper(t.What), t.Window.Label()+" (“"+t.Wording+"”)")
		e.text("Note", t.Note)
	}
}

// words say how an event is counted: "300 degree-days °F above 43 °F, simple average, start: 1 April".
func (v *Event) words() string {
	s := strings.TrimSpace(number(v.DegreeDays) + " degree-days " + v.Unit)
	switch {
	case math.IsNaN(v.Lower):
	case math.IsNaN(v.Upper):
		s += " above " + number(v.Lower) + " " + v.Unit
	default:
		s += " between " + number(v.Lower) + " and " + number(v.Upper) + " " + v.Unit
	}
	if v.Method != "" {
		s += ", " + v.Method
		if v.Cutoff != "none" {
			s += " with " + v.Cutoff + " cutoff"
		}
	}
	s += ", start: " + v.StartWords
	if v.Note != "" {
		s += "; " + v.Note
	}
	return s
}

func firstUpper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// maxDegreeDays catches a slip of the keyboard: no event of a year comes near it.
const maxDegreeDays = 10_000

func readEvents(dir fs.FS, c *Catalogue) error {
	return readTable(dir, "pest-events.csv", func(r *row) {
		e := &Event{
			ID: r.id(), Pest: r.link("pest", c.knowsPest), Model: r.need("model"), Name: r.need("event"),
			Phase:      Phase(r.word("phase", string(Comes), string(Peaks), string(Ends), string(Stage), string(Advice))),
			Generation: r.whole("generation", 1, 9), DegreeDays: r.number("degree_days", 1, maxDegreeDays),
			Unit: r.word("unit", "°C", "°F", ""), Lower: r.optional("lower", -10, 140), Upper: r.optional("upper", -10, 140),
			Method: r.word("method", "simple average", "modified average", "single sine", "double sine", "single triangle",
				"double triangle", ""),
			Cutoff: r.word("cutoff", "none", "horizontal", "intermediate", "vertical", ""),
			Start:  r.day("start"), StartWords: r.need("start_words"), Note: r.text("note"), From: r.origin("event", c),
		}
		if r.text("start_checked") != "" {
			e.StartFrom, _ = r.checked("start_checked")
		}
		counted := e.Method != ""
		switch {
		case e.DegreeDays == 0:
			r.fail("degree_days", "empty", "give the sum")
		case counted != (e.Cutoff != ""):
			r.fail("cutoff", "does not fit the method", "give both, or neither where daily temperatures do not serve")
		case counted && (e.Unit == "" || math.IsNaN(e.Lower)):
			r.fail("lower", "a method without a unit and a lower threshold", "give them, or take the method out")
		case e.Upper <= e.Lower:
			r.fail("upper", "not above the lower threshold", "correct the two temperatures")
		case counted && math.IsNaN(e.Upper) != (e.Cutoff == "none"):
			r.fail("cutoff", "does not fit the upper threshold", `write "none" where there is no upper threshold, and only there`)
		case (e.Start != 0) != (e.StartFrom != ""):
			r.fail("start_checked", "does not fit the start", "say how far a start was checked, and only of a start")
		case e.Start != 0 && !counted, counted && e.Start == 0 && e.Phase != Stage:
			r.fail("phase", "does not fit the start", `write "stage" where the sum runs from something that has to be seen`)
		}
		c.Events = append(c.Events, e)
	})
}

func readTimes(dir fs.FS, c *Catalogue) error {
	return readTable(dir, "pest-times.csv", func(r *row) {
		t := &PestTime{
			ID: r.id(), Pest: r.link("pest", c.knowsPest), What: r.need("what"), Window: r.window("from", "to"),
			Wording: r.need("wording"), Note: r.text("note"), From: r.origin("time", c),
		}
		if !t.Window.Given() {
			r.fail("from", "the window lacks an end", "give both days as MM-DD")
		}
		id := r.need("place")
		for _, p := range c.Places {
			if p.ID == id {
				t.Place = *p
			}
		}
		if t.Place.ID == "" {
			r.fail("place", "not known", "give an id of bloom-places.csv, or add the place there")
		}
		c.Times = append(c.Times, t)
	})
}

// link reads one id, which must be known.
func (r *row) link(column string, known func(string) bool) string {
	if ids := r.links(column, known); len(ids) == 1 {
		return ids[0]
	}
	r.fail(column, "not one id", "give one id; another needs a row of its own")
	return ""
}

// day reads a day MM-DD, 0 for an empty cell.
func (r *row) day(column string) season.Day {
	s := r.text(column)
	if s == "" {
		return 0
	}
	d, err := season.ParseDay(s)
	if err != nil {
		r.fail(column, "the day does not read", err.Error())
	}
	return d
}
