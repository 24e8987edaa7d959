package plan

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/data/season"
	"hedgereach/geometry"
)

// decodePlan reads a plan file. Where a newer version of the program wrote it, what cannot be read is kept unread; else it is
// refused.
func decodePlan(data []byte, newer bool) (*Plan, []string, error) {
	d := &decoder{buf: data}
	p := New("")
	err := d.object(func(name string) (err error) {
		switch name {
		case "format":
			d.raw()
		case "version":
			err = d.version(p)
		case "features":
			err = d.list(func(i int) error {
				if i >= MaxFeatures {
					return &fault{what: fmt.Sprintf("there are more than %d features", MaxFeatures),
						mend: "split the site into several plans"}
				}
				if newer {
					return d.newerFeature(p, i)
				}
				start := d.pos
				f, err := d.feature()
				if err != nil {
					return d.inFeature(i, start, err)
				}
				p.Features = append(p.Features, f)
				return nil
			})
		default:
			if newer {
				return d.newerMember(p, name)
			}
			err = d.planMember(p, name)
		}
		return err
	})
	if err != nil {
		return nil, nil, asReadError(err)
	}
	return p, append(p.newerNotes(), d.remarks()...), p.Check()
}

// planMember reads a member that a plan file has at its top and GeoJSON in its member "plan".
func (d *decoder) planMember(p *Plan, name string) (err error) {
	switch name {
	case "name":
		if !d.null() {
			p.Name, err = d.text()
		}
	case "units":
		if !d.null() {
			var s string
			s, err = d.text()
			p.Units = Units(s)
		}
	case "place":
		if !d.null() {
			p.Place, err = d.place()
		}
	case "picture":
		switch {
		case d.null():
		case d.space() != '{': // another program's
			p.Extra.keepBeside("source_picture", d.raw())
		default:
			p.Picture, err = d.picture()
		}
	case "year", "accepted", "weather":
		switch at := d.space(); {
		case d.null():
		case !strings.ContainsRune(planBegins[name], rune(at)): // another program's
			p.Extra.keepBeside("source_"+name, d.raw())
		case name == "year":
			p.Year, err = d.whole()
		case name == "accepted":
			err = d.list(func(i int) error {
				var a Acceptance
				err := d.acceptance(&a)
				p.Accepted = append(p.Accepted, a)
				return err
			})
		default:
			p.Weather, err = d.weather()
		}
	case "catalogue":
		switch {
		case d.null():
		case d.space() != '[': // another program's
			p.Extra.keepBeside("source_catalogue", d.raw())
		default:
			p.Own, err = d.ownEntries()
		}
	case "features": // in GeoJSON's member "plan", where they have no place
		p.Extra.keepBeside("geojson_features", d.raw())
	default:
		p.Extra.keep(name, d.raw())
	}
	return err
}

// version keeps a version that is not ours, so that a newer file stays a newer file.
func (d *decoder) version(p *Plan) error {
	start := d.pos
	v, err := d.number()
	if err != nil {
		return err
	}
	if v < 1 || v != math.Trunc(v) {
		return &fault{what: fmt.Sprintf("%g is not a version", v), mend: "write 1"}
	}
	if v != version {
		p.Extra.keep("version", bytes.TrimSpace(d.buf[start:d.pos]))
	}
	return nil
}

// inFeature makes a fault inside a feature an error that gives its index and, where it can be had, its name.
func (d *decoder) inFeature(i, start int, err error) error {
	var f *fault
	if !errors.As(err, &f) {
		return err
	}
	p := decoder{buf: d.buf, pos: start}
	raw := p.raw()
	var named struct {
		Name       any
		Properties struct{ Name any }
	}
	_ = json.Unmarshal(raw, &named) // wrong types leave the name out, and no more is asked
	name, _ := named.Name.(string)
	if name == "" {
		name, _ = named.Properties.Name.(string)
	}
	where := whereNamed(i, name)
	if f.path != "" {
		where += ", " + f.path
	}
	return &ReadError{Where: where, What: f.what, Mend: f.mend}
}

