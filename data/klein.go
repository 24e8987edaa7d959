package data

// A PollinationClass is a class of need for pollination by animals, with the number of crops that Klein et al. 2007 put in it.
type PollinationClass struct {
	Class            string
	Crops            int     // of the world's crops in the paper
	LossMin, LossMax float64 // share of the harvest lost without animals, LossMin ≤ loss < LossMax
}

// Klein2007 are the classes of Klein et al. 2007, Proceedings of the Royal Society B 274:303–313. The counts were read at the
// paper (pmc.ncbi.nlm.nih.gov/articles/PMC1702377), which leaves 9 more crops unknown; the limits of the classes are from
// memory (high).
var Klein2007 = []PollinationClass{
	{"essential", 13, 0.90, 1}, {"great", 30, 0.40, 0.90}, {"modest", 27, 0.10, 0.40}, {"little", 21, 0, 0.10}, {"none", 7, 0, 0},
}

// CropsByClass counts the crops of the catalogue in each class of pollination.
func (c *Catalogue) CropsByClass() map[string]int {
	count := map[string]int{}
	for _, x := range c.Crops {
		count[x.Pollination]++
	}
	return count
}
