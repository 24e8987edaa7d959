package plan

import (
	"encoding/json"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/data/season"
	"hedgereach/geometry"
)

// Decimals written: lengths to 0.1 mm, shares to a millionth, degrees of the place to 0.1 mm on the ground.
const (
	metreDecimals  = 4
	shareDecimals  = 6
	degreeDecimals = 9
	exact          = -1 // as many as the number has
)

// Write writes a plan file. The same plan always gives the same bytes, and a file that was written here and read again gives
// the bytes that it had. A plan that Read would refuse is refused, with the same *ReadError.
func Write(w io.Writer, p *Plan) error {
	data, err := Marshal(p)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}

// Marshal is a plan file's bytes.
func Marshal(p *Plan) ([]byte, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	e := encoder{metres: metreDecimals}
	e.planMembers(p, ",\n  ")
	e.features(p)
	return e.buf, nil
}

// MarshalFeatures writes features for the clipboard; ReadFeatures reads them.
func MarshalFeatures(features []*Feature) ([]byte, error) {
	p := &Plan{Units: Metric, Features: features}
	if err := p.Check(); err != nil {
		return nil, err
	}
	e := encoder{metres: metreDecimals}
	e.add("{\n  ")
	e.textMember("", "format", featuresFormat)
	e.add(`, "version": 1`)
	e.features(p)
	return e.buf, nil
}

// An encoder writes JSON by hand, since encoding/json can neither keep the order of unknown members nor lay out a feature as
// a block with its outline on one line.
type encoder struct {
	buf    []byte
	metres int                       // decimals of coordinates
	move   func(orb.Point) orb.Point // from the plan's metres, rounded, to degrees; nil = metres are written
}

func (e *encoder) add(s string) { e.buf = append(e.buf, s...) }

func (e *encoder) number(v float64, decimals int) {
	if decimals != exact {
		v = round(v, decimals)
	}
	e.buf = strconv.AppendFloat(e.buf, v, 'f', -1, 64)
}

func (e *encoder) text(s string) {
	quoted, _ := json.Marshal(s) // a string always can be
	// encoding/json writes <, > and & as escapes, for HTML; this is a file that people read.
	e.add(unescape.Replace(string(quoted)))
}

var unescape = strings.NewReplacer(`\\`, `\\`, `\u003c`, "<", `\u003e`, ">", `\u0026`, "&")

func (e *encoder) name(sep, name string) {
	e.add(sep)
	e.text(name)
	e.add(": ")
}

func (e *encoder) textMember(sep, name, s string) {
	e.name(sep, name)
	e.text(s)
}

func (e *encoder) numberMember(sep, name string, v float64, decimals int) {
	e.name(sep, name)
	e.number(v, decimals)
}

func (e *encoder) dayMember(sep, name string, d season.Day) {
	if d != 0 {
		e.textMember(sep, name, d.String())
	}
}

// The members that are written from a plan's own fields, so that none is written twice. Some hold what is unknown within them.
var (
	planMembers    = []string{"format", "version", "name", "units", "place", "picture", "year", "accepted", "weather", "catalogue", "features"}
	pictureMembers = []string{"at", "metres_per_pixel", "turn_deg", "fade", "image"}
	placeMembers   = []string{"latitude", "longitude", "elevation_m", "last_frost", "first_frost", "hardiness_zone", "north_deg"}
	featureMembers = []string{"id", "kind", "name", "geometry", "line", "width_m", "center", "radius_m", "refuge", "crops",
		"other_years", "cover", "later_covers", "treatments", "plants", "trapping", "trap", "nursery", "note", "locked", "hidden"}
	cropMembers = []string{"crop", "from", "to", "share", "method", "first_harvest", "variety", "in_row_m", "between_rows_m",
		"parthenocarpic", "for_seed"}
	cropYearMembers   = []string{"year", "crops"}
	windowMembers     = []string{"from", "to"}
	coverMembers      = []string{"from", "to", "mesh_mm", "material", "edges", "bees_inside"}
	treatmentMembers  = []string{"material", "on", "pest", "harvest_hours", "evening", "note"}
	plantMembers      = []string{"plant", "share", "bloom"}
	trappingMembers   = []string{"protects", "pest", "removal", "sown", "cleared", "every_days"}
	trapMembers       = []string{"trap", "pest", "number", "colour", "height_m", "set", "until", "renew_days"}
	acceptanceMembers = []string{"rule", "key", "reason", "date"}
	weatherMembers    = []string{"station", "unit", "start", "min", "max"}
	geometryMembers   = []string{"type", "coordinates"}
)

