package command

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
	"runtime"
	"time"

	"hedgereach/data/season"
	"hedgereach/geometry/parallel"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// The report as JSON. Members may be added; those that are there keep their names and meanings. Lengths are metres to a
// millimetre, areas m² to 0.001, fractions to a millionth.
type (
	// A report is a head, the beds and a tail in one object.
	headJSON struct {
		Plan string   `json:"plan"`
		Year *int     `json:"year"` // null where the plan gives none
		Site siteJSON `json:"site"`
	}
	tailJSON struct {
		TrapCrops      []trapCropJSON `json:"trap_crops"`
		BloomPeriods   []periodJSON   `json:"bloom_periods"`
		Diversity      diversityJSON  `json:"diversity"` // of the plants of habitats, by their ground
		Findings       []findingJSON  `json:"findings"`
		BloomEstimated bool           `json:"bloom_estimated"`
	}
	siteJSON struct {
		AreaM2         float64     `json:"area_m2"`
		Beds           int         `json:"beds"`
		BedsM2         float64     `json:"beds_m2"`
		HabitatM2      float64     `json:"habitat_m2"`
		FloweringCover []coverJSON `json:"flowering_cover"`
		Season         []string    `json:"season"`
		BloomGaps      []string    `json:"bloom_gaps"`
	}
	coverJSON struct {
		HalfMonth string  `json:"half_month"`
		RadiusM   float64 `json:"radius_m,omitempty"` // of a bed's ground
		AreaM2    float64 `json:"area_m2"`
		Fraction  float64 `json:"fraction"`
		Species   int     `json:"species"`
	}
	bedJSON struct {
		ID             string      `json:"id"`
		Name           string      `json:"name"`
		AreaM2         float64     `json:"area_m2"`
		Refuge         *linkJSON   `json:"refuge"` // null without any refuge
		Reach          []reachJSON `json:"reach"`
		Guilds         []guildJSON `json:"guilds"`
		FloweringCover []coverJSON `json:"flowering_cover"`
		Pests          []pestJSON  `json:"pests"` // of its crops, each time at which one comes
	}
	pestJSON struct {
		Crop       string      `json:"crop"`
		Pest       string      `json:"pest"`
		Time       *timeJSON   `json:"time"` // null where it is not known
		Why        string      `json:"why"`  // it is not, or not from degree-days
		HalfMonths []string    `json:"half_months"`
		Covered    []string    `json:"covered"` // of these, in which a cover keeps it out
		Standing   string      `json:"standing"`
		Guilds     []enemyJSON `json:"guilds"`
		Line       string      `json:"line"`
		Sources    []string    `json:"sources"` // ids in the bibliography
		Evidence   string      `json:"evidence"`
	}
	timeJSON struct {
		What  string `json:"what"`
		From  string `json:"from"`
		To    string `json:"to"`
		Basis string `json:"basis"` // "degree-days", "calendar"
		Model string `json:"model"`
		Moved bool   `json:"moved"`
	}
	enemyJSON struct {
		Guild  string `json:"guild"`
		Status string `json:"status"` // the worst over the half-months
		Best   string `json:"best"`
		Fed    *int   `json:"fed"` // half-months in which it is fed; null where it does not eat from flowers
	}
	trapCropJSON struct { // null where not known
		ID        string   `json:"id"`
		Protects  []string `json:"protects"`
		Pest      string   `json:"pest"`
		Study     string   `json:"study"` // id; "" where no trial is like it
		Verdict   string   `json:"verdict"`
		Short     []string `json:"short"` // what keeps it from being as tested
		Share     float64  `json:"share"`
		GapM      *float64 `json:"gap_m"`
		Closed    float64  `json:"closed"`
		LeadWeeks *float64 `json:"lead_weeks"`
	}
	periodJSON struct {
		Name    string `json:"name"`
		From    string `json:"from"`
		To      string `json:"to"`
		Species int    `json:"species"`
	}
	diversityJSON struct {
		Species  int     `json:"species"`
		Shannon  float64 `json:"shannon"`
		Simpson  float64 `json:"simpson"`
		Evenness float64 `json:"evenness"`
	}
	acceptedJSON struct {
		Reason string `json:"reason"`
		Date   string `json:"date"` // "" where not given
	}
	linkJSON struct {
		ID           string     `json:"id"` // of the nearest refuge
		Name         string     `json:"name"`
		NearestM     float64    `json:"nearest_m"`
		FarthestM    float64    `json:"farthest_m"`
		MeanM        *float64   `json:"mean_m"`
		FarthestID   string     `json:"farthest_id"` // of the refuge nearest to the deepest point
		DeepestPoint [2]float64 `json:"deepest_point"`
	}
	reachJSON struct {
		RangeM         float64 `json:"range_m"`
		WithinFraction float64 `json:"within_fraction"`
		Status         string  `json:"status"`
		DecidedBy      string  `json:"decided_by"` // id of the refuge; "" without any
	}
	guildJSON struct { // null where not known
		Guild          string   `json:"guild"`
		LowM           *float64 `json:"low_m"`
		TypicalM       *float64 `json:"typical_m"`
		OuterM         *float64 `json:"outer_m"`
		NearestM       *float64 `json:"nearest_m"`
		FarthestM      *float64 `json:"farthest_m"` // null also where part of the bed cannot be reached on foot
		MeanM          *float64 `json:"mean_m"`
		NearestID      string   `json:"nearest_id"`          // of the refuge; "" where none serves
		FarthestID     string   `json:"farthest_id"`         // of the refuge nearest to the deepest point
		StraightNearM  *float64 `json:"straight_nearest_m"`  // where walkers have to go round something, else null
		StraightM      *float64 `json:"straight_farthest_m"` // likewise
		WithinFraction *float64 `json:"within_fraction"`
		Status         string   `json:"status"`
		AtLow          string   `json:"at_low"`
		AtOuter        string   `json:"at_outer"`

		Band     []endJSON `json:"band"`      // at the ends of the published band that are known, and at the typical range
		BandSays string    `json:"band_says"` // "within at best, beyond at worst"; "" where the whole band says the same
	}
	endJSON struct {
		End            string  `json:"end"` // "low", "typical", "outer"
		RangeM         float64 `json:"range_m"`
		WithinFraction float64 `json:"within_fraction"`
		Status         string  `json:"status"`
		DecidedBy      string  `json:"decided_by"`
	}
	findingJSON struct {
		Rule     string   `json:"rule"`
		Key      string   `json:"key"` // tells it from every other
		Severity string   `json:"severity"`
		Features []string `json:"features"`
		Guilds   []string `json:"guilds"` // that it is about; empty where it is about none
		Title    string   `json:"title"`
		Message  string   `json:"message"`
		Mend     string   `json:"mend"`
		Source   string   `json:"source"`
		Evidence string   `json:"evidence"`

		Accepted *acceptedJSON `json:"accepted"` // the grower's word that it may stand, else null
	}
)

