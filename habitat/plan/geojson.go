package plan

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/google/uuid"
	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/geometry/geodesy"
)

// GeoJSON is RFC 7946: longitude and latitude in degrees, WGS 84, outlines counter-clockwise and holes clockwise. A feature's
// properties have the names that they have in a plan file; a line or centre by which it was drawn is in degrees, too. What
// the plan says of itself stands in a foreign member "plan" of the collection, laid out as at the top of a plan file.

// geoDecimals are of degrees: a hundredth of a millimetre, so that metres to 0.1 mm come back as they were.
const geoDecimals = 10

// Sizes taken where a GIS gives only a line or a point.
const (
	bareLineWidth  = 1.0
	bareTreeRadius = 1.0
)

// farNoteM is the size of a site from which on the local plane's distances are worth a word.
const farNoteM = 10_000

// ReadGeoJSON reads a FeatureCollection, Feature or bare geometry. Where it does not say where the plan's origin lies, that is
// the centre of all features, which becomes the place. Notes say what was left out or taken for granted; the title names a
// plan that has no name of its own. The error is a *ReadError.
func ReadGeoJSON(r io.Reader, title string) (*Plan, []string, error) {
	data, err := readAll(r)
	if err != nil {
		return nil, nil, inFile(title, err)
	}
	data, err = checkJSON(data)
	if err != nil {
		return nil, nil, inFile(title, err)
	}
	_, kind, _, err := whatIsIt(data)
	if err == nil && kind == "" {
		err = &ReadError{What: "this is not GeoJSON", Mend: `GeoJSON has "type": "FeatureCollection"`}
	}
	var p *Plan
	var notes []string
	if err == nil {
		p, notes, err = decodeGeoJSON(data, kind, title)
	}
	if err != nil {
		return nil, nil, inFile(title, err)
	}
	return p, notes, nil
}

// A foreign is a feature as another program wrote it, still in degrees.
type foreign struct {
	*Feature
	index int
}

// A collector reads GeoJSON and gathers features and notes.
type collector struct {
	*decoder
	plan     *Plan
	features []foreign
	notes    []string
}

func (c *collector) note(format string, a ...any) {
	c.notes = append(c.notes, fmt.Sprintf(format, a...))
}

func decodeGeoJSON(data []byte, kind, title string) (*Plan, []string, error) {
	c := &collector{decoder: &decoder{buf: data}, plan: New("")}
	var err error
	switch kind {
	case "FeatureCollection":
		err = c.collection()
	case "Feature":
		err = c.one(0)
	default: // a bare geometry
		f := &Feature{ID: stableID(0, string(data))}
		var rest Extra
		f.Geometry, rest, err = c.geometry()
		if u, ok := err.(unused); ok {
			err = &fault{path: "type", what: u.Error(), mend: "use Polygon or MultiPolygon"}
		}
		if len(rest) > 0 {
			f.Extra.keep("geometry", objectOf(rest))
		}
		c.features = []foreign{{f, 0}}
	}
	if err != nil {
		return nil, nil, asReadError(err)
	}
	if err := c.bring(); err != nil {
		return nil, nil, err
	}
	if c.plan.Name == "" {
		c.plan.Name = cut(title, MaxName)
	}
	if err := c.plan.Check(); err != nil {
		return nil, nil, err
	}
	return c.plan, gather(append(c.remarks(), c.notes...)), nil
}

// gather keeps a list of notes readable when each of a thousand features has one.
func gather(notes []string) []string {
	const most = 20
	if len(notes) <= most {
		return notes
	}
	return append(notes[:most:most], fmt.Sprintf("… and %d more like these", len(notes)-most))
}

func (c *collector) collection() error {
	return c.object(func(name string) error {
		switch name {
		case "type", "bbox":
			c.raw()
		case "crs":
			return c.crs()
		case "name": // which GIS programs write
			if c.space() != '"' {
				c.plan.Extra.keepBeside("geojson_name", c.raw())
				return nil
			}
			s, err := c.text()
			if c.plan.Name == "" {
				c.plan.Name = cut(s, MaxName)
			}
			return err
		case "plan":
			if c.space() != '{' {
				c.plan.Extra.keepBeside("geojson_plan", c.raw())
				return nil
			}
			return c.object(func(name string) error {
				switch name {
				case "format":
					c.raw()
					return nil
				case "version":
					return c.version(c.plan)
				}
				return c.planMember(c.plan, name)
			})
		case "features":
			return c.list(func(i int) error {
				if i >= MaxFeatures {
					return &fault{what: fmt.Sprintf("there are more than %d features", MaxFeatures),
						mend: "split the site into several plans"}
				}
				return c.one(i)
			})
		default: // a member of another program's, which may have a name that a plan uses for something else
			c.plan.Extra.keepBeside("geojson_"+name, c.raw())
		}
		return nil
	})
}

