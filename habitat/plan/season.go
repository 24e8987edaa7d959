package plan

import (
	"slices"
	"time"

	"hedgereach/data/season"
)

// A Method says how a planting begins.
type Method string

// The methods. "" is not said.
const (
	Sow        Method = "sow"
	Transplant Method = "transplant"
)

// Edges says how the edges of a cover lie.
type Edges string

// The edges. "" is not said.
const (
	EdgesSealed Edges = "sealed" // buried or weighed down all along
	EdgesOpen   Edges = "open"
)

// A CropYear is what grows, or is to grow, on a feature in a year other than the plan's.
type CropYear struct {
	Year  int
	Crops []Planting
	Extra Extra
}

// A Treatment is a last resort on a bed: a material of the catalogue on certain days. In the file: "treatments": [{"material":
// id, "on": ["06-10"], "pest": id, "harvest_hours": 24, "evening": true, "note": text}].
type Treatment struct {
	Material string       // catalogue id
	On       []season.Day // each day of use
	Pest     string       // catalogue id
	// HarvestHours is the least time between the treatment and the harvest, copied from the label; nil where the grower has not
	// looked it up. 0 is a label that allows harvest on the same day.
	HarvestHours *float64
	Evening      bool // it is done when bees no longer fly
	Note         string
	Extra        Extra
}

// A TrapMark says what a trap is. In the file: "trap": {"trap": id, "pest": id, "number": 2, "colour": "yellow", "height_m": 0.5, "set": "05-20",
// "until": "08-31", "renew_days": 14}.
type TrapMark struct {
	Trap      string // catalogue id of the kind of trap
	Pest      string // catalogue id of what it counts
	Number    int    // of traps at the mark; 0 = one
	Colour    string // in the grower's words; "" = as the kind usually is
	HeightM   float64
	Set       season.Day // the day on which it is hung
	Until     season.Day // the day on which it is taken down
	RenewDays int        // card or lure; 0 = not said
	Extra     Extra
}

// Count is the number of traps at the mark.
func (t *TrapMark) Count() int { return max(1, t.Number) }

// Renewals are the days on which the card or lure is to be changed, from Set to Until; none where a day or the interval is not
// given.
func (t *TrapMark) Renewals() []season.Day { return every(t.Set, t.Until, t.RenewDays) }

// every are the days after the first, n apart, up to the last.
func every(first, last season.Day, n int) (days []season.Day) {
	if first == 0 || last == 0 || n <= 0 {
		return nil
	}
	long := (int(last-first) + 365) % 365
	for d := n; d <= long; d += n {
		days = append(days, first.Add(d))
	}
	return days
}

// Acceptance is a grower's word that a finding may stand, and why. It is kept with the plan, listed in reports, and holds as
// long as the finding has the same rule and key.
type Acceptance struct {
	Rule   string // id of the rule
	Key    string // of the finding; see habitat.Finding
	Reason string
	Date   time.Time // midnight UTC; zero = not given
	Extra  Extra
}

// Weather is what a station near the garden wrote down: the lowest and highest temperature of each day from Start on. A plan
// names no other file, so it holds the record itself. In the file: "weather": {"station": text, "unit": "C", "start":
// "2024-01-01", "min": [-4.5, null], "max": [3, null]}.
type Weather struct {
	Station string
	Unit    string    // "C" or "F"
	Start   time.Time // midnight UTC
	Days    []WeatherDay
	Extra   Extra
}

// A WeatherDay is one day's temperatures. A day that lacks either is missing.
type WeatherDay struct {
	Low, High float64
	Missing   bool
}

// Covers lists the covers of a feature, the first one first.
func (f *Feature) Covers() []Cover {
	if f.Cover == nil {
		return f.LaterCovers
	}
	return append([]Cover{*f.Cover}, f.LaterCovers...)
}

// CropsIn are a feature's plantings of a year, given the plan's year. Where the plan's year is not given, its own plantings are
// those of year 0.
func (f *Feature) CropsIn(year, planYear int) []Planting {
	if year == planYear {
		return f.Crops
	}
	for _, y := range f.OtherYears {
		if y.Year == year {
			return y.Crops
		}
	}
	return nil
}

// InYear is the plan turned to another year: every feature's plantings of that year become its own, and those of the plan's
// year go among the other years. Covers, treatments and traps stay as they are: their days have no year. A plan that gives no
// year is only given one.
func (p *Plan) InYear(year int) *Plan {
	out := p.Clone()
	out.Year = year
	if p.Year == 0 || p.Year == year {
		return out
	}
	for i, f := range out.Features {
		there := slices.IndexFunc(f.OtherYears, func(y CropYear) bool { return y.Year == year })
		if len(f.Crops) == 0 && there < 0 {
			continue
		}
		g := f.Clone()
		now := CropYear{Year: p.Year, Crops: g.Crops}
		g.Crops = nil
		if there >= 0 {
			g.Crops, now.Extra = g.OtherYears[there].Crops, g.OtherYears[there].Extra
			g.OtherYears = slices.Delete(g.OtherYears, there, there+1)
		}
		if len(now.Crops) > 0 || len(now.Extra) > 0 {
			g.OtherYears = append(g.OtherYears, now)
			slices.SortStableFunc(g.OtherYears, func(a, b CropYear) int { return a.Year - b.Year })
		}
		out.Features[i] = g
	}
	return out
}

// Acceptance is the grower's word on a finding of a rule and key, or nil.
func (p *Plan) Acceptance(rule, key string) *Acceptance {
	for i := range p.Accepted {
		if a := &p.Accepted[i]; a.Rule == rule && a.Key == key {
			return a
		}
	}
	return nil
}