// rest writes unknown members by name, so that their order is stable.
func (e *encoder) rest(sep string, x Extra, own []string) {
	for _, name := range x.names() {
		if !slices.Contains(own, name) {
			e.name(sep, name)
			e.buf = append(e.buf, x[name]...)
		}
	}
}

func (x Extra) names() []string {
	names := make([]string, 0, len(x))
	for n := range x {
		names = append(names, n)
	}
	slices.Sort(names)
	return names
}

// objectOf is the members as one JSON object.
func objectOf(x Extra) []byte {
	var e encoder
	e.add("{")
	sep := ""
	for _, n := range x.names() {
		e.name(sep, n)
		e.buf = append(e.buf, x[n]...)
		sep = ", "
	}
	e.add("}")
	return e.buf
}

// membersOf are the members of a JSON object that was kept; none where it is something else.
func membersOf(raw []byte) (x Extra) {
	var m map[string]json.RawMessage
	if json.Unmarshal(raw, &m) != nil {
		return nil
	}
	for n, v := range m {
		x.keep(n, v)
	}
	return x
}

// planMembers opens the object and writes what a plan says of itself.
func (e *encoder) planMembers(p *Plan, sep string) {
	e.add("{" + strings.TrimPrefix(strings.TrimPrefix(sep, ","), " "))
	e.textMember("", "format", planFormat)
	e.add(`, "version": `)
	if v, newer := p.Extra["version"]; newer {
		e.buf = append(e.buf, v...)
	} else {
		e.add(strconv.Itoa(version))
	}
	// What a newer version wrote in another way stands until something is put in its place here.
	unread := func(sep, name string, nothing bool) bool {
		raw, kept := p.Extra[name]
		if !kept || !nothing || e.move != nil { // other programs, for which GeoJSON is, could not read it either
			return false
		}
		e.name(sep, name)
		e.buf = append(e.buf, raw...)
		return true
	}
	if !unread(", ", "name", p.Name == "") {
		e.textMember(", ", "name", p.Name)
	}
	if !unread(", ", "units", p.Units == Metric) {
		e.textMember(", ", "units", string(p.Units))
	}
	for name, nothing := range p.nothing() {
		unread(sep, name, nothing)
	}
	if pl := p.Place; pl != nil {
		e.name(sep, "place")
		e.place(pl)
	}
	if p.Picture != nil {
		e.name(sep, "picture")
		e.picture(p.Picture)
	}
	if p.Year != 0 {
		e.numberMember(sep, "year", float64(p.Year), 0)
	}
	if len(p.Accepted) > 0 {
		e.name(sep, "accepted")
		for i := range p.Accepted {
			e.item(i)
			e.acceptance(&p.Accepted[i])
		}
		e.add("]")
	}
	if p.Weather != nil {
		e.name(sep, "weather")
		e.weather(p.Weather)
	}
	if len(p.Own) > 0 {
		e.name(sep, "catalogue")
		e.ownEntries(p.Own)
	}
	e.rest(sep, p.Extra, planMembers)
}

func (e *encoder) place(pl *Place) {
	e.numberMember("{", "latitude", pl.Latitude, degreeDecimals)
	e.numberMember(", ", "longitude", pl.Longitude, degreeDecimals)
	e.numberMember(", ", "elevation_m", pl.ElevationM, metreDecimals)
	e.dayMember(", ", "last_frost", pl.LastFrost)
	e.dayMember(", ", "first_frost", pl.FirstFrost)
	if pl.HardinessZone != "" {
		e.textMember(", ", "hardiness_zone", pl.HardinessZone)
	}
	e.numberMember(", ", "north_deg", pl.NorthDeg, degreeDecimals)
	e.rest(", ", pl.Extra, placeMembers)
	e.add("}")
}