// crs refuses the coordinate system member of GeoJSON before RFC 7946 where it names anything but WGS 84.
func (c *collector) crs() error {
	raw := strings.ToUpper(string(c.raw()))
	if raw == "NULL" || strings.Contains(raw, "CRS84") || strings.Contains(raw, "EPSG::4326") ||
		strings.Contains(raw, "EPSG:4326") {
		return nil
	}
	return &fault{what: "its coordinates are not WGS 84", mend: "bring the file to WGS 84 (EPSG:4326), as GeoJSON asks"}
}

// one reads a feature.
func (c *collector) one(i int) error {
	start := c.pos
	if err := c.read(i); err != nil {
		return c.inFeature(i, start, err)
	}
	return nil
}

func (c *collector) read(i int) error {
	start := c.pos
	f := &Feature{}
	var given []byte // its id, text or number
	var skipped unused
	err := c.object(func(name string) (err error) {
		switch name {
		case "type", "bbox":
			c.raw()
		case "id":
			if !c.null() {
				given = c.raw()
			}
		case "geometry":
			var rest Extra
			f.Geometry, rest, err = c.geometry()
			if errors.As(err, &skipped) {
				err = nil
			}
			if len(rest) > 0 {
				f.Extra.keep("geometry", objectOf(rest))
			}
		case "properties":
			if !c.null() {
				err = c.object(func(name string) error { return c.foreignProperty(f, i, name) })
			}
		default:
			f.Extra.keepBeside("geojson_"+name, c.raw())
		}
		return err
	})
	if err != nil {
		return err
	}
	if skipped != "" || f.Geometry == nil {
		what := "no geometry"
		if skipped != "" {
			what = "a " + string(skipped)
		}
		c.note("%s has %s and was left out", whereFeature(i, f), what)
		return nil
	}
	id := unquoted(given)
	switch _, err := uuid.Parse(id); {
	case err == nil && len(id) == 36:
		f.ID = id
	default:
		f.ID = stableID(i, string(c.buf[start:c.pos]))
		if id != "" {
			f.Extra.keepBeside("source_id", given)
		}
	}
	c.features = append(c.features, foreign{f, i})
	return nil
}

// stableID is an id for a feature that came without: the same file gives the same ids each time, so that reports on it can be
// compared.
func stableID(i int, content string) string {
	return uuid.NewSHA1(uuid.NameSpaceOID, fmt.Appendf(nil, "%d %s", i, content)).String()
}

// unquoted is the text of a JSON text or number.
func unquoted(raw []byte) string {
	d := decoder{buf: raw}
	if d.space() == '"' {
		s, _ := d.text()
		return s
	}
	return string(raw)
}

// propertyBegins is what the values of a plan's properties may begin with, those of other programs included.
var propertyBegins = map[string]string{
	"name": `"-0123456789tf`, "note": `"-0123456789tf`, "width_m": `"-0123456789`, "radius_m": `"-0123456789`, "refuge": "tf01",
	"locked": "tf", "hidden": "tf",
	"line": "[", "center": "[", "crops": "[", "other_years": "[", "plants": "[", "cover": "{", "later_covers": "[",
	"treatments": "[", "trapping": "{", "trap": "{", "nursery": `"`,
}