func (d *decoder) place() (*Place, error) {
	pl := &Place{}
	var lat, lon bool
	err := d.object(func(name string) (err error) {
		if slices.Contains(placeMembers, name) && d.null() {
			return nil
		}
		switch name {
		case "latitude":
			pl.Latitude, err = d.number()
			lat = true
		case "longitude":
			pl.Longitude, err = d.number()
			lon = true
		case "elevation_m":
			pl.ElevationM, err = d.number()
		case "north_deg":
			pl.NorthDeg, err = d.number()
		case "last_frost":
			pl.LastFrost, err = d.day()
		case "first_frost":
			pl.FirstFrost, err = d.day()
		case "hardiness_zone":
			pl.HardinessZone, err = d.text()
		default:
			pl.Extra.keep(name, d.raw())
		}
		return err
	})
	if err == nil && !(lat && lon) {
		err = &fault{what: "a place needs a latitude and a longitude", mend: "give both, in degrees, or take the place out"}
	}
	return pl, err
}

func (d *decoder) day() (season.Day, error) {
	s, err := d.text()
	if err != nil || s == "" {
		return 0, err
	}
	day, err := season.ParseDay(s)
	if err != nil {
		return 0, &fault{what: fmt.Sprintf("%q is not a day of the year", cut(s, 20)),
			mend: "write month and day as MM-DD, like 04-16"}
	}
	return day, nil
}

