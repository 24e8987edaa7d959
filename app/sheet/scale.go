package sheet

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/habitat/plan"
)

// The trade's scales, larger first. Metric: ISO 5455 steps with the quarters that garden plans use (common practice). US:
// the architect's scales (1/2 in = 1 ft is 1:24) and the engineer's (1 in = 10 ft is 1:120), common practice.
var (
	metricScales = []int{20, 25, 50, 75, 100, 125, 150, 200, 250, 300, 400, 500, 750, 1000, 1250, 1500, 2000, 2500, 5000, 7500,
		10000, 20000, 25000, 50000, 100000}
	usScales = []int{24, 48, 64, 96, 120, 192, 240, 360, 480, 600, 720, 960, 1200, 2400, 3600, 4800, 6000, 12000, 24000, 48000,
		120000}
)

// architect names the scales that are read off an architect's rule.
var architect = map[int]string{12: "1 in = 1 ft", 16: "3/4 in = 1 ft", 24: "1/2 in = 1 ft", 32: "3/8 in = 1 ft",
	48: "1/4 in = 1 ft", 64: "3/16 in = 1 ft", 96: "1/8 in = 1 ft", 128: "3/32 in = 1 ft", 192: "1/16 in = 1 ft"}

// ScaleName is a scale in words: "1:100"; in US units also as a rule has it, "1/8 in = 1 ft (1:96)".
func ScaleName(denominator int, u plan.Units) string {
	ratio := "1:" + strconv.Itoa(denominator)
	if u != plan.US {
		return ratio
	}
	if n, ok := architect[denominator]; ok {
		return n + " (" + ratio + ")"
	}
	if denominator%12 == 0 {
		return fmt.Sprintf("1 in = %d ft (%s)", denominator/12, ratio)
	}
	return ratio
}

// ScaleFrom reads a scale as ScaleName writes it, or in part: "1:200", "200", "1/4 in = 1 ft", "1 in = 20 ft (1:240)".
func ScaleFrom(s string) (denominator int, err error) {
	wrong := fmt.Errorf("%q is not a scale: write it like 1:200, or like 1/4 in = 1 ft or 1 in = 20 ft", s)
	plain, _, _ := strings.Cut(strings.ReplaceAll(strings.ToLower(s), " ", ""), "(")
	paper, ground, both := strings.Cut(plain, "=")
	if !both {
		n, err := strconv.Atoi(strings.TrimPrefix(plain, "1:"))
		if err != nil || n < 1 {
			return 0, wrong
		}
		return n, nil
	}
	inches, okIn := measure(paper, "inches", "inch", "in", "\"", "″")
	feet, okFt := measure(ground, "feet", "foot", "ft", "'", "′")
	n := math.Round(12 * feet / inches)
	if !okIn || !okFt || !(n >= 1 && n < 1e7) {
		return 0, wrong
	}
	return int(n), nil
}

// measure reads a figure, whole or as a fraction, before one of the units.
func measure(s string, units ...string) (v float64, ok bool) {
	for _, u := range units {
		figure, has := strings.CutSuffix(s, u)
		if !has {
			continue
		}
		over, under, fraction := strings.Cut(figure, "/")
		a, err := strconv.ParseFloat(over, 64)
		b := 1.0
		if err == nil && fraction {
			b, err = strconv.ParseFloat(under, 64)
		}
		return a / b, err == nil && a > 0 && b > 0
	}
	return 0, false
}

// Scales lists the trade's scales for the units, larger first.
func Scales(u plan.Units) []int {
	if u == plan.US {
		return slices.Clone(usScales)
	}
	return slices.Clone(metricScales)
}

// A frame is how the first sheet is divided, in millimetres.
type frame struct {
	paper  Paper     // as it lies
	border orb.Bound // neat line
	ring   orb.Bound // outside of the strip of letters and figures about the map
	window orb.Bound // the map
	panel  orb.Bound // title, legend and the rest
	side   bool      // the panel stands at the right, else along the foot
	slim   bool      // the panel is only title, scale and north: the key has a sheet of its own
}

// Widths on the sheet, in millimetres.
const (
	edge     = 9.0  // paper to neat line: what printers leave
	strip    = 4.6  // strip of letters and figures, in usual print
	breathe  = 4.0  // between the plan and the map's edge
	minMapMM = 40.0 // less map than this is none
	low      = 45.0 // height of the least panel along the foot
)

// divide lists the ways to lay the frame out on paper of w × h, the one that leaves the panel most room first. Slim is how high a foot
// without the key is when so wide.
func divide(p Paper, w, h, big float64, slim func(wide float64) float64) []frame {
	border := orb.Bound{Min: orb.Point{edge, edge}, Max: orb.Point{w - edge, h - edge - footing}}
	lay := func(side bool, panel float64) frame {
		f := frame{paper: Paper{p.Name, w, h}, border: border, ring: border, panel: border, side: side}
		if side {
			f.ring.Max[0] -= panel
			f.panel.Min[0] = f.ring.Max[0]
		} else {
			f.ring.Max[1] -= panel
			f.panel.Min[1] = f.ring.Max[1]
		}
		f.window = f.ring.Pad(-strip * big)
		return f
	}
	if min(w, h) < slimLess*big {
		f := lay(false, slim(w-2*edge))
		f.slim = true
		return []frame{f}
	}
	side, foot := lay(true, big*min(max(w*0.225, 62), 92)), lay(false, big*min(max(h*0.24, 70), 100))
	if w <= h {
		return []frame{lay(false, big*min(max(h*0.31, 92), 112)), foot, side}
	}
	out := []frame{side, foot}
	if w >= lowWide*big {
		out = append(out, lay(false, 58*big), lay(false, low*big))
	}
	return out
}

