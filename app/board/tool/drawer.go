package tool

import (
	"fmt"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/google/uuid"
	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
	"hedgereach/geometry"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// A drawer is what the drawing tools share: where the pointer is, what has been typed, and handing in the new feature.
type drawer struct {
	ed    Editor
	at    orb.Point        // where the next point comes: the pointer, snapped, or what was typed along the way to it
	eye   orb.Point        // the pointer, snapped: its direction holds while a length is typed figure by figure
	word  string           // what it was snapped to
	dir   orb.Point        // the unit vector of the way from the last point, where it was snapped to one; else 0, 0
	lines []orb.LineString // that show what it was snapped to
	seen  bool             // the pointer has been over the board
	down  orb.Point        // where the button went down
	typed typed
	id    string // of the feature being drawn; the same from frame to frame
}

// look moves the pointer; from are the points that the next one goes on from.
func (d *drawer) look(e Event, from ...orb.Point) {
	s := snap(d.ed, e, nil, from...)
	d.at, d.eye, d.word, d.dir, d.lines = s.at, s.at, s.word, s.dir, s.guides
	d.seen = true
}

// sketch is what every drawing tool shows: the pointer and what it was drawn to.
func (d *drawer) sketch() Sketch { return Sketch{At: d.at, Snap: d.word, Guides: d.lines} }

func (d *drawer) reset() {
	d.typed, d.id = "", ""
	d.ed.CancelPreview()
}

// Typing tells whether a length is being typed, to which a space can belong.
func (d *drawer) Typing() bool { return d.typed != "" }

func (d *drawer) sys() length.System { return d.ed.Settings().Units }

// length shows a length.
func (d *drawer) length(m float64) string { return length.Format(m, d.sys()) }

// typing shows what is being typed.
func (d *drawer) typing() string {
	if d.typed == "" {
		return ""
	}
	return "typed " + string(d.typed)
}

// read takes what was typed, as a length above nothing; false, with a word to the grower, where it is not one.
func (d *drawer) read() (float64, bool) {
	m, err := d.typed.metres(d.sys())
	if err == nil && !(m > 0) {
		err = fmt.Errorf("%q is no length: type more than nothing", string(d.typed))
	}
	if err != nil {
		d.ed.Say(err.Error())
		return 0, false
	}
	d.typed = ""
	return m, true
}

// feature is the new feature, of the kind in use, with its geometry.
func (d *drawer) feature(g orb.Geometry) *plan.Feature { return d.featureOf(d.ed.Settings().Kind, g) }

func (d *drawer) featureOf(k plan.Kind, g orb.Geometry) *plan.Feature {
	if d.id == "" {
		d.id = uuid.NewString()
	}
	f := plan.NewFeature(k, arrange.NextName(d.ed.Plan(), k), g)
	f.ID = d.id
	return f
}

func with(p *plan.Plan, f *plan.Feature) *plan.Plan {
	c := p.Clone()
	c.Features = append(c.Features, f)
	return c
}

// show previews the plan with the feature, so that its consequences are seen before it is finished; not while its outline
// is not proper.
func (d *drawer) show(f *plan.Feature) {
	if f == nil || trouble(f.Geometry) != "" {
		d.ed.CancelPreview()
		return
	}
	d.ed.Preview(with(d.ed.Plan(), f))
}

// finish hands the feature in and selects it. A shape that is not proper is refused and the drawing goes on.
func (d *drawer) finish(f *plan.Feature) bool {
	if bad := trouble(f.Geometry); bad != "" {
		d.ed.Say(fmt.Sprintf("%s cannot be finished: %s", f.Name, bad))
		return false
	}
	if err := d.ed.Commit("draw "+f.Name, with(d.ed.Plan(), f)); err != nil {
		d.ed.Say(err.Error())
		return false
	}
	d.typed, d.id = "", ""
	d.ed.Select(f.ID)
	return true
}

// trouble says in a few words why a geometry is not proper; "" where it is.
func trouble(g orb.Geometry) string {
	if g == nil {
		return "it has no outline"
	}
	if err := geometry.Validate(g); err != nil {
		return err.Error()
	}
	return ""
}

// next is where the next corner comes when the last one is at a: at the pointer, in a straight direction with Shift, at the
// typed length along the way to the pointer.
func (d *drawer) next(pts []orb.Point, mods Mods) {
	if len(pts) == 0 {
		return
	}
	a := pts[len(pts)-1]
	d.at = d.eye
	if mods&Shift != 0 {
		base := -d.ed.Settings().Turn
		if n := len(pts); n > 1 {
			base = math.Atan2(a[1]-pts[n-2][1], a[0]-pts[n-2][0])
		}
		d.at, d.dir = straight(a, d.at, base)
		d.word, d.lines = "straight", nil
	}
	if m, ok := d.typed.soFar(d.sys()); ok {
		d.at = d.toward(a, m)
	}
}

// toward is the point m metres from a on the way to the pointer: exactly along the direction that the pointer was drawn to,
// where there is one.
func (d *drawer) toward(a orb.Point, m float64) orb.Point {
	if d.dir != (orb.Point{}) {
		return roundPoint(orb.Point{a[0] + m*d.dir[0], a[1] + m*d.dir[1]})
	}
	return along(a, d.at, m)
}

// along is the point m metres from a on the way to p; to the right where p is a itself.
func along(a, p orb.Point, m float64) orb.Point {
	d := dist(a, p)
	if d == 0 {
		return roundPoint(orb.Point{a[0] + m, a[1]})
	}
	return roundPoint(orb.Point{a[0] + (p[0]-a[0])*m/d, a[1] + (p[1]-a[1])*m/d})
}

// corner is the angle in degrees, 0–180, at b between the ways to a and c.
func corner(a, b, c orb.Point) float64 {
	t := math.Atan2(a[1]-b[1], a[0]-b[0]) - math.Atan2(c[1]-b[1], c[0]-b[0])
	t = math.Abs(math.Remainder(t, 2*math.Pi))
	return t * 180 / math.Pi
}

// segmentWords are the figures for the way from the last corner to the pointer.
func (d *drawer) segmentWords(pts []orb.Point) string {
	n := len(pts)
	if n == 0 {
		return ""
	}
	w := d.length(dist(pts[n-1], d.at))
	if n > 1 && dist(pts[n-1], d.at) > 0 {
		w += fmt.Sprintf(" at %.0f°", corner(pts[n-2], pts[n-1], d.at))
	}
	return w
}

// upper begins a sentence with a capital letter.
func upper(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}

// words joins figures that are there with a gap.
func words(parts ...string) string {
	var out []string
	for _, p := range parts {
		if p != "" {
			out = append(out, p)
		}
	}
	return strings.Join(out, "   ")
}