// foreignProperty reads a property, mild where other programs differ: numbers for names, empty texts for nothing, numbers in
// quotes, 0 and 1 for truth. What is of another type than a plan's is another program's: it is kept under another name.
func (c *collector) foreignProperty(f *Feature, i int, name string) (err error) {
	at := c.space()
	if begins, own := propertyBegins[name]; own && at != 'n' && !strings.ContainsRune(begins, rune(at)) {
		c.note("%s: its %q is %s and was kept as %q", whereFeature(i, f), name, c.found(), "source_"+name)
		f.Extra.keepBeside("source_"+name, c.raw())
		return nil
	}
	switch name {
	case "kind":
		raw := c.raw()
		s := strings.ReplaceAll(strings.ToLower(strings.TrimSpace(unquoted(raw))), " ", "-")
		if at == 'n' || s == "" {
			return nil
		}
		if f.Kind = Kind(s); !f.Kind.Known() {
			return &fault{what: fmt.Sprintf("its kind %q is not known", cut(unquoted(raw), 40)), mend: "use one of " + kindList()}
		}
		return nil
	case "name", "note":
		if at != '"' && at != 'n' {
			s := string(c.raw())
			if name == "name" {
				f.Name = s
			} else {
				f.Note = s
			}
			return nil
		}
	case "width_m", "radius_m":
		if at == '"' {
			s := strings.TrimSpace(unquoted(c.raw()))
			if s == "" {
				return nil
			}
			v, err := strconv.ParseFloat(s, 64)
			if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
				return &fault{what: fmt.Sprintf("%q is not a number of metres", cut(s, 20)), mend: "write a plain number like 1.2"}
			}
			if name == "width_m" {
				f.WidthM = v
			} else {
				f.RadiusM = v
			}
			return nil
		}
	case "refuge":
		if at == '0' || at == '1' {
			b := string(c.raw()) == "1"
			f.Refuge = &b
			return nil
		}
	case "line":
		if !c.null() {
			f.Line, err = c.pointList()
		}
		return err
	case "center":
		if !c.null() {
			p, err := c.point()
			f.Centre = &p
			return err
		}
		return nil
	case "id": // beside the feature's own id, which is kept as source_id
		f.Extra.keepBeside("source_property_id", c.raw())
		return nil
	case "geometry":
		f.Extra.keepBeside("source_geometry", c.raw())
		return nil
	}
	return c.property(f, name)
}

// bring turns degrees into metres about the plan's place, and gives kinds and outlines to features that lack them.
func (c *collector) bring() error {
	var box *orb.Bound
	for _, f := range c.features {
		b := f.Geometry.Bound()
		if !(b.Min[0] >= -360 && b.Max[0] <= 360 && b.Min[1] >= -90 && b.Max[1] <= 90) {
			return &ReadError{Where: whereFeature(f.index, f.Feature),
				What: fmt.Sprintf("(%s, %s) is not a longitude and latitude", plainly(b.Max[0]), plainly(b.Max[1])),
				Mend: "bring the file to WGS 84 (EPSG:4326), as GeoJSON asks"}
		}
		if box == nil {
			box = &b
		} else {
			*box = box.Union(b)
		}
	}
	if box == nil {
		c.note("there are no features in it")
		return nil
	}
	if box.Max[0]-box.Min[0] > 180 { // it lies across the antimeridian: measure east of Greenwich only
		box = nil
		for _, f := range c.features {
			f.Geometry = mapPoints(f.Geometry, func(p orb.Point) orb.Point { return orb.Point{math.Mod(p[0]+720, 360), p[1]} })
			b := f.Geometry.Bound()
			if box == nil {
				box = &b
			} else {
				*box = box.Union(b)
			}
		}
	}
	if c.plan.Place == nil {
		centre := box.Center()
		c.plan.Place = &Place{Latitude: round(centre[1], 5), Longitude: round(nearLongitude(centre[0], 0), 5)}
	}
	pl := c.plan.Place
	local, err := geodesy.At(pl.Latitude, pl.Longitude, pl.NorthDeg)
	if err != nil {
		return &ReadError{Where: "place", What: err.Error(), Mend: "correct the place"}
	}
	metres := func(p orb.Point) orb.Point {
		q := local.Metres(orb.Point{nearLongitude(p[0], pl.Longitude), p[1]})
		return q
	}
	var ground orb.Bound
	for i, f := range c.features {
		f.Geometry = mapPoints(f.Geometry, metres)
		f.Line, _ = mapPoints(f.Line, metres).(orb.LineString)
		if len(f.Line) == 0 {
			f.Line = nil
		}
		if f.Centre != nil {
			p := metres(*f.Centre)
			f.Centre = &p
		}
		c.shape(f)
		f.roundGeometry()
		f.settle()
		if b := f.Geometry.Bound(); i == 0 {
			ground = b
		} else {
			ground = ground.Union(b)
		}
		c.plan.Features = append(c.plan.Features, f.Feature)
	}
	across := math.Hypot(ground.Max[0]-ground.Min[0], ground.Max[1]-ground.Min[1])
	switch {
	case !(across <= MaxSpreadM):
		return &ReadError{What: fmt.Sprintf("its features lie %.0f km apart", across/1000),
			Mend: "a plan is one site; take out what lies elsewhere"}
	case across > farNoteM:
		c.note("the site is %.0f km across: distances from end to end are less exact than on a plan of a kilometre", across/1000)
	}
	return nil
}

