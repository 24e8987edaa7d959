package geometry

import (
	"math"
	"math/big"

	"github.com/paulmach/orb"
)

// orient tells on which side of the line from a to b the point c lies: +1 left, -1 right, 0 exactly on it. The answer is
// exact: where rounding could turn the sign the determinant is worked out without any.
//
// The bound is that of Shewchuk, Adaptive Precision Floating-Point Arithmetic and Fast Robust Geometric Predicates,
// Discrete & Computational Geometry 18 (1997), doi 10.1007/PL00009321: (3 + 16u)u with u = 2⁻⁵³.
func orient(a, b, c orb.Point) int {
	left := (a[0] - c[0]) * (b[1] - c[1])
	right := (a[1] - c[1]) * (b[0] - c[0])
	det := left - right
	const bound = (3 + 16*0x1p-53) * 0x1p-53
	if limit := bound * (math.Abs(left) + math.Abs(right)); det > limit || -det > limit {
		return sign(det)
	}
	if left == 0 && right == 0 && (a[0] == c[0] || b[1] == c[1]) && (a[1] == c[1] || b[0] == c[0]) {
		return 0 // the common exact case: on one grid line
	}
	return orientExact(a, b, c)
}

// orientExact works the determinant out as a sum of numbers that do not overlap, as Shewchuk does (twoSum and growExpansion are his
// theorems 7 and 10): each difference and each product is a number and what rounding took from it. Points on a line are common in
// gardens, and this allocates nothing.
func orientExact(a, b, c orb.Point) int {
	for _, p := range [3]orb.Point{a, b, c} {
		if !finite(p) {
			return 0
		}
	}
	ax, axLost := twoSum(a[0], -c[0])
	ay, ayLost := twoSum(a[1], -c[1])
	bx, bxLost := twoSum(b[0], -c[0])
	by, byLost := twoSum(b[1], -c[1])
	for _, v := range [...]float64{ax, axLost, ay, ayLost, bx, bxLost, by, byLost} {
		if v = math.Abs(v); v != 0 && (v < 0x1p-450 || v > 0x1p+450) { // a product, or what is lost of it, might not be a number
			return orientRational(a, b, c)
		}
	}
	var sum expansion
	for _, p := range [...][2]float64{{ax, by}, {axLost, by}, {ax, byLost}, {axLost, byLost},
		{-ay, bx}, {-ayLost, bx}, {-ay, bxLost}, {-ayLost, bxLost}} {
		high := p[0] * p[1]
		sum.add(math.FMA(p[0], p[1], -high))
		sum.add(high)
	}
	return sum.sign()
}

// An expansion is an exact sum: its parts do not overlap and grow, zeros left out.
type expansion struct {
	parts [16]float64
	n     int
}

func (e *expansion) add(v float64) {
	n := 0
	for _, p := range e.parts[:e.n] {
		var lost float64
		if v, lost = twoSum(v, p); lost != 0 {
			e.parts[n] = lost
			n++
		}
	}
	if v != 0 {
		e.parts[n] = v
		n++
	}
	e.n = n
}

// sign is that of the greatest part, which is more than all others together.
func (e *expansion) sign() int {
	if e.n == 0 {
		return 0
	}
	return sign(e.parts[e.n-1])
}

// twoSum is a + b, rounded, and what rounding took (Knuth, The Art of Computer Programming 2, section 4.2.2).
func twoSum(a, b float64) (sum, lost float64) {
	sum = a + b
	bRound := sum - a
	return sum, (a - (sum - bRound)) + (b - bRound)
}

// orientRational is orient in rational numbers, for points whose distances multiply beyond what a float64 can hold.
func orientRational(a, b, c orb.Point) int {
	minus := func(p, q float64) *big.Rat {
		r := new(big.Rat).SetFloat64(p)
		return r.Sub(r, new(big.Rat).SetFloat64(q))
	}
	left := minus(a[0], c[0])
	left.Mul(left, minus(b[1], c[1]))
	right := minus(a[1], c[1])
	right.Mul(right, minus(b[0], c[0]))
	return left.Cmp(right)
}

func sign(v float64) int {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}

func finite(p orb.Point) bool {
	return !math.IsNaN(p[0]) && !math.IsInf(p[0], 0) && !math.IsNaN(p[1]) && !math.IsInf(p[1], 0)
}

// usable tells whether a point can be measured to: finite, and near enough that squares of distances do not overflow.
func usable(p orb.Point) bool { return math.Abs(p[0]) <= Widest && math.Abs(p[1]) <= Widest }

// onSegment tells whether c, known to lie on the line through a and b, lies between them.
func onSegment(a, b, c orb.Point) bool {
	return min(a[0], b[0]) <= c[0] && c[0] <= max(a[0], b[0]) && min(a[1], b[1]) <= c[1] && c[1] <= max(a[1], b[1])
}

// ringSide tells where a point lies: +1 inside the ring, 0 on it, -1 outside. Exact, by counting crossings of the ray to the
// east.
func ringSide(r []orb.Point, p orb.Point) int {
	inside := false
	for i := 1; i < len(r); i++ {
		a, b := r[i-1], r[i]
		if a == p || b == p {
			return 0
		}
		if (a[1] > p[1]) == (b[1] > p[1]) {
			if a[1] == p[1] && b[1] == p[1] && onSegment(a, b, p) {
				return 0
			}
			continue
		}
		if a[0] < p[0] && b[0] < p[0] {
			continue
		}
		if a[1] > b[1] {
			a, b = b, a
		}
		switch orient(a, b, p) {
		case 0:
			return 0
		case 1:
			inside = !inside
		}
	}
	if inside {
		return 1
	}
	return -1
}

// polygonSide is ringSide for a polygon with holes.
func polygonSide(p orb.Polygon, at orb.Point) int {
	for i, r := range p {
		side := ringSide(r, at)
		if side == 0 {
			return 0
		}
		if (side > 0) == (i > 0) { // outside the outline, or inside a hole
			return -1
		}
	}
	if len(p) == 0 {
		return -1
	}
	return 1
}