// writeJSON writes the report. Of a large site the beds are by far the most of it, so they are written as they are made, some at
// a time on all cores, and never held all at once.
func writeJSON(w io.Writer, a *habitat.Assessment) error {
	year := habitat.SeasonOf(a)
	head, err := indented("", newHead(a))
	if err != nil {
		return err
	}
	tail, err := indented("", newTail(year))
	if err != nil {
		return err
	}
	out := &writer{w: w}
	out.write(bytes.TrimSuffix(head, []byte("\n}")))
	out.write([]byte(",\n \"beds\": ["))
	const some = 256
	for from := 0; from < len(a.Beds); from += some {
		beds := year.Beds[from:min(from+some, len(a.Beds))]
		texts, errs := make([][]byte, len(beds)), make([]error, len(beds))
		parallel.Each(runtime.GOMAXPROCS(0), len(beds), func(i int) { texts[i], errs[i] = indented("  ", newBed(beds[i])) })
		for i := range beds {
			if errs[i] != nil {
				return errs[i]
			}
			if from+i > 0 {
				out.write([]byte(","))
			}
			out.write([]byte("\n  "))
			out.write(texts[i])
		}
	}
	if len(a.Beds) > 0 {
		out.write([]byte("\n "))
	}
	out.write([]byte("],"))
	out.write(bytes.TrimPrefix(tail, []byte("{")))
	out.write([]byte("\n"))
	return out.err
}

