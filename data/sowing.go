package data

import "io/fs"

// A Depth is how deep a crop goes into the ground where it grows: from the surface to the seed, clove or tuber, or to the crown
// of a plant that is set. Plants out of trays and pots have none of their own: they go as deep as they stood.
type Depth struct {
	Crop         string // id
	What         string // what is sown or set: "seed", "clove", "tuber", "crown", "slip"
	MinCM, MaxCM float64
	From         Origin
}

// what can be put into the ground, in the words of the file.
var sown = []string{"seed", "clove", "tuber", "crown", "slip"}

const maxDepthCM = 60

func readSowing(dir fs.FS, c *Catalogue) error {
	c.depth = map[string]*Depth{}
	return readTable(dir, "sowing.csv", func(r *row) {
		d := &Depth{Crop: r.id(), What: r.word("what", sown...), MinCM: r.number("depth_min_cm", 0.1, maxDepthCM),
			MaxCM: r.number("depth_max_cm", 0.1, maxDepthCM), From: r.origin("depth", c)}
		if !c.knowsCrop(d.Crop) {
			r.fail("id", "there is no crop of that id", "write the id of a row of crops.csv")
		}
		if d.MinCM == 0 || d.MaxCM == 0 {
			r.fail("depth_min_cm", "empty", "give both ends in centimetres, the same twice where the source has one figure")
		}
		r.ordered("depth_min_cm", d.MinCM, d.MaxCM)
		c.Depths = append(c.Depths, d)
		c.depth[d.Crop] = d
	})
}

// Depth is how deep the crop with the id is sown or set, or nil.
func (c *Catalogue) Depth(crop string) *Depth { return c.depth[crop] }
