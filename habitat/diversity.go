package habitat

import (
	"math"
)

// A Diversity says how many species share some ground, and how evenly.
type Diversity struct {
	Species  int
	Shannon  float64 // H = −Σ p ln p, with p each one's part (Shannon 1948)
	Simpson  float64 // 1 − Σ p² (Simpson 1949)
	Evenness float64 // H / ln S (Pielou 1966); 0 for fewer than two species
}

// DiversityOf is that of species with these amounts, in any unit; those that are not above zero do not count.
func DiversityOf(amounts []float64) (d Diversity) {
	sum := 0.0
	for _, a := range amounts {
		if a > 0 {
			d.Species++
			sum += a
		}
	}
	if d.Species == 0 {
		return d
	}
	d.Simpson = 1
	for _, a := range amounts {
		if a > 0 {
			p := a / sum
			d.Shannon -= p * math.Log(p)
			d.Simpson -= p * p
		}
	}
	if d.Species > 1 {
		d.Evenness = d.Shannon / math.Log(float64(d.Species))
	}
	return d
}

// Diversity is that of the plants of the plan's habitats, by the ground that each covers.
func (s *Season) Diversity() Diversity {
	var order []string
	ground := map[string]float64{}
	for _, x := range s.habitats {
		for _, g := range x.feature.Plants {
			if _, known := ground[g.Plant]; !known {
				order = append(order, g.Plant)
			}
			ground[g.Plant] += g.Share * x.area
		}
	}
	amounts := make([]float64, len(order))
	for i, id := range order {
		amounts[i] = ground[id]
	}
	return DiversityOf(amounts)
}
