package arrange

import (
	"math"

	"hedgereach/habitat/plan"
)

// RoomLeft is the share, 0–1, that others leave of a feature, rounded down to a whole per cent.
func RoomLeft(taken float64) float64 { return math.Floor(100*max(0, 1-taken)+1e-6) / 100 }

// JoinPlant plants one more plant in f and answers its share, 0–1: what the others leave; where they leave nothing, an equal part,
// to which the others give way in proportion. F is changed, its plants in a list of their own.
func JoinPlant(f *plan.Feature, id string) (share float64, gaveWay bool) {
	shares := make([]float64, len(f.Plants))
	for i, g := range f.Plants {
		shares[i] = g.Share
	}
	share, shares, gaveWay = join(shares)
	plants := make([]plan.Growing, 0, len(shares)+1)
	for i, g := range f.Plants {
		g.Share = shares[i]
		plants = append(plants, g)
	}
	f.Plants = append(plants, plan.Growing{Plant: id, Share: share})
	return share, gaveWay
}

// JoinCrop plants one more crop, without dates, in f and answers its share, 0–1: what the others leave. Where they leave nothing
// and all have dates, it follows or goes before them on the whole bed; else it shares the bed with them as a plant does.
func JoinCrop(f *plan.Feature, id string) (share float64, gaveWay bool) {
	shares, dated := make([]float64, len(f.Crops)), true
	for i, c := range f.Crops {
		shares[i] = c.Share
		dated = dated && c.Dates.Given()
	}
	share, given, gaveWay := join(shares)
	if gaveWay && dated {
		share, given, gaveWay = 1, shares, false
	}
	crops := make([]plan.Planting, 0, len(given)+1)
	for i, c := range f.Crops {
		c.Share = given[i]
		crops = append(crops, c)
	}
	f.Crops = append(crops, plan.Planting{Crop: id, Share: share})
	return share, gaveWay
}

// join answers the share of a newcomer and those of the others then, to a tenth of a per cent.
func join(others []float64) (share float64, left []float64, gaveWay bool) {
	sum := 0.0
	for _, s := range others {
		sum += s
	}
	if share = RoomLeft(sum); share > 0 {
		return share, others, false
	}
	share = math.Floor(100/float64(len(others)+1)) / 100
	for _, s := range others {
		left = append(left, math.Floor(1000*s*(1-share)/sum+1e-6)/1000)
	}
	return share, left, true
}
