package plan

import (
	"fmt"
	"time"
)

// The years that a plan may be of, and temperatures and hours that can be meant.
const (
	FirstYear, LastYear = 1800, 2300
	coldest, hottest    = -100, 160 // °C or °F
	mostHours           = 24 * 365
	mostMeshMM          = 100
	mostHeightM         = 100
	mostTraps           = 1000
	mostSpacingM        = 100
)

func checkYear(where string, year int) *ReadError {
	if year < FirstYear || year > LastYear {
		return &ReadError{Where: where, What: fmt.Sprintf("%d is not a year from %d to %d", year, FirstYear, LastYear),
			Mend: "write it with four digits"}
	}
	return nil
}

// between answers what is wrong with a number that has to lie from one to another, both included.
func between(where string, v, lo, hi float64) *ReadError {
	if v >= lo && v <= hi { // so written that NaN fails
		return nil
	}
	return &ReadError{Where: where, What: fmt.Sprintf("%g is not between %g and %g", v, lo, hi), Mend: "correct it"}
}

// oneOf answers what is wrong with a word that has to be one of some, or none.
func oneOf(where, word string, words ...string) *ReadError {
	for _, w := range append(words, "") {
		if word == w {
			return nil
		}
	}
	return &ReadError{Where: where, What: fmt.Sprintf("%q is not known", cut(word, 40)),
		Mend: fmt.Sprintf("write %q or %q", words[0], words[1])}
}

// short checks a line of text, or a note where it may be as long as one.
func short(where, s string, most int) *ReadError {
	if most == MaxNote {
		return checkText(where, "it", s, most, unseenInNote)
	}
	return checkText(where, "it", s, most, unseen)
}

