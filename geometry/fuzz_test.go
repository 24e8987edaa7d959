package geometry

import (
	"context"
	"encoding/binary"
	"math"
	"testing"

	"github.com/paulmach/orb"
)

// fuzzShapes makes shapes of bytes: each starts with a kind and a number of points; points are whole numbers (often
// alike, so that they meet) or any bits at all.
func fuzzShapes(data []byte) []orb.Geometry {
	take := func() byte {
		if len(data) == 0 {
			return 0
		}
		b := data[0]
		data = data[1:]
		return b
	}
	coordinate := func(wild bool) float64 {
		if !wild || len(data) < 8 {
			return float64(int8(take()))
		}
		v := math.Float64frombits(binary.LittleEndian.Uint64(data))
		data = data[8:]
		return v
	}
	var shapes []orb.Geometry
	for len(data) > 2 && len(shapes) < 8 {
		kind, n := take(), int(take()%24)
		path := make([]orb.Point, 0, n+1)
		for range n {
			path = append(path, orb.Point{coordinate(kind >= 128), coordinate(kind >= 128)})
		}
		closed := append(orb.Ring{}, path...)
		if len(path) > 0 {
			closed = append(closed, path[0])
		}
		switch kind % 8 {
		case 0:
			shapes = append(shapes, orb.MultiPoint(path))
		case 1:
			shapes = append(shapes, orb.LineString(path))
		case 2: // with a hole, wherever it may be
			k := len(path) / 2
			a, b := append(orb.Ring{}, path[:k]...), append(orb.Ring{}, path[k:]...)
			if k > 0 {
				a, b = append(a, a[0]), append(b, b[0])
			}
			shapes = append(shapes, orb.Polygon{a, b})
		case 3:
			shapes = append(shapes, orb.Polygon{path}) // left open
		case 4:
			shapes = append(shapes, nil)
		default:
			shapes = append(shapes, orb.Polygon{closed})
		}
	}
	return shapes
}

// Whatever the coordinates, nothing panics or runs without end; where shapes are valid the measures fit together.
func FuzzMeasures(f *testing.F) {
	f.Add([]byte{5, 4, 0, 0, 10, 0, 10, 10, 0, 10, 5, 4, 20, 0, 30, 0, 30, 10, 20, 10})
	f.Add([]byte{5, 4, 0, 0, 10, 10, 10, 0, 0, 10, 0, 1, 5, 5})
	f.Add([]byte{2, 8, 0, 0, 90, 0, 90, 90, 0, 90, 10, 10, 50, 10, 50, 50, 10, 50, 1, 3, 0, 0, 5, 5, 9, 0})
	f.Add(append([]byte{133, 3}, make([]byte, 48)...))
	f.Fuzz(func(t *testing.T, data []byte) {
		shapes := fuzzShapes(data)
		if len(shapes) == 0 {
			return
		}
		bed, rest := shapes[0], shapes[1:]
		valid := Validate(bed) == nil && len(Polygons(bed)) > 0
		for _, g := range rest {
			valid = valid && (g == nil || Validate(g) == nil)
		}
		s := NewSites(rest)
		near, far := s.Nearest(bed), s.Farthest(bed)
		within := s.AreaWithin(bed, 7)
		mean := s.MeanDistance(bed)
		s.With(0, bed).DistanceFrom(orb.Point{1, 2})
		out := make([]float32, 12*12)
		if err := s.Field(context.Background(), orb.Bound{Max: orb.Point{50, 40}}, 12, 12, out); err != nil {
			t.Error(err)
		}
		Centroid(bed)
		Perimeter(bed)
		Hull(shapes...)
		OrientedBox(shapes...)
		for _, p := range Polygons(bed) {
			LabelPoint(p)
			SimplifyOutline(p, 1)
		}
		if line, isLine := bed.(orb.LineString); isLine {
			if strip, err := Strip(line, 1.5); err == nil && Validate(strip) != nil {
				t.Errorf("a strip that is not valid: %v along %v: %v", strip, line, Validate(strip))
			}
		}
		size := 0.0 // beyond some size rounding is more than the slack here
		for _, g := range shapes {
			if g != nil {
				b := g.Bound()
				size = max(size, math.Abs(b.Min[0]), math.Abs(b.Min[1]), math.Abs(b.Max[0]), math.Abs(b.Max[1]))
			}
		}
		if !valid || !(size < 1e4) || near.Site < 0 {
			return
		}
		area := Area(bed)
		switch {
		case !(near.Metres <= far.Metres+1e-6):
			t.Errorf("nearest %v, farthest %v", near, far)
		case !(within >= 0 && within <= area*(1+1e-9)):
			t.Errorf("%v of %v m² within", within, area)
		case far.Metres < 7-1e-6 && math.Abs(within-area) > 1e-6*area:
			t.Errorf("farthest %v, yet %v of %v m² within", far, within, area)
		case near.Metres > 7+1e-6 && within > 0:
			t.Errorf("nearest %v, yet %v m² within", near, within)
		case !(mean >= near.Metres*(1-1e-3)-1e-9 && mean <= far.Metres*(1+1e-3)+1e-6):
			t.Errorf("mean %v between %v and %v", mean, near.Metres, far.Metres)
		}
	})
}
