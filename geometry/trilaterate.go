package geometry

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// Trilaterate finds the points that lie ra metres from stake a and rb metres from stake b: one to the left of the walk
// from a to b, one to the right, the same one where the two tapes only just meet in line with the stakes. With the stakes
// on the x axis, a at 0 and b at d: x = (ra² − rb² + d²) / 2d, y = ±√(ra² − x²). The error says why the tapes cannot
// meet.
func Trilaterate(a, b orb.Point, ra, rb float64) (left, right orb.Point, err error) {
	d := distance(a, b)
	switch {
	case !finite(a) || !finite(b) || math.IsInf(d, 0):
		return left, right, errors.New("a stake has no usable place")
	case !(ra >= 0) || !(rb >= 0) || math.IsInf(ra, 0) || math.IsInf(rb, 0):
		return left, right, errors.New("a tape must read a length, 0 or more")
	case d == 0:
		return left, right, errors.New("the two stakes are at one place: measure from two different ones")
	}
	slack := 1e-9 * max(d, ra, rb)
	switch {
	case ra+rb < d-slack:
		return left, right, fmt.Errorf("tapes of %.2f m and %.2f m do not meet over %.2f m: measure again", ra, rb, d)
	case math.Abs(ra-rb) > d+slack:
		return left, right, fmt.Errorf("tapes of %.2f m and %.2f m differ by more than the %.2f m between the stakes: measure again",
			ra, rb, d)
	}
	x := ((ra-rb)*(ra+rb)/d + d) / 2
	y := math.Sqrt(max(0, (ra-x)*(ra+x)))
	if ra+rb < d+slack || math.Abs(ra-rb) > d-slack {
		y = 0
	}
	ux, uy := (b[0]-a[0])/d, (b[1]-a[1])/d
	left = orb.Point{a[0] + x*ux - y*uy, a[1] + x*uy + y*ux}
	right = orb.Point{a[0] + x*ux + y*uy, a[1] + x*uy - y*ux}
	return left, right, nil
}