// A writer keeps the first error.
type writer struct {
	w   io.Writer
	err error
}

func (w *writer) write(b []byte) {
	if w.err == nil {
		_, w.err = w.w.Write(b)
	}
}

// indented is a value as JSON, its lines after the first behind the prefix.
func indented(prefix string, v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent(prefix, " ")
	err := e.Encode(v)
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), err
}

func newHead(a *habitat.Assessment) headJSON {
	var year *int
	if a.Plan.Year != 0 {
		year = &a.Plan.Year
	}
	return headJSON{
		Plan: a.Plan.Name, Year: year,
		Site: siteJSON{
			AreaM2: milli(a.Site.AreaM2), Beds: a.Site.Beds, BedsM2: milli(a.Site.BedsM2), HabitatM2: milli(a.Site.HabitatM2),
			FloweringCover: covers(&a.Site.Cover, 0), Season: halfMonths(a.Site.Season), BloomGaps: halfMonths(a.Site.BloomGaps),
		},
	}
}

func newTail(year *habitat.Season) tailJSON {
	all := year.AllFindings()
	t := tailJSON{Findings: make([]findingJSON, 0, len(all)), BloomEstimated: year.Assessment.BloomEstimated, TrapCrops: []trapCropJSON{}}
	for _, f := range all {
		j := findingJSON{
			Rule: f.Rule, Key: f.Key, Severity: string(f.Severity), Features: orEmpty(f.Features), Guilds: orEmpty(f.Guilds),
			Title: f.Title, Message: f.Message, Mend: f.Mend, Source: f.Source, Evidence: string(f.Evidence),
		}
		if a := f.Accepted; a != nil {
			j.Accepted = &acceptedJSON{Reason: a.Reason}
			if !a.Date.IsZero() {
				j.Accepted.Date = a.Date.Format(time.DateOnly)
			}
		}
		t.Findings = append(t.Findings, j)
	}
	for i := range year.TrapCrops {
		x := &year.TrapCrops[i]
		j := trapCropJSON{ID: x.Feature.ID, Protects: []string{}, Verdict: string(x.Verdict), Short: orEmpty(x.Short), Share: millionth(x.Share),
			GapM: finite(x.GapM), Closed: millionth(x.Closed), LeadWeeks: finite(x.LeadWeeks)}
		for _, f := range x.Protects {
			j.Protects = append(j.Protects, f.ID)
		}
		if x.Pest != nil {
			j.Pest = x.Pest.ID
		}
		if x.Study != nil {
			j.Study = x.Study.ID
		}
		t.TrapCrops = append(t.TrapCrops, j)
	}
	for _, p := range year.BloomPeriods() {
		t.BloomPeriods = append(t.BloomPeriods, periodJSON{p.Name, p.Window.From.String(), p.Window.To.String(), p.Species})
	}
	d := year.Diversity()
	t.Diversity = diversityJSON{d.Species, millionth(d.Shannon), millionth(d.Simpson), millionth(d.Evenness)}
	return t
}

func newPest(v *habitat.Verdict) pestJSON {
	j := pestJSON{Crop: v.Planting.Crop, Pest: v.Pest.ID, Why: v.Why, HalfMonths: halfMonths(v.HalfMonths), Covered: halfMonths(v.Covered),
		Standing: string(v.Standing), Guilds: []enemyJSON{}, Line: v.Line(), Sources: orEmpty(v.Sources), Evidence: string(v.Evidence)}
	if t := v.Time; t != nil {
		j.Time = &timeJSON{What: t.What, From: t.Window.From.String(), To: t.Window.To.String(), Basis: string(t.Basis), Model: t.Model, Moved: t.Moved}
	}
	for _, e := range v.Enemies {
		g := enemyJSON{Guild: e.Guild.ID, Status: e.Status.String(), Best: e.Best.String()}
		if e.Eats {
			g.Fed = &e.Fed
		}
		j.Guilds = append(j.Guilds, g)
	}
	return j
}