// feature reads one feature of a plan file.
func (d *decoder) feature() (*Feature, error) {
	f := &Feature{}
	err := d.object(func(name string) (err error) {
		switch name {
		case "id":
			f.ID, err = d.text()
		case "kind":
			var s string
			s, err = d.text()
			f.Kind = Kind(s)
		case "geometry":
			var rest Extra
			f.Geometry, rest, err = d.geometry()
			if u, ok := err.(unused); ok {
				return &fault{path: "type", what: u.Error(), mend: "use Polygon or MultiPolygon"}
			}
			if len(rest) > 0 {
				f.Extra.keep("geometry", objectOf(rest))
			}
		case "line":
			if !d.null() {
				f.Line, err = d.pointList()
			}
		case "center":
			if !d.null() {
				var p orb.Point
				p, err = d.point()
				f.Centre = &p
			}
		default:
			err = d.property(f, name)
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	f.settle()
	return f, nil
}

// property reads a member that a feature of a plan file has and a GeoJSON feature has among its properties.
func (d *decoder) property(f *Feature, name string) (err error) {
	known := true
	switch name {
	case "name", "width_m", "radius_m", "refuge", "crops", "other_years", "cover", "later_covers", "treatments", "plants",
		"trapping", "trap", "nursery", "note", "locked", "hidden":
		if d.null() {
			return nil
		}
	default:
		known = false
	}
	if !known {
		f.Extra.keep(name, d.raw())
		return nil
	}
	switch name {
	case "name":
		f.Name, err = d.text()
	case "width_m":
		f.WidthM, err = d.number()
	case "radius_m":
		f.RadiusM, err = d.number()
	case "refuge":
		var b bool
		b, err = d.truth()
		f.Refuge = &b
	case "crops":
		f.Crops, err = d.plantings()
	case "other_years":
		f.OtherYears, err = d.cropYears()
	case "cover":
		f.Cover = &Cover{}
		err = d.cover(f.Cover)
	case "later_covers":
		err = d.list(func(i int) error {
			var c Cover
			err := cmp.Or(tooMany(i), d.cover(&c))
			f.LaterCovers = append(f.LaterCovers, c)
			return err
		})
	case "treatments":
		err = d.list(func(i int) error {
			var t Treatment
			err := cmp.Or(tooMany(i), d.treatment(&t))
			f.Treatments = append(f.Treatments, t)
			return err
		})
	case "trap":
		f.Trap = &TrapMark{}
		err = d.trapMark(f.Trap)
	case "nursery":
		f.Nursery, err = d.text()
	case "plants":
		err = d.plants(f)
	case "trapping":
		f.Trapping = &Trapping{}
		err = d.object(func(name string) (err error) {
			switch name {
			case "protects":
				f.Trapping.Protects, err = d.text()
			case "pest":
				f.Trapping.Pest, err = d.text()
			case "removal":
				f.Trapping.Removal, err = d.note()
			default:
				return d.trappingDays(name, f.Trapping)
			}
			return err
		})
	case "note":
		f.Note, err = d.note()
	case "locked":
		f.Locked, err = d.truth()
	case "hidden":
		f.Hidden, err = d.truth()
	}
	return err
}

func tooMany(i int) error {
	if i < MaxList {
		return nil
	}
	return &fault{what: fmt.Sprintf("there are more than %d of them", MaxList), mend: "divide them among several features"}
}

// window reads the members "from" and "to"; any other is kept.
func (d *decoder) window(name string, w *season.Window, rest *Extra) (err error) {
	switch name {
	case "from":
		if !d.null() {
			w.From, err = d.day()
		}
	case "to":
		if !d.null() {
			w.To, err = d.day()
		}
	default:
		rest.keep(name, d.raw())
	}
	return err
}

// plants reads a habitat's plants. Those without a share divide among them, in equal parts, what the others leave.
func (d *decoder) plants(f *Feature) error {
	var without []int
	left := 1.0
	err := d.list(func(i int) error {
		if err := tooMany(i); err != nil {
			return err
		}
		g := Growing{Share: -1}
		given := false
		err := d.object(func(name string) (err error) {
			switch name {
			case "plant":
				g.Plant, err = d.text()
			case "share":
				if !d.null() {
					g.Share, err = d.number()
					given = true
				}
			case "bloom":
				if !d.null() {
					err = d.bloom(&g)
				}
			default:
				g.Extra.keep(name, d.raw())
			}
			return err
		})
		if given {
			left -= g.Share
		} else {
			without = append(without, i)
		}
		f.Plants = append(f.Plants, g)
		return err
	})
	for _, i := range without {
		if i < len(f.Plants) {
			f.Plants[i].Share = round(max(0, left)/float64(len(without)), 6)
		}
	}
	return err
}

// bloom reads the grower's own observation. Half a window is kept, though it says nothing yet: the other half may be typed on
// another day.
func (d *decoder) bloom(g *Growing) error {
	var rest Extra
	err := d.object(func(name string) error { return d.window(name, &g.Bloom, &rest) })
	if len(rest) > 0 {
		g.Extra.keep("bloom", objectOf(rest))
	}
	return err
}

// settle drops the centre line or centre by which a feature was drawn where its outline no longer agrees with it: another
// program moved the outline, and the outline is what counts. A width or radius that came without them is kept, unless it is no
// size at all.
func (f *Feature) settle() {
	f.WidthM, f.RadiusM = size(f.WidthM), size(f.RadiusM)
	if f.Line != nil && (len(f.Line) < 2 || f.WidthM == 0 || !agrees(f.Geometry, stripOf(f.Line, f.WidthM), f.WidthM)) {
		f.Line, f.WidthM = nil, 0
	}
	if f.Centre != nil && (f.RadiusM == 0 || !onGround(*f.Centre) ||
		!agrees(f.Geometry, geometry.Disc(*f.Centre, f.RadiusM), f.RadiusM)) {
		f.Centre, f.RadiusM = nil, 0
	}
}

// size is a width or radius as it is written; 0 for what is none, such as the −9999 of survey programs.
func size(m float64) float64 {
	if !(m > 0 && m <= MaxMetres) {
		return 0
	}
	return round(m, metreDecimals)
}

func stripOf(line orb.LineString, width float64) orb.Geometry {
	for _, p := range line {
		if !onGround(p) {
			return nil
		}
	}
	strip, err := geometry.Strip(line, width)
	if err != nil {
		return nil
	}
	return strip
}

// agrees tells whether an outline is, to the eye, the one that its drawing would give: its box to 5 cm and a twentieth of its
// size, its area to a tenth. Circles with few corners pass.
func agrees(drawn, would orb.Geometry, size float64) bool {
	if would == nil {
		return false
	}
	if _, ok := drawn.(orb.Polygon); !ok {
		return false
	}
	slack := 0.05 + size/20
	a, b := drawn.Bound(), would.Bound()
	for i := range 2 {
		if math.Abs(a.Min[i]-b.Min[i]) > slack || math.Abs(a.Max[i]-b.Max[i]) > slack {
			return false
		}
	}
	x, y := geometry.Area(drawn), geometry.Area(would)
	return math.Abs(x-y) <= 0.1*max(x, y)
}

// round is v to so many decimals, without a negative zero.
func round(v float64, decimals int) float64 {
	p := math.Pow10(decimals)
	if r := math.Round(v*p) / p; r != 0 {
		return r
	}
	return 0
}