func (e *encoder) features(p *Plan) {
	e.add(",\n  \"features\": [")
	sep := "\n    "
	next := func() {
		e.add(sep)
		sep = ",\n    "
	}
	p.merged(func(f *Feature) {
		next()
		e.feature(f)
	}, func(raw []byte) {
		next()
		e.buf = append(e.buf, raw...)
	})
	if len(p.Features)+len(p.Unknown) > 0 {
		e.add("\n  ")
	}
	e.add("]\n}\n")
}

func (e *encoder) feature(f *Feature) {
	const line = ",\n     "
	e.textMember("{", "id", f.ID)
	e.textMember(", ", "kind", string(f.Kind))
	e.textMember(", ", "name", f.Name)
	e.name(line, "geometry")
	e.geometry(f)
	e.properties(f, line)
	e.add("}")
}

// properties writes what a feature has besides its id, kind, name and geometry.
func (e *encoder) properties(f *Feature, sep string) {
	if f.Line != nil {
		e.name(sep, "line")
		e.points(f.Line)
		e.numberMember(", ", "width_m", f.WidthM, metreDecimals)
	} else if f.WidthM > 0 {
		e.numberMember(sep, "width_m", f.WidthM, metreDecimals)
	}
	if f.Centre != nil {
		e.name(sep, "center")
		e.point(*f.Centre)
		e.numberMember(", ", "radius_m", f.RadiusM, metreDecimals)
	} else if f.RadiusM > 0 {
		e.numberMember(sep, "radius_m", f.RadiusM, metreDecimals)
	}
	if f.Refuge != nil {
		e.name(sep, "refuge")
		e.add(strconv.FormatBool(*f.Refuge))
	}
	if len(f.Crops) > 0 {
		e.name(sep, "crops")
		e.plantings(f.Crops)
	}
	if len(f.OtherYears) > 0 {
		e.name(sep, "other_years")
		for i, y := range f.OtherYears {
			e.item(i)
			e.numberMember("{", "year", float64(y.Year), 0)
			e.name(", ", "crops")
			e.plantings(y.Crops)
			e.rest(", ", y.Extra, cropYearMembers)
			e.add("}")
		}
		e.add("]")
	}
	if f.Cover != nil {
		e.name(sep, "cover")
		e.cover(f.Cover)
	}
	if len(f.LaterCovers) > 0 {
		e.name(sep, "later_covers")
		for i := range f.LaterCovers {
			e.item(i)
			e.cover(&f.LaterCovers[i])
		}
		e.add("]")
	}
	if len(f.Treatments) > 0 {
		e.name(sep, "treatments")
		for i := range f.Treatments {
			e.item(i)
			e.treatment(&f.Treatments[i])
		}
		e.add("]")
	}
	if len(f.Plants) > 0 {
		e.name(sep, "plants")
		for i, g := range f.Plants {
			e.item(i)
			e.textMember("{", "plant", g.Plant)
			e.numberMember(", ", "share", g.Share, shareDecimals)
			if rest := membersOf(g.Extra["bloom"]); g.Bloom != (season.Window{}) || len(rest) > 0 {
				e.name(", ", "bloom")
				e.window(g.Bloom, rest)
			}
			e.rest(", ", g.Extra, plantMembers)
			e.add("}")
		}
		e.add("]")
	}
	if t := f.Trapping; t != nil {
		e.name(sep, "trapping")
		e.textMember("{", "protects", t.Protects)
		e.textMember(", ", "pest", t.Pest)
		e.textMember(", ", "removal", t.Removal)
		e.dayMember(", ", "sown", t.Sown)
		e.dayMember(", ", "cleared", t.Cleared)
		e.wholeMember(", ", "every_days", t.EveryDays)
		e.rest(", ", t.Extra, trappingMembers)
		e.add("}")
	}
	if f.Trap != nil {
		e.name(sep, "trap")
		e.trapMark(f.Trap)
	}
	if f.Nursery != "" {
		e.textMember(sep, "nursery", f.Nursery)
	}
	if f.Note != "" {
		e.textMember(sep, "note", f.Note)
	}
	if f.Locked {
		e.name(sep, "locked")
		e.add("true")
	}
	if f.Hidden {
		e.name(sep, "hidden")
		e.add("true")
	}
	e.rest(sep, f.Extra, featureMembers)
}