// lowWide is how wide paper must be for a low panel: title, scale, cautions and three columns of legend side by side.
const lowWide = 270

// room is what the plan may take of the map, in millimetres.
func (f frame) room() (w, h float64) {
	return f.window.Max[0] - f.window.Min[0] - 2*breathe, f.window.Max[1] - f.window.Min[1] - 2*breathe
}

// fit chooses how the paper lies, where the panel stands, and the scale: the largest that any of them allows, or the one asked for
// if it fits.
func (j *job) fit() (frame, int, error) {
	p := j.o.Paper
	short, long := min(p.W, p.H), max(p.W, p.H)
	var frames []frame
	if j.o.Orientation != Portrait {
		frames = append(frames, divide(p, long, short, j.big, j.slimHigh)...)
	}
	if j.o.Orientation != Landscape {
		frames = append(frames, divide(p, short, long, j.big, j.slimHigh)...)
	}
	wide, high := j.bound.Max[0]-j.bound.Min[0], j.bound.Max[1]-j.bound.Min[1]
	needs := func(f frame) float64 { // the denominator at which the plan just fits
		w, h := f.room()
		if w < minMapMM || h < minMapMM {
			return math.Inf(1)
		}
		return 1000 * max(wide/w, high/h)
	}
	asked := j.o.ScaleDenominator
	steps := Scales(j.a.Plan.Units)
	at := func(f frame) int { // the scale that the frame gives: the place in steps
		return slices.IndexFunc(steps, func(d int) bool { return float64(d) >= needs(f)*(1-1e-9) })
	}
	best, fits := frames[0], -1
	for _, f := range frames {
		if k := at(f); k >= 0 && (fits < 0 || k < fits) {
			best, fits = f, k
		}
	}
	switch {
	case math.IsInf(needs(best), 1):
		return best, 0, fmt.Errorf("paper of %.0f × %.0f mm leaves no room for a map: take a larger one", p.W, p.H)
	case fits < 0:
		return best, 0, fmt.Errorf("the plan is %s wide and does not fit %s at any scale up to 1:100000: "+
			"look for a feature drawn far away",
			j.system.text(max(wide, high)), p.Name)
	case asked == 0:
		return best, steps[fits], nil
	case asked < 1 || asked > 1000000:
		return best, 0, fmt.Errorf("1:%d is not a scale for a sheet: write the denominator, like 100 for 1:100", asked)
	}
	for _, f := range frames { // with the scale given, the roomiest panel
		if float64(asked) >= needs(f)*(1-1e-9) {
			return f, asked, nil
		}
	}
	return best, steps[fits], nil // the map of the whole: what was asked for goes on tiles
}

// A refGrid divides the map into squares of the ground, lettered from the left and figured from the top.
type refGrid struct {
	gap  float64   // metres
	from orb.Point // metres: the west and north edge of square A1
	view orb.Bound // the ground on the map, metres
}

// newGrid lays squares of a round length: about ten along the longer side of the map, and none under 9 mm.
func newGrid(plan orb.Bound, window orb.Bound, denominator int, u plan.Units) refGrid {
	per := float64(denominator) / 1000 // metres in a millimetre
	long := max(window.Max[0]-window.Min[0], window.Max[1]-window.Min[1])
	gap := 0.0
	for most := 9 * per; ; most = gap * 1.01 { // round lengths, from the least
		next := round(most, u)
		if gap > 0 && math.Abs(math.Log(long*per/next/10)) > math.Abs(math.Log(long*per/gap/10)) {
			break
		}
		gap = next
	}
	c := plan.Center()
	w, h := (window.Max[0]-window.Min[0])*per/2, (window.Max[1]-window.Min[1])*per/2
	view := orb.Bound{Min: orb.Point{c[0] - w, c[1] - h}, Max: orb.Point{c[0] + w, c[1] + h}}
	return refGrid{gap: gap, view: view,
		from: orb.Point{math.Floor(view.Min[0]/gap+1e-9) * gap, math.Ceil(view.Max[1]/gap-1e-9) * gap}}
}

// reach moves the first square so that the squares count over all of a tiling.
func (g *refGrid) reach(t *tiling) {
	for g.from[0] > t.from[0] {
		g.from[0] -= g.gap
	}
	for g.from[1] < t.from[1] {
		g.from[1] += g.gap
	}
}

// square names the square that holds a place: "C4".
func (g refGrid) square(p orb.Point) string {
	col, row := int(math.Floor((p[0]-g.from[0])/g.gap)), int(math.Floor((g.from[1]-p[1])/g.gap))
	return letters(col) + strconv.Itoa(row+1)
}

// alphabet leaves out I and O, which read as figures (common practice).
const alphabet = "ABCDEFGHJKLMNPQRSTUVWXYZ"

// letters counts A … Z, AA, AB …
func letters(n int) string {
	if n < 0 {
		return "–"
	}
	s := string(alphabet[n%len(alphabet)])
	if n >= len(alphabet) {
		return letters(n/len(alphabet)-1) + s
	}
	return s
}
