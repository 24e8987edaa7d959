package ground

import (
	"fmt"
	"image"
	"image/draw"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/drawing/raster"
	"hedgereach/app/style"
	"hedgereach/geometry"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// blocks are fields of thin parallel beds: so many blocks of so many beds, at the pitch and turned by degrees; blocks lie gap apart.
func blocks(count, each int, pitch, gap, degrees float64) (*plan.Plan, map[string]habitat.Status) {
	p, st := plan.New(""), map[string]habitat.Status{}
	for b := range count {
		for i := range each {
			f := plan.NewFeature(plan.Bed, fmt.Sprint("Bed ", b*each+i+1), rect(float64(b)*(46+gap), float64(i)*pitch, 46, 0.75, 0))
			f.Geometry = geometry.Rotate(f.Geometry, orb.Point{}, degrees)
			p.Features = append(p.Features, f)
			st[f.ID] = habitat.Status(i%3 + 1)
		}
	}
	return p, st
}

// Every bed of a block of thin beds has its number, and each number lies nearer to its own bed than to any other.
func TestThinBedsHaveTheirNumbersAtTheirEnds(t *testing.T) {
	for _, c := range []struct {
		blocks, each     int
		pitch, gap, turn float64
		scale            float64 // millimetres in a metre
	}{
		{4, 20, 2.4, 6, 0, 1}, {4, 20, 2.4, 6, 90, 1}, {4, 20, 2.4, 6, 33, 1}, {2, 12, 2.4, 2, 0, 1}, {3, 12, 2.4, 3, -60, 1.2},
		{1, 12, 1.2, 6, 0, 1}, {2, 30, 1.3, 8, 10, 0.75}, {1, 2, 1.2, 0, 45, 1}, {1, 1, 1.2, 0, 0, 1},
	} {
		name := fmt.Sprintf("%d blocks of %d at %g m turned %g°, 1:%g", c.blocks, c.each, c.pitch, c.turn, 1000/c.scale)
		p, st := blocks(c.blocks, c.each, c.pitch, c.gap, c.turn)
		b := p.Features[0].Geometry.Bound()
		for _, f := range p.Features {
			b = b.Union(f.Geometry.Bound())
		}
		v := View{Centre: b.Center(), Middle: orb.Point{200, 200}, Scale: c.scale}
		for _, statuses := range []map[string]habitat.Status{nil, st} {
			show := Show{Labels: true, Window: orb.Bound{Max: orb.Point{400, 400}}, Statuses: statuses}
			seen := map[string]bool{}
			for _, l := range Labels(p, v, style.Sheet(style.Paper), show) {
				if len(l.Run) > 0 {
					t.Errorf("%s: %s leaves beds to be counted", name, l.Words)
				}
				seen[l.Feature.ID] = true
				if l.Lead.given() || l.Inside {
					continue
				}
				var back orb.Ring
				for _, q := range l.Box() {
					back = append(back, v.From(q))
				}
				words := orb.Polygon{append(back, back[0])}
				own, _, _ := geometry.Closest(words, l.Feature.Geometry)
				for _, f := range p.Features {
					if d, _, _ := geometry.Closest(words, f.Geometry); f != l.Feature && d < own {
						// In a block, the next beds end in the same line: there the middle of the words decides.
						if m := v.From(l.At); geometry.PointDistance(m, f.Geometry) <= geometry.PointDistance(m, l.Feature.Geometry) {
							t.Errorf("%s: %s stands nearer to %s", name, l.Words, f.Name)
						}
					}
				}
			}
			if len(seen) != len(p.Features) {
				t.Errorf("%s: %d of %d beds can be told", name, len(seen), len(p.Features))
			}
		}
	}
}

// Where beds come closer than figures can, every so many bears one, as on a rule, and the rest are counted between.
func TestBedsTooCloseAreCounted(t *testing.T) {
	p, _ := blocks(1, 40, 1, 0, 0)
	v := View{Centre: orb.Point{23, 20}, Middle: orb.Point{60, 15}, Scale: 0.25} // 1:4000: a quarter of a millimetre from bed to bed
	got := Labels(p, v, style.Sheet(style.Paper), Show{Labels: true, Window: orb.Bound{Max: orb.Point{120, 30}}})
	next := 39 // from the top of the sheet
	for _, l := range got {
		for _, f := range l.Beds() {
			if f != p.Features[next] {
				t.Fatalf("%s counts %s where %s comes next", l.Words, f.Name, p.Features[next].Name)
			}
			next--
		}
	}
	if next != -1 || len(got) < 3 || got[0].Words != "40" || got[len(got)-1].Words != "1" {
		t.Errorf("%d of 40 beds can be told by %d numbers", 39-next, len(got))
	}
}

// A bed too thin for its hatch still ranks by shade, the worse the darker, in colour and in grey.
func TestThinBedsRankByShade(t *testing.T) {
	for _, pal := range []*style.Palette{style.Paper, style.Grey, style.Light} {
		var last uint32 = 1 << 17
		for _, st := range []habitat.Status{habitat.Within, habitat.Partly, habitat.Beyond} {
			f := feature(plan.Bed, "", rect(0, 0, 60, 1, 0))
			ops := FeatureOps(f, st, View{Scale: 1}, style.Sheet(pal), Show{Statuses: map[string]habitat.Status{}})
			img := image.NewRGBA(image.Rect(0, 0, 240, 8))
			draw.Draw(img, img.Rect, image.White, image.Point{}, draw.Src)
			raster.Draw(img, drawing.List{Width: 60, Height: 2, Ops: ops}, 4, orb.Point{0, 4})
			r, g, b, _ := img.At(120, 2).RGBA()
			if lum := (2126*r + 7152*g + 722*b) / 10000; lum >= last {
				t.Errorf("%s: a thin bed %s is no darker than one better off", pal.Name, st)
			} else {
				last = lum
			}
		}
	}
}

func BenchmarkLabelsThin1000(b *testing.B) {
	p, st := blocks(20, 50, 2.4, 6, 12)
	window := orb.Bound{Max: orb.Point{1400, 900}}
	bound := p.Features[0].Geometry.Bound()
	for _, f := range p.Features {
		bound = bound.Union(f.Geometry.Bound())
	}
	v := View{Centre: bound.Center(), Middle: window.Center(), Scale: 1.3}
	for b.Loop() {
		Labels(p, v, screen, Show{Labels: true, Window: window, Statuses: st})
	}
}