func plainly(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// nearLongitude turns a longitude by full circles to within half a circle of another.
func nearLongitude(lon, of float64) float64 {
	return lon - 360*math.Round((lon-of)/360)
}

// shape gives an outline to what came as a line or point, and a kind to what has none.
func (c *collector) shape(f foreign) {
	where := whereFeature(f.index, f.Feature)
	if f.Kind == "" {
		switch f.Geometry.(type) {
		case orb.Point:
			f.Kind = Stake
		case orb.LineString:
			f.Kind = Path
		default:
			f.Kind = Bed
		}
		c.note("%s has no kind and was taken for a %s", where, f.Kind)
	}
	switch g := f.Geometry.(type) {
	case orb.LineString:
		width := f.WidthM
		if !(width > 0) {
			width = bareLineWidth
			c.note("%s is a line without width_m and was made %g m wide", where, width)
		}
		f.Line, f.WidthM = g, width
		if s := stripOf(g, width); s != nil {
			f.Geometry = s
		}
	case orb.Point:
		if f.Kind == Trap || f.Kind == Stake {
			return
		}
		radius := f.RadiusM
		if !(radius > 0) {
			if f.Kind != Tree {
				return // Check refuses it by name
			}
			radius = bareTreeRadius
			c.note("%s is a point without radius_m and was made %g m in radius", where, radius)
		}
		if onGround(g) && radius <= MaxMetres {
			f.Centre, f.RadiusM, f.Geometry = &g, radius, geometry.Disc(g, radius)
		}
	}
}

// roundGeometry takes the noise of the projection off: all to 0.1 mm, unless that would spoil an outline.
func (f *Feature) roundGeometry() {
	r := func(p orb.Point) orb.Point { return orb.Point{round(p[0], metreDecimals), round(p[1], metreDecimals)} }
	if roundsWell(f.Geometry, metreDecimals) {
		f.Geometry = mapPoints(f.Geometry, r)
	}
	for i, p := range f.Line {
		f.Line[i] = r(p)
	}
	if f.Centre != nil {
		p := r(*f.Centre)
		f.Centre = &p
	}
}

// WriteGeoJSON writes a plan as an RFC 7946 FeatureCollection. It needs the plan's place.
func WriteGeoJSON(w io.Writer, p *Plan) error {
	data, err := MarshalGeoJSON(p)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return err
}

// MarshalGeoJSON is what WriteGeoJSON writes.
func MarshalGeoJSON(p *Plan) ([]byte, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	if p.Place == nil {
		return nil, &ReadError{Where: "place", What: "the plan has no place, so its metres cannot become degrees",
			Mend: "give its latitude and longitude first"}
	}
	// The place as it is written, not as it may be beyond the decimals: by that the degrees are read again.
	local, err := geodesy.At(round(p.Place.Latitude, degreeDecimals), round(p.Place.Longitude, degreeDecimals),
		round(p.Place.NorthDeg, degreeDecimals))
	if err != nil {
		return nil, &ReadError{Where: "place", What: err.Error(), Mend: "correct the place"}
	}
	e := encoder{metres: metreDecimals, move: func(m orb.Point) orb.Point {
		d := local.Degrees(m)
		return orb.Point{nearLongitude(d[0], 0), d[1]}
	}}
	e.add("{\n  \"type\": \"FeatureCollection\",\n  \"plan\": ")
	e.planMembers(p, ", ")
	e.add("},\n  \"features\": [")
	for i, f := range p.Features {
		if i > 0 {
			e.add(",")
		}
		e.add("\n    {\"type\": \"Feature\"")
		e.textMember(", ", "id", f.ID)
		c := f.Clone()
		turnRings(c.Geometry)
		e.name(",\n     ", "geometry")
		e.geometry(c)
		e.name(",\n     ", "properties")
		e.textMember("{", "kind", string(f.Kind))
		e.textMember(", ", "name", f.Name)
		e.properties(f, ", ")
		e.add("}}")
	}
	if len(p.Features) > 0 {
		e.add("\n  ")
	}
	e.add("]\n}\n")
	return e.buf, nil
}

// turnRings makes outlines run counter-clockwise and holes clockwise.
func turnRings(g orb.Geometry) {
	switch g := g.(type) {
	case orb.Polygon:
		for i, r := range g {
			if want := map[bool]orb.Orientation{true: orb.CCW, false: orb.CW}[i == 0]; r.Orientation() == -want {
				r.Reverse()
			}
		}
	case orb.MultiPolygon:
		for _, p := range g {
			turnRings(p)
		}
	}
}
