// Package survey brings what was measured on the ground onto a plan: points by two tapes, by offsets from a base line, and
// what a GPS or another program gives. It knows no window.
package survey

import (
	"errors"
	"fmt"
	"math"

	"github.com/google/uuid"
	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
	"hedgereach/geometry"
	"hedgereach/geometry/geodesy"
	"hedgereach/habitat/plan"
)

// Marks are the stakes and traps of a plan that have a place, in its order.
func Marks(p *plan.Plan) []*plan.Feature {
	var out []*plan.Feature
	for _, f := range p.Features {
		if _, ok := At(f); ok && (f.Kind == plan.Stake || f.Kind == plan.Trap) {
			out = append(out, f)
		}
	}
	return out
}

// At is where a mark stands, in metres.
func At(f *plan.Feature) (orb.Point, bool) {
	switch g := f.Geometry.(type) {
	case orb.Point:
		return g, true
	case orb.Polygon:
		if f.Centre != nil {
			return *f.Centre, true
		}
		if len(g) > 0 && len(g[0]) > 0 {
			return geometry.Centroid(g), true
		}
	}
	return orb.Point{}, false
}

// A Tape is a point measured from two stakes. Lengths are metres.
type Tape struct {
	A, B   orb.Point // the stakes
	FromA  float64
	FromB  float64
	Apart  float64    // between the stakes as measured; 0 = not measured
	C      *orb.Point // a third stake for a check; nil for none
	FromC  float64
	OnLeft bool // of the walk from A to B; where there is a third stake, that decides
}

// A Fix is the point that a tape measures give.
type Fix struct {
	At    orb.Point
	Other orb.Point // on the other side of the line between the stakes
	// The closing errors in metres: how much longer the tape between the stakes, and to the third one, read than the plan says.
	// Not a number where there was none.
	Apart, Check float64
}

// Locate works out a point from its tapes. The error says why they cannot meet.
func (t Tape) Locate() (Fix, error) {
	if t.FromA == 0 && t.FromB == 0 {
		return Fix{}, errors.New("give the two lengths as the tapes read")
	}
	left, right, err := geometry.Trilaterate(t.A, t.B, t.FromA, t.FromB)
	if err != nil {
		return Fix{}, err
	}
	f := Fix{At: left, Other: right, Apart: math.NaN(), Check: math.NaN()}
	if t.Apart > 0 {
		f.Apart = t.Apart - apart(t.A, t.B)
	}
	swap := !t.OnLeft
	if t.C != nil {
		swap = math.Abs(apart(right, *t.C)-t.FromC) < math.Abs(apart(left, *t.C)-t.FromC)
	}
	if swap {
		f.At, f.Other = right, left
	}
	if t.C != nil {
		f.Check = t.FromC - apart(f.At, *t.C)
	}
	return f, nil
}

func apart(a, b orb.Point) float64 { return math.Hypot(b[0]-a[0], b[1]-a[1]) }

// An Offset is a point given by how far along a base line and how far to its left (to its right below 0), in metres.
type Offset struct{ Along, Left float64 }

// Place is where offsets from the line from a to b lie. The line may be passed at either end.
func Place(a, b orb.Point, offsets []Offset) ([]orb.Point, error) {
	l := apart(a, b)
	if l == 0 {
		return nil, errors.New("the two ends of the base line are at one place: choose two different ones")
	}
	ux, uy := (b[0]-a[0])/l, (b[1]-a[1])/l
	var out []orb.Point
	for _, o := range offsets {
		out = append(out, orb.Point{a[0] + o.Along*ux - o.Left*uy, a[1] + o.Along*uy + o.Left*ux})
	}
	return out, nil
}

// Stakes puts a stake at each point. It answers the new plan and their ids.
func Stakes(p *plan.Plan, points []orb.Point, name string) (*plan.Plan, []string) {
	out := p.Clone()
	var ids []string
	for _, at := range points {
		f := plan.NewFeature(plan.Stake, "", arrange.Tidy(at))
		switch {
		case name == "":
			f.Name = arrange.NextName(out, plan.Stake)
		case len(points) > 1 || ids != nil:
			f.Name = arrange.CopyName(out, name)
		default:
			f.Name = name
		}
		out.Features = append(out.Features, f)
		ids = append(ids, f.ID)
	}
	return out, ids
}

// Outline puts a feature of a kind with the points as corners on the plan. The error says why they make no outline.
func Outline(p *plan.Plan, points []orb.Point, kind plan.Kind) (*plan.Plan, []string, error) {
	if len(points) < 3 {
		return nil, nil, errors.New("an outline needs three points or more")
	}
	ring := append(append(orb.Ring{}, points...), points[0])
	g, _ := arrange.Tidy(orb.Polygon{ring}).(orb.Polygon)
	if g == nil {
		return nil, nil, errors.New("the points lie too near each other for an outline")
	}
	if err := geometry.Validate(g); err != nil {
		return nil, nil, fmt.Errorf("no outline goes through the points in this order: %w: name them as one walks round", err)
	}
	out := p.Clone()
	f := plan.NewFeature(kind, arrange.NextName(p, kind), g)
	out.Features = append(out.Features, f)
	return out, []string{f.ID}, nil
}

// farOffM is how far from a plan's features another's may lie before it is taken for another site.
const farOffM float64 = plan.MaxSpreadM

// Bring adds the features of another plan to p, with ids of their own, at their true place where both plans say where they lie.
// Where only the other one does, and p holds nothing yet, p takes its place. Words say what was taken for granted.
func Bring(p, other *plan.Plan) (out *plan.Plan, ids []string, words string, err error) {
	if len(other.Features) == 0 {
		return nil, nil, "", errors.New("there is nothing in it to add")
	}
	if n := len(p.Features) + len(other.Features); n > plan.MaxFeatures {
		return nil, nil, "", fmt.Errorf("with these the plan would have %d features, more than %d", n, plan.MaxFeatures)
	}
	out = p.Clone()
	to := func(q orb.Point) orb.Point { return q }
	switch {
	case other.Place == nil && p.Place == nil:
	case other.Place == nil:
		words = "it does not say where it lies: its metres were taken as this plan's"
	case p.Place == nil && len(p.Features) == 0:
		place := *other.Place
		out.Place = &place
		words = "the plan takes its place from it"
	case p.Place == nil:
		words = "this plan does not say where it lies: what was added lies about its own middle; give the place and add it again, or move it"
	default:
		from, err := geodesy.At(other.Place.Latitude, other.Place.Longitude, other.Place.NorthDeg)
		if err != nil {
			return nil, nil, "", err
		}
		into, err := geodesy.At(p.Place.Latitude, p.Place.Longitude, p.Place.NorthDeg)
		if err != nil {
			return nil, nil, "", err
		}
		to = func(q orb.Point) orb.Point { return into.Metres(from.Degrees(q)) }
	}
	for _, f := range other.Features {
		g := arrange.Mapped(f, to)
		b := g.Geometry.Bound()
		if !(max(math.Abs(b.Min[0]), math.Abs(b.Min[1]), math.Abs(b.Max[0]), math.Abs(b.Max[1])) <= farOffM) {
			return nil, nil, "", fmt.Errorf("%s lies more than %.0f km from here: it is of another site, or the plan's place is wrong",
				f.Title(), farOffM/1000)
		}
		g.ID, g.Name = uuid.NewString(), arrange.CopyName(out, f.Name)
		out.Features = append(out.Features, g)
		ids = append(ids, g.ID)
	}
	return out, ids, words, nil
}
