package plan

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/google/uuid"
	"github.com/paulmach/orb"

	"hedgereach/geometry"
)

// Check finds the first thing in a plan that a reader would refuse. The error is a *ReadError that names the feature by its
// place in the file.
func (p *Plan) Check() error { return p.check(nil, whereFeature) }

// CheckChange is Check of what an edit made of before: what before has unchanged is taken as it is, since a fault that a file
// brought must not bar every other edit. It names features as people do, by name or kind.
func (p *Plan) CheckChange(before *Plan) error {
	return p.check(before, func(_ int, f *Feature) string {
		if f.Name != "" {
			return cut(f.Name, 40)
		}
		return f.Kind.Label()
	})
}

// check checks what before, which may be nil, does not have.
func (p *Plan) check(before *Plan, where func(i int, f *Feature) string) error {
	if before == nil {
		before = &Plan{}
	}
	if p.Name != before.Name {
		if err := checkText("name", "it", p.Name, MaxName, unseen); err != nil {
			return err
		}
	}
	if p.Units != Metric && p.Units != US {
		return &ReadError{Where: "units", What: fmt.Sprintf("%q is not a system of units", p.Units),
			Mend: `write "metric" or "us"`}
	}
	if err := p.Extra.check(); err != nil {
		return err
	}
	if p.Place != nil {
		if err := p.Place.check(); err != nil {
			return err
		}
	}
	if p.Picture != nil && p.Picture != before.Picture {
		if err := p.Picture.check(); err != nil {
			return err
		}
	}
	if err := p.checkSeason(before); err != nil {
		return err
	}
	if len(p.Own) > MaxOwn {
		return &ReadError{Where: "catalogue", What: fmt.Sprintf("there are more than %d own entries", MaxOwn),
			Mend: "take out what the plan does not need"}
	}
	for i := range p.Own {
		if err := p.Own[i].check(i); err != nil {
			return err
		}
	}
	if n := len(p.Features) + len(p.Unknown); n > max(MaxFeatures, len(before.Features)) {
		return &ReadError{Where: "features", What: fmt.Sprintf("there are %d features, more than %d", n,
			MaxFeatures),
			Mend: "split the site into several plans"}
	}
	had := make(map[*Feature]bool, len(before.Features))
	most := 0 // points
	for _, f := range before.Features {
		had[f] = true
		most += countPoints(f.Geometry)
	}
	most = max(most, MaxPoints)
	points := 0
	seen := make(map[string]int, len(p.Features))
	for i, f := range p.Features {
		if !had[f] {
			if err := f.check(); err != nil {
				err.Where = where(i, f) + err.Where
				return err
			}
		}
		id := strings.ToLower(f.ID)
		if first, twice := seen[id]; twice && !(had[f] && had[p.Features[first]]) {
			return &ReadError{Where: where(i, f), What: fmt.Sprintf("its id is that of %s, too", where(first, p.Features[first])),
				Mend: "give one of them another UUID"}
		}
		seen[id] = i
		if points += countPoints(f.Geometry); points > most {
			return &ReadError{Where: where(i, f), What: fmt.Sprintf("the plan has more than %d points", MaxPoints),
				Mend: "thin out its outlines"}
		}
	}
	return nil
}

// mostExtra leaves room in an object for the members that a plan writes itself.
const mostExtra = MaxMembers - 30

func (x Extra) check() *ReadError {
	if len(x) > mostExtra {
		return &ReadError{What: fmt.Sprintf("it has more than %d members that are not known", mostExtra),
			Mend: "take out what is not needed"}
	}
	return nil
}

func whereFeature(i int, f *Feature) string { return whereNamed(i, f.Name) }

func whereNamed(i int, name string) string {
	if name == "" {
		return fmt.Sprintf("features[%d]", i)
	}
	return fmt.Sprintf("features[%d] %q", i, cut(name, 40))
}

func (pl *Place) check() error {
	for _, c := range []struct {
		name      string
		v, lo, hi float64
	}{
		{"latitude", pl.Latitude, -90, 90}, {"longitude", pl.Longitude, -180, 180},
		{"elevation_m", pl.ElevationM, -500, 9000}, {"north_deg", pl.NorthDeg, -360, 360},
	} {
		if !(c.v >= c.lo && c.v <= c.hi) {
			return &ReadError{Where: "place." + c.name, What: fmt.Sprintf("%g is not between %g and %g", c.v, c.lo, c.hi),
				Mend: "correct it"}
		}
	}
	if err := checkText("place.hardiness_zone", "it", pl.HardinessZone, MaxName, unseen); err != nil {
		return err
	}
	if err := pl.Extra.check(); err != nil {
		err.Where = "place"
		return err
	}
	return nil
}