func newBed(year *habitat.BedSeason) bedJSON {
	b := year.Bed
	j := bedJSON{Pests: []pestJSON{}, ID: b.Feature.ID, Name: b.Feature.Name, AreaM2: milli(b.AreaM2), Reach: []reachJSON{}, Guilds: []guildJSON{},
		FloweringCover: covers(&b.Cover, b.CoverRadiusM)}
	if l := b.Refuge; l != nil {
		j.Refuge = &linkJSON{ID: id(l.Nearest), Name: name(l.Nearest), NearestM: milli(l.NearestM), FarthestM: milli(l.FarthestM),
			MeanM: finite(l.MeanM()), FarthestID: id(l.Farthest), DeepestPoint: [2]float64{milli(l.FarthestFrom[0]), milli(l.FarthestFrom[1])}}
	}
	for _, r := range b.Reach {
		j.Reach = append(j.Reach, reachJSON{RangeM: milli(r.RangeM), WithinFraction: millionth(r.WithinFraction),
			Status: b.Refuge.At(r.RangeM).String(), DecidedBy: id(b.Refuge.Decides(r.RangeM))})
	}
	for _, g := range b.Guilds {
		gj := guildJSON{
			Guild: g.Guild.ID, LowM: known(g.Guild.LowM), TypicalM: known(g.Guild.TypicalM), OuterM: known(g.Guild.OuterM),
			Status: g.Status.String(), AtLow: g.AtLow.String(), AtOuter: g.AtOuter.String(), Band: []endJSON{}, BandSays: g.Band(),
		}
		if l := g.Link; l != nil {
			gj.NearestM, gj.FarthestM, gj.MeanM = finite(l.NearestM), finite(l.FarthestM), finite(l.MeanM())
			gj.NearestID, gj.FarthestID = id(l.Nearest), id(l.Farthest)
		}
		for _, e := range []struct {
			name          string
			rangeM, share float64
			status        habitat.Status
		}{{"low", g.Guild.LowM, g.WithinAtLow, g.AtLow}, {"typical", g.Guild.TypicalM, g.WithinFraction, g.Status},
			{"outer", g.Guild.OuterM, g.WithinAtOuter, g.AtOuter}} {
			if e.status != habitat.Unknown {
				gj.Band = append(gj.Band, endJSON{End: e.name, RangeM: e.rangeM, WithinFraction: millionth(e.share),
					Status: e.status.String(), DecidedBy: id(g.Link.Decides(e.rangeM))})
			}
		}
		if g.Straight != nil {
			gj.StraightNearM, gj.StraightM = finite(g.Straight.NearestM), finite(g.Straight.FarthestM)
		}
		if g.Status != habitat.Unknown {
			w := millionth(g.WithinFraction)
			gj.WithinFraction = &w
		}
		j.Guilds = append(j.Guilds, gj)
	}
	for _, v := range year.Verdicts {
		j.Pests = append(j.Pests, newPest(v))
	}
	return j
}

func id(f *plan.Feature) string {
	if f == nil {
		return ""
	}
	return f.ID
}

func name(f *plan.Feature) string {
	if f == nil {
		return ""
	}
	return f.Name
}

func covers(list *[season.HalfMonths]habitat.Cover, radius float64) []coverJSON {
	out := make([]coverJSON, len(list))
	for i, c := range list {
		out[i] = coverJSON{HalfMonth: season.HalfMonth(i).String(), RadiusM: milli(radius), AreaM2: milli(c.AreaM2),
			Fraction: millionth(c.Fraction), Species: c.Species}
	}
	return out
}

func halfMonths(list []season.HalfMonth) []string {
	out := make([]string, len(list))
	for i, h := range list {
		out[i] = h.String()
	}
	return out
}

func orEmpty(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}

// known is a number of the catalogue, nil where it is not given.
func known(v float64) *float64 {
	if v <= 0 {
		return nil
	}
	return &v
}

// finite is a length, nil where there is no way.
func finite(m float64) *float64 {
	if math.IsInf(m, 0) || math.IsNaN(m) {
		return nil
	}
	m = milli(m)
	return &m
}

func milli(v float64) float64     { return math.Round(v*1e3) / 1e3 }
func millionth(v float64) float64 { return math.Round(v*1e6) / 1e6 }
