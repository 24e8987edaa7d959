package plan

import (
	"cmp"
	"fmt"
	"math"
	"time"
)

// planBegins is what the values of a plan's own members may begin with.
var planBegins = map[string]string{"year": "-0123456789", "accepted": "[", "weather": "{"}

// whole reads a whole number.
func (d *decoder) whole() (int, error) {
	v, err := d.number()
	if err != nil {
		return 0, err
	}
	if v != math.Trunc(v) || math.Abs(v) > 1e9 {
		return 0, &fault{what: fmt.Sprintf("%g is not a whole number", v), mend: "write it without a fraction"}
	}
	return int(v), nil
}

// date reads "2026-05-04"; an empty text is no date.
func (d *decoder) date() (time.Time, error) {
	s, err := d.text()
	if err != nil || s == "" {
		return time.Time{}, err
	}
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return time.Time{}, &fault{what: fmt.Sprintf("%q is not a date", cut(s, 20)), mend: "write year, month and day like 2026-05-04"}
	}
	return t, nil
}

func (d *decoder) plantings() (list []Planting, err error) {
	err = d.list(func(i int) error {
		c := Planting{Share: 1}
		err := cmp.Or(tooMany(i), d.planting(&c))
		list = append(list, c)
		return err
	})
	return list, err
}

func (d *decoder) planting(c *Planting) error {
	return d.object(func(name string) (err error) {
		switch name {
		case "crop":
			c.Crop, err = d.text()
		case "share", "method", "first_harvest", "variety", "in_row_m", "between_rows_m", "parthenocarpic", "for_seed":
			if d.null() {
				return nil
			}
			switch name {
			case "share":
				c.Share, err = d.number()
			case "method":
				var s string
				s, err = d.text()
				c.Method = Method(s)
			case "first_harvest":
				c.FirstHarvest, err = d.day()
			case "variety":
				c.Variety, err = d.text()
			case "in_row_m":
				c.InRowM, err = d.number()
			case "between_rows_m":
				c.BetweenRowsM, err = d.number()
			case "parthenocarpic":
				c.Parthenocarpic, err = d.truth()
			case "for_seed":
				c.ForSeed, err = d.truth()
			}
		default:
			err = d.window(name, &c.Dates, &c.Extra)
		}
		return err
	})
}

func (d *decoder) cropYears() (list []CropYear, err error) {
	err = d.list(func(i int) error {
		if i >= MaxYears {
			return &fault{what: fmt.Sprintf("there are more than %d of them", MaxYears), mend: "take out the oldest"}
		}
		var y CropYear
		err := d.object(func(name string) (err error) {
			switch name {
			case "year":
				y.Year, err = d.whole()
			case "crops":
				if !d.null() {
					y.Crops, err = d.plantings()
				}
			default:
				y.Extra.keep(name, d.raw())
			}
			return err
		})
		list = append(list, y)
		return err
	})
	return list, err
}

func (d *decoder) cover(c *Cover) error {
	return d.object(func(name string) (err error) {
		switch name {
		case "mesh_mm", "material", "edges", "bees_inside":
			if d.null() {
				return nil
			}
			switch name {
			case "mesh_mm":
				c.MeshMM, err = d.number()
			case "material":
				c.Material, err = d.text()
			case "edges":
				var s string
				s, err = d.text()
				c.Edges = Edges(s)
			case "bees_inside":
				c.BeesInside, err = d.truth()
			}
		default:
			err = d.window(name, &c.Dates, &c.Extra)
		}
		return err
	})
}

