package quantities

import (
	"github.com/paulmach/orb"

	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// Ground is the area in square metres that each feature has for plants: its outline, less the paths and water upon it, less any
// smaller feature drawn over it. So ground that two share is planted once, as the smaller of them: an island bed in a meadow
// is a bed, and so is a bed in a tunnel. A tree's crown takes nothing from what grows below it. An outline that is not proper
// has its plain area. Features that are not for plants are left out.
func Ground(p *plan.Plan) map[*plan.Feature]float64 {
	type piece struct {
		feature *plan.Feature
		bound   orb.Bound
		area    float64
	}
	var all []piece // that take part, proper ones
	own := map[*plan.Feature]float64{}
	for _, f := range p.Features {
		if f.Geometry == nil || len(geometry.Polygons(f.Geometry)) == 0 {
			continue
		}
		area := geometry.Area(f.Geometry)
		if planted(f) {
			own[f] = area
		}
		if (planted(f) || f.Kind == plan.Building || f.Kind == plan.Path || f.Kind == plan.Pond) && geometry.Validate(f.Geometry) == nil {
			all = append(all, piece{f, f.Geometry.Bound(), area})
		}
	}
	boxes := geometry.NewBoxes(len(all), func(i int) orb.Bound { return all[i].bound })
	var near []int32
	var off []orb.Geometry
	for i, x := range all {
		if _, ok := own[x.feature]; !ok {
			continue
		}
		near, off = boxes.Near(near[:0], x.bound, 0), off[:0]
		for _, n := range near {
			y := all[n]
			smaller := y.area < x.area || y.area == x.area && int(n) > i
			if int(n) != i && y.feature.Kind != plan.Tree && (smaller || y.feature.Kind == plan.Path || y.feature.Kind == plan.Pond) {
				off = append(off, y.feature.Geometry)
			}
		}
		if len(off) > 0 {
			own[x.feature] = max(0, x.area-geometry.NewSites(off).AreaWithin(x.feature.Geometry, 0))
		}
	}
	return own
}

// planted tells whether a feature's ground is for plants: what grows crops or habitat plants, or may.
func planted(f *plan.Feature) bool {
	return len(f.Crops) > 0 || len(f.Plants) > 0 || f.Kind == plan.Bed || f.Kind == plan.TrapCrop || f.Kind.Habitat() && f.Kind != plan.Pond
}