// item opens a list or parts its items.
func (e *encoder) item(i int) {
	if i == 0 {
		e.add("[")
	} else {
		e.add(", ")
	}
}

func (e *encoder) window(w season.Window, x Extra) {
	e.add("{")
	sep := ""
	for _, end := range []struct {
		name string
		day  season.Day
	}{{"from", w.From}, {"to", w.To}} {
		if end.day != 0 {
			e.dayMember(sep, end.name, end.day)
			sep = ", "
		}
	}
	for _, n := range x.names() {
		if !slices.Contains(windowMembers, n) {
			e.name(sep, n)
			e.buf = append(e.buf, x[n]...)
			sep = ", "
		}
	}
	e.add("}")
}

// geometry writes the outline, rounded unless rounding would spoil it.
func (e *encoder) geometry(f *Feature) {
	g := f.Geometry
	e.textMember("{", "type", g.GeoJSONType())
	e.name(", ", "coordinates")
	decimals := e.metres
	if !roundsWell(g, decimals) {
		e.metres = exact
	}
	switch g := g.(type) {
	case orb.Point:
		e.point(g)
	case orb.Polygon:
		e.polygon(g)
	case orb.MultiPolygon:
		for i, p := range g {
			e.part(i)
			e.polygon(p)
		}
		e.add("]")
	}
	e.metres = decimals
	e.rest(", ", membersOf(f.Extra["geometry"]), geometryMembers)
	e.add("}")
}

// part is item without the space: coordinates are long.
func (e *encoder) part(i int) {
	if i == 0 {
		e.add("[")
	} else {
		e.add(",")
	}
}

func (e *encoder) polygon(p orb.Polygon) {
	for i, r := range p {
		e.part(i)
		e.points(r)
	}
	e.add("]")
}

func (e *encoder) points(ps []orb.Point) {
	for i, p := range ps {
		e.part(i)
		e.point(p)
	}
	e.add("]")
}

// point writes a point. What becomes degrees is rounded in metres before: then what is read of them is the plan as its own file has
// it, and writing that gives the same degrees again.
func (e *encoder) point(p orb.Point) {
	decimals := e.metres
	if e.move != nil {
		if decimals != exact {
			p = orb.Point{round(p[0], decimals), round(p[1], decimals)}
		}
		p, decimals = e.move(p), geoDecimals
	}
	e.add("[")
	e.number(p[0], decimals)
	e.add(",")
	e.number(p[1], decimals)
	e.add("]")
}

// roundsWell tells whether an outline is still a proper one when its coordinates are rounded. A sliver may fold over.
func roundsWell(g orb.Geometry, decimals int) bool {
	same := true
	rounded := mapPoints(g, func(p orb.Point) orb.Point {
		q := orb.Point{round(p[0], decimals), round(p[1], decimals)}
		same = same && q == p
		return q
	})
	return same || geometry.Validate(rounded) == nil
}

// mapPoints is a copy of a geometry with every point moved.
func mapPoints(g orb.Geometry, move func(orb.Point) orb.Point) orb.Geometry {
	ring := func(r []orb.Point) []orb.Point {
		out := make([]orb.Point, len(r))
		for i, p := range r {
			out[i] = move(p)
		}
		return out
	}
	polygon := func(p orb.Polygon) orb.Polygon {
		out := make(orb.Polygon, len(p))
		for i, r := range p {
			out[i] = ring(r)
		}
		return out
	}
	switch g := g.(type) {
	case orb.Point:
		return move(g)
	case orb.LineString:
		return orb.LineString(ring(g))
	case orb.Polygon:
		return polygon(g)
	case orb.MultiPolygon:
		out := make(orb.MultiPolygon, len(g))
		for i, p := range g {
			out[i] = polygon(p)
		}
		return out
	}
	return g
}