func (d *decoder) treatment(t *Treatment) error {
	return d.object(func(name string) (err error) {
		switch name {
		case "material", "on", "pest", "harvest_hours", "evening", "note":
			if d.null() {
				return nil
			}
		default:
			t.Extra.keep(name, d.raw())
			return nil
		}
		switch name {
		case "material":
			t.Material, err = d.text()
		case "on":
			err = d.list(func(i int) error {
				day, err := d.day()
				if day != 0 {
					t.On = append(t.On, day)
				}
				return cmp.Or(tooMany(i), err)
			})
		case "pest":
			t.Pest, err = d.text()
		case "harvest_hours":
			var h float64
			h, err = d.number()
			t.HarvestHours = &h
		case "evening":
			t.Evening, err = d.truth()
		case "note":
			t.Note, err = d.note()
		}
		return err
	})
}

func (d *decoder) trapMark(t *TrapMark) error {
	return d.object(func(name string) (err error) {
		switch name {
		case "trap", "pest", "number", "colour", "height_m", "set", "until", "renew_days":
			if d.null() {
				return nil
			}
		default:
			t.Extra.keep(name, d.raw())
			return nil
		}
		switch name {
		case "trap":
			t.Trap, err = d.text()
		case "pest":
			t.Pest, err = d.text()
		case "number":
			t.Number, err = d.whole()
		case "colour":
			t.Colour, err = d.text()
		case "height_m":
			t.HeightM, err = d.number()
		case "set":
			t.Set, err = d.day()
		case "until":
			t.Until, err = d.day()
		case "renew_days":
			t.RenewDays, err = d.whole()
		}
		return err
	})
}

// trappingDays reads a trap crop's days; any other member is kept.
func (d *decoder) trappingDays(name string, t *Trapping) (err error) {
	switch name {
	case "sown", "cleared", "every_days":
		if d.null() {
			return nil
		}
	}
	switch name {
	case "sown":
		t.Sown, err = d.day()
	case "cleared":
		t.Cleared, err = d.day()
	case "every_days":
		t.EveryDays, err = d.whole()
	default:
		t.Extra.keep(name, d.raw())
	}
	return err
}

func (d *decoder) acceptance(a *Acceptance) error {
	return d.object(func(name string) (err error) {
		switch name {
		case "rule":
			a.Rule, err = d.text()
		case "key":
			a.Key, err = d.quoted()
		case "reason":
			if !d.null() {
				a.Reason, err = d.note()
			}
		case "date":
			if !d.null() {
				a.Date, err = d.date()
			}
		default:
			a.Extra.keep(name, d.raw())
		}
		return err
	})
}

func (d *decoder) weather() (*Weather, error) {
	w := &Weather{Unit: "C"}
	var low, high []float64 // NaN where missing
	column := func() (list []float64, err error) {
		err = d.list(func(i int) error {
			if i >= MaxWeatherDays {
				return &fault{what: fmt.Sprintf("there are more than %d days", MaxWeatherDays), mend: "keep the last years only"}
			}
			v := math.NaN()
			var err error
			if !d.null() {
				v, err = d.number()
			}
			list = append(list, v)
			return err
		})
		return list, err
	}
	err := d.object(func(name string) (err error) {
		switch name {
		case "station", "unit", "start", "min", "max":
			if d.null() {
				return nil
			}
		default:
			w.Extra.keep(name, d.raw())
			return nil
		}
		switch name {
		case "station":
			w.Station, err = d.text()
		case "unit":
			w.Unit, err = d.text()
		case "start":
			w.Start, err = d.date()
		case "min":
			low, err = column()
		case "max":
			high, err = column()
		}
		return err
	})
	if err == nil && len(low) != len(high) {
		err = &fault{what: fmt.Sprintf("there are %d minimum and %d maximum temperatures", len(low), len(high)),
			mend: "give one of each a day, null where it is missing"}
	}
	if err != nil {
		return nil, err
	}
	for i := range low {
		if math.IsNaN(low[i]) || math.IsNaN(high[i]) {
			w.Days = append(w.Days, WeatherDay{Missing: true})
		} else {
			w.Days = append(w.Days, WeatherDay{Low: low[i], High: high[i]})
		}
	}
	return w, nil
}
