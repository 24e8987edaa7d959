package data

import "math"

// A BeeDistance is one of the ways in which bees' flights were measured.
type BeeDistance int

// The ways.
const (
	TypicalHoming        BeeDistance = iota // half of the bees that were carried off came home
	MaximumHoming                           // the farthest that any came home from
	FeederTraining                          // the farthest that a bee was led to a feeder
	MaximumCommunication                    // the farthest that bees told each other of
)

// greenleaf holds a and b of log10(distance in km) = a + b · log10(width in mm).
var greenleaf = [...]struct{ a, b float64 }{
	TypicalHoming:        {-1.643, 3.242},
	MaximumHoming:        {-1.363, 3.366},
	FeederTraining:       {-0.760, 2.313},
	MaximumCommunication: {-0.993, 2.788},
}

// GreenleafFrom says where the coefficients come from: at second hand, in public research code by the first author of Kendall
// et al. 2022; the abstract was read at the source.
var GreenleafFrom = Origin{
	Sources: []string{"greenleaf-2007", "kendall-2022"},
	Detail: "log10(km) = a + b · log10(mm); coefficients read in public research code of the first author of Kendall et al. " +
		"2022 and two other scripts",
	Checked: SecondHand, Evidence: Good,
}

// BeeFlightM is how far, in metres, a bee can fly by its size, by the regressions of Greenleaf et al. 2007 over 62 species:
// log10(distance in km) = a + b · log10(ITD in mm), where ITD is the distance between the wing bases. Both the millimetres and
// log10 matter: centimetres or natural logarithms give nonsense. It rests largely on homing tests, so it is ability, an
// outer limit, and no usual range: means in the field are 2 to 7 times shorter. NaN where the width is not above 0.
func BeeFlightM(way BeeDistance, itdMM float64) float64 {
	if !(itdMM > 0) {
		return math.NaN()
	}
	g := greenleaf[way]
	return 1000 * math.Pow(10, g.a+g.b*math.Log10(itdMM))
}

// BeeWidthMM is a usual distance between the wing bases (ITD), in mm, of guilds of bees: a small sweat bee, a small worker of
// the bumble bees, a honey-bee worker (usual values of the trade, from memory).
var BeeWidthMM = map[string]float64{"small-bees": 1.5, "bumble-bees": 4.0, "honey-bees": 3.2}
