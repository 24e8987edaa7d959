package plan

import (
	"strconv"
	"time"
)

// Decimals written: temperatures to a hundredth of a degree, hours and millimetres of mesh to a hundredth.
const fineDecimals = 2

// wholeMember writes a whole number, and nothing for 0, which means that it is not given.
func (e *encoder) wholeMember(sep, name string, n int) {
	if n != 0 {
		e.name(sep, name)
		e.add(strconv.Itoa(n))
	}
}

// someMember writes a number, and nothing for 0, which means that it is not given.
func (e *encoder) someMember(sep, name string, v float64, decimals int) {
	if round(v, decimals) != 0 {
		e.numberMember(sep, name, v, decimals)
	}
}

// wordMember writes a text, and nothing for an empty one.
func (e *encoder) wordMember(sep, name, s string) {
	if s != "" {
		e.textMember(sep, name, s)
	}
}

// yesMember writes a truth that is false by default.
func (e *encoder) yesMember(sep, name string, yes bool) {
	if yes {
		e.name(sep, name)
		e.add("true")
	}
}

func (e *encoder) dateMember(sep, name string, t time.Time) {
	if !t.IsZero() {
		e.textMember(sep, name, t.Format(time.DateOnly))
	}
}

func (e *encoder) plantings(list []Planting) {
	if len(list) == 0 {
		e.add("[")
	}
	for i := range list {
		c := &list[i]
		e.item(i)
		e.textMember("{", "crop", c.Crop)
		e.dayMember(", ", "from", c.Dates.From)
		e.dayMember(", ", "to", c.Dates.To)
		e.numberMember(", ", "share", c.Share, shareDecimals)
		e.wordMember(", ", "method", string(c.Method))
		e.dayMember(", ", "first_harvest", c.FirstHarvest)
		e.wordMember(", ", "variety", c.Variety)
		e.someMember(", ", "in_row_m", c.InRowM, metreDecimals)
		e.someMember(", ", "between_rows_m", c.BetweenRowsM, metreDecimals)
		e.yesMember(", ", "parthenocarpic", c.Parthenocarpic)
		e.yesMember(", ", "for_seed", c.ForSeed)
		e.rest(", ", c.Extra, cropMembers)
		e.add("}")
	}
	e.add("]")
}

// Members that may all be absent are written by an inner encoder, whose first separator is taken off.
func (e *encoder) object(write func(in *encoder)) {
	in := encoder{metres: e.metres, move: e.move}
	write(&in)
	e.add("{")
	if len(in.buf) > 0 {
		e.buf = append(e.buf, in.buf[len(", "):]...)
	}
	e.add("}")
}

func (e *encoder) cover(c *Cover) {
	e.object(func(e *encoder) {
		e.dayMember(", ", "from", c.Dates.From)
		e.dayMember(", ", "to", c.Dates.To)
		e.someMember(", ", "mesh_mm", c.MeshMM, fineDecimals)
		e.wordMember(", ", "material", c.Material)
		e.wordMember(", ", "edges", string(c.Edges))
		e.yesMember(", ", "bees_inside", c.BeesInside)
		e.rest(", ", c.Extra, coverMembers)
	})
}

func (e *encoder) treatment(t *Treatment) {
	e.textMember("{", "material", t.Material)
	e.name(", ", "on")
	e.add("[")
	for i, d := range t.On {
		if i > 0 {
			e.add(", ")
		}
		e.text(d.String())
	}
	e.add("]")
	e.wordMember(", ", "pest", t.Pest)
	if t.HarvestHours != nil {
		e.numberMember(", ", "harvest_hours", *t.HarvestHours, fineDecimals)
	}
	e.yesMember(", ", "evening", t.Evening)
	e.wordMember(", ", "note", t.Note)
	e.rest(", ", t.Extra, treatmentMembers)
	e.add("}")
}

func (e *encoder) trapMark(t *TrapMark) {
	e.textMember("{", "trap", t.Trap)
	e.wordMember(", ", "pest", t.Pest)
	e.wholeMember(", ", "number", t.Number)
	e.wordMember(", ", "colour", t.Colour)
	e.someMember(", ", "height_m", t.HeightM, metreDecimals)
	e.dayMember(", ", "set", t.Set)
	e.dayMember(", ", "until", t.Until)
	e.wholeMember(", ", "renew_days", t.RenewDays)
	e.rest(", ", t.Extra, trapMembers)
	e.add("}")
}

func (e *encoder) acceptance(a *Acceptance) {
	e.textMember("{", "rule", a.Rule)
	e.textMember(", ", "key", a.Key)
	e.textMember(", ", "reason", a.Reason)
	e.dateMember(", ", "date", a.Date)
	e.rest(", ", a.Extra, acceptanceMembers)
	e.add("}")
}

func (e *encoder) weather(w *Weather) {
	e.textMember("{", "station", w.Station)
	e.textMember(", ", "unit", w.Unit)
	e.dateMember(", ", "start", w.Start)
	e.temperatures("min", w.Days, func(d WeatherDay) float64 { return d.Low })
	e.temperatures("max", w.Days, func(d WeatherDay) float64 { return d.High })
	e.rest(", ", w.Extra, weatherMembers)
	e.add("}")
}

func (e *encoder) temperatures(name string, days []WeatherDay, of func(WeatherDay) float64) {
	e.name(", ", name)
	e.add("[")
	for i, d := range days {
		if i > 0 {
			e.add(",")
		}
		if d.Missing {
			e.add("null")
		} else {
			e.number(of(d), fineDecimals)
		}
	}
	e.add("]")
}