// check answers what is wrong with the feature; Where is left relative to it.
func (f *Feature) check() *ReadError {
	if f.ID == "" {
		return &ReadError{What: "it has no id", Mend: "give it a UUID"}
	}
	if _, err := uuid.Parse(f.ID); err != nil || len(f.ID) != 36 {
		return &ReadError{What: fmt.Sprintf("its id %q is not a UUID", cut(f.ID, 40)), Mend: "give it a UUID"}
	}
	if f.Kind == "" {
		return &ReadError{What: "it has no kind", Mend: "say what it is: bed, hedgerow, path …"}
	}
	if !f.Kind.Known() {
		return &ReadError{What: fmt.Sprintf("its kind %q is not known", cut(string(f.Kind), 40)),
			Mend: "use one of " + kindList()}
	}
	if err := checkText("", "its name", f.Name, MaxName, unseen); err != nil {
		return err
	}
	if err := checkText("", "its note", f.Note, MaxNote, unseenInNote); err != nil {
		return err
	}
	if len(f.Crops) > MaxList || len(f.Plants) > MaxList {
		return &ReadError{What: fmt.Sprintf("it lists more than %d crops or plants", MaxList),
			Mend: "divide it into several features"}
	}
	extras, err := f.checkSeason()
	if err != nil {
		return err
	}
	for i, g := range f.Plants {
		extras = append(extras, g.Extra)
		if err := checkText(fmt.Sprintf(", plants[%d].plant", i), "it", g.Plant, MaxName, unseen); err != nil {
			return err
		}
		if !(g.Share >= 0 && g.Share <= 1) {
			return &ReadError{Where: fmt.Sprintf(", plants[%d].share", i), What: fmt.Sprintf("%g is not a share", g.Share),
				Mend: "write a part from 0 to 1"}
		}
	}
	for _, x := range extras {
		if err := x.check(); err != nil {
			return err
		}
	}
	return f.checkGeometry()
}

func kindList() string {
	var b bytes.Buffer
	for i, k := range Kinds {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(string(k))
	}
	return b.String()
}

func (f *Feature) checkGeometry() *ReadError {
	var rings []orb.Ring
	switch g := f.Geometry.(type) {
	case orb.Polygon:
		rings = g
	case orb.MultiPolygon:
		for _, p := range g {
			rings = append(rings, p...)
		}
	case orb.Point:
		if f.Kind != Trap && f.Kind != Stake {
			return &ReadError{What: "a point cannot be a " + string(f.Kind), Mend: "give it an outline (a Polygon)"}
		}
		if !onGround(g) {
			return offGround(g)
		}
		return nil
	case nil:
		return &ReadError{What: "it has no geometry", Mend: "draw its outline"}
	default:
		return &ReadError{What: "its geometry is a " + g.GeoJSONType(), Mend: "use a Polygon or MultiPolygon"}
	}
	for _, r := range rings {
		if len(r) > MaxRing {
			return &ReadError{What: fmt.Sprintf("an outline has more than %d points", MaxRing), Mend: "thin it out"}
		}
		for _, p := range r {
			if !onGround(p) {
				return offGround(p)
			}
		}
	}
	for _, p := range append(f.Line[:len(f.Line):len(f.Line)], points(f.Centre)...) {
		if !onGround(p) {
			return offGround(p)
		}
	}
	for _, m := range []float64{f.WidthM, f.RadiusM} {
		if !(m >= 0 && m <= MaxMetres) {
			return &ReadError{What: fmt.Sprintf("%g is not a width or radius", m), Mend: "write metres above 0"}
		}
	}
	if err := geometry.Validate(f.Geometry); err != nil {
		var bad *geometry.InvalidError
		if errors.As(err, &bad) && !math.IsNaN(bad.At[0]) {
			return &ReadError{What: fmt.Sprintf("%s near (%.1f, %.1f)", bad.Reason, bad.At[0], bad.At[1]), Mend: "redraw it there"}
		}
		return &ReadError{What: err.Error(), Mend: "redraw it"}
	}
	return nil
}

func points(p *orb.Point) []orb.Point {
	if p == nil {
		return nil
	}
	return []orb.Point{*p}
}

func onGround(p orb.Point) bool { return math.Abs(p[0]) <= MaxMetres && math.Abs(p[1]) <= MaxMetres }

func offGround(p orb.Point) *ReadError {
	return &ReadError{What: fmt.Sprintf("the point (%g, %g) lies more than %g km from the plan's origin", p[0], p[1],
		MaxMetres/1000),
		Mend: "coordinates are metres east and north of the origin"}
}

func countPoints(g orb.Geometry) int {
	n := 0
	switch g := g.(type) {
	case orb.Polygon:
		for _, r := range g {
			n += len(r)
		}
	case orb.MultiPolygon:
		for _, p := range g {
			n += countPoints(p)
		}
	case orb.Point:
		n = 1
	}
	return n
}