// first is the first that is wrong, or nil.
func first(errs ...*ReadError) *ReadError {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// checkSeason checks what a plan says of its season itself.
func (p *Plan) checkSeason(before *Plan) error {
	if p.Year != 0 {
		if err := checkYear("year", p.Year); err != nil {
			return err
		}
	}
	if len(p.Accepted) > max(MaxAccepted, len(before.Accepted)) {
		return &ReadError{Where: "accepted", What: fmt.Sprintf("there are more than %d of them", MaxAccepted),
			Mend: "take out those of findings that are no more"}
	}
	for i, a := range p.Accepted {
		where := fmt.Sprintf("accepted[%d]", i)
		if err := first(short(where+".rule", a.Rule, MaxName), short(where+".reason", a.Reason, MaxNote), dated(where+".date", a.Date, false), a.Extra.checkAt(where)); err != nil {
			return err
		}
	}
	if p.Weather != nil && p.Weather != before.Weather {
		if err := p.Weather.check(); err != nil {
			return err
		}
	}
	return nil
}

func (x Extra) checkAt(where string) *ReadError {
	err := x.check()
	if err != nil {
		err.Where = where
	}
	return err
}

// dated checks that a date can be written and read again.
func dated(where string, t time.Time, needed bool) *ReadError {
	if t.IsZero() {
		if needed {
			return &ReadError{Where: where, What: "there is no date", Mend: "write year, month and day like 2026-05-04"}
		}
		return nil
	}
	return checkYear(where, t.Year())
}

func (w *Weather) check() *ReadError {
	if w.Unit != "C" && w.Unit != "F" {
		return &ReadError{Where: "weather.unit", What: fmt.Sprintf("%q is not a scale of temperatures", cut(w.Unit, 20)),
			Mend: `write "C" or "F"`}
	}
	if len(w.Days) > MaxWeatherDays {
		return &ReadError{Where: "weather", What: fmt.Sprintf("there are more than %d days", MaxWeatherDays),
			Mend: "keep the last years only"}
	}
	if err := first(short("weather.station", w.Station, MaxName), dated("weather.start", w.Start, len(w.Days) > 0),
		w.Extra.checkAt("weather")); err != nil {
		return err
	}
	for i, d := range w.Days {
		if d.Missing {
			continue
		}
		if err := first(between(fmt.Sprintf("weather.min[%d]", i), d.Low, coldest, hottest),
			between(fmt.Sprintf("weather.max[%d]", i), d.High, coldest, hottest)); err != nil {
			return err
		}
		if d.Low > d.High {
			return &ReadError{Where: fmt.Sprintf("weather.min[%d]", i), What: fmt.Sprintf("%g is above the day's maximum, %g", d.Low, d.High),
				Mend: "correct one of them, or write null for both"}
		}
	}
	return nil
}

// checkSeason checks a feature's season and answers the unknown members in it, those of its plants left out. Where is relative
// to the feature.
func (f *Feature) checkSeason() (extras []Extra, err *ReadError) {
	extras = []Extra{f.Extra}
	for i := range f.Crops {
		if err := f.Crops[i].check(fmt.Sprintf(", crops[%d]", i)); err != nil {
			return nil, err
		}
		extras = append(extras, f.Crops[i].Extra)
	}
	if len(f.OtherYears) > MaxYears {
		return nil, &ReadError{Where: ", other_years", What: fmt.Sprintf("there are more than %d of them", MaxYears), Mend: "take out the oldest"}
	}
	for i, y := range f.OtherYears {
		where := fmt.Sprintf(", other_years[%d]", i)
		if err := checkYear(where+".year", y.Year); err != nil {
			return nil, err
		}
		if len(y.Crops) > MaxList {
			return nil, &ReadError{Where: where, What: fmt.Sprintf("it lists more than %d crops", MaxList), Mend: "divide the bed"}
		}
		for k := range y.Crops {
			if err := y.Crops[k].check(fmt.Sprintf("%s.crops[%d]", where, k)); err != nil {
				return nil, err
			}
			extras = append(extras, y.Crops[k].Extra)
		}
		extras = append(extras, y.Extra)
	}
	if len(f.LaterCovers) > MaxList || len(f.Treatments) > MaxList {
		return nil, &ReadError{What: fmt.Sprintf("it lists more than %d covers or treatments", MaxList), Mend: "take out what is over"}
	}
	for i, c := range f.Covers() {
		where := ", cover"
		if f.Cover == nil || i > 0 {
			where = ", later_covers"
		}
		if err := first(between(where+".mesh_mm", c.MeshMM, 0, mostMeshMM), short(where+".material", c.Material, MaxName),
			oneOf(where+".edges", string(c.Edges), string(EdgesSealed), string(EdgesOpen))); err != nil {
			return nil, err
		}
		extras = append(extras, c.Extra)
	}
	for i, t := range f.Treatments {
		where := fmt.Sprintf(", treatments[%d]", i)
		hours := 0.0
		if t.HarvestHours != nil {
			hours = *t.HarvestHours
		}
		if err := first(short(where+".material", t.Material, MaxName), short(where+".pest", t.Pest, MaxName),
			between(where+".harvest_hours", hours, 0, mostHours), short(where+".note", t.Note, MaxNote)); err != nil {
			return nil, err
		}
		if len(t.On) > MaxList {
			return nil, &ReadError{Where: where + ".on", What: fmt.Sprintf("there are more than %d days", MaxList), Mend: "take out some"}
		}
		extras = append(extras, t.Extra)
	}
	if t := f.Trapping; t != nil {
		if err := first(short(", trapping.protects", t.Protects, MaxName), short(", trapping.pest", t.Pest, MaxName),
			short(", trapping.removal", t.Removal, MaxNote), between(", trapping.every_days", float64(t.EveryDays), 0, 365)); err != nil {
			return nil, err
		}
		extras = append(extras, t.Extra)
	}
	if t := f.Trap; t != nil {
		if err := first(short(", trap.trap", t.Trap, MaxName), short(", trap.pest", t.Pest, MaxName), between(", trap.number", float64(t.Number), 0, mostTraps),
			short(", trap.colour", t.Colour, MaxName), between(", trap.height_m", t.HeightM, 0, mostHeightM),
			between(", trap.renew_days", float64(t.RenewDays), 0, 365)); err != nil {
			return nil, err
		}
		extras = append(extras, t.Extra)
	}
	return extras, nil
}

func (c *Planting) check(where string) *ReadError {
	if !(c.Share >= 0 && c.Share <= 1) {
		return &ReadError{Where: where + ".share", What: fmt.Sprintf("%g is not a share", c.Share), Mend: "write a part from 0 to 1"}
	}
	return first(short(where+".crop", c.Crop, MaxName), oneOf(where+".method", string(c.Method), string(Sow), string(Transplant)), short(where+".variety", c.Variety, MaxName),
		between(where+".in_row_m", c.InRowM, 0, mostSpacingM), between(where+".between_rows_m", c.BetweenRowsM, 0, mostSpacingM))
}
