package board

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
	"hedgereach/habitat/plan"
)

// askCorners asks for the exact places of a feature's corners, or of the points of its line, or of its centre: a line each,
// east and north of the plan's origin.
func (b *Board) askCorners() (*Form, error) {
	fs, ids, err := b.chosen(1, chooseOne)
	switch {
	case err != nil:
		return nil, err
	case len(fs) > 1:
		return nil, fmt.Errorf("choose one feature: its corners are shown")
	case fs[0].Locked:
		return nil, &arrange.LockedError{Feature: fs[0]}
	}
	f := fs[0]
	pts, ok := arrange.Corners(f)
	if !ok {
		return nil, fmt.Errorf("%s has several outlines: its corners can only be dragged", f.Title())
	}
	if len(pts) > mostTyped {
		return nil, fmt.Errorf("%s has %d corners, too many to type: drag them", f.Title(), len(pts))
	}
	var lines []string
	for _, p := range pts {
		lines = append(lines, b.place(p))
	}
	fields := []Field{{Label: "East; north", Value: strings.Join(lines, "\n"), Lines: min(12, max(3, len(lines)+1))}}
	return b.form("Corners of "+f.Title(), fields, func(a *answers) (Change, error) {
		moved, err := b.places(a.next(), lines, pts)
		if err != nil {
			return Change{}, err
		}
		g, err := arrange.WithCorners(f, moved)
		if err != nil {
			return Change{}, err
		}
		p := b.session.Committed().Clone()
		_, i := p.Find(ids[0])
		p.Features[i] = g
		return Change{Step: "place the corners of " + f.Title(), Plan: p}, nil
	}), nil
}

// mostTyped is how many corners are worth typing.
const mostTyped = 200

// place writes a point as east and north of the origin.
func (b *Board) place(p orb.Point) string { return b.signedExact(p[0]) + "; " + b.signedExact(p[1]) }

func (b *Board) signedExact(m float64) string {
	if m < 0 {
		return "-" + b.exact(-m)
	}
	return b.exact(m)
}

// places reads a place a line. A line that is as it was shown is the very point that it was shown for.
func (b *Board) places(text string, shown []string, points []orb.Point) ([]orb.Point, error) {
	was := map[string]orb.Point{}
	for i, l := range shown {
		was[l] = points[i]
	}
	var out []orb.Point
	for n, l := range strings.Split(text, "\n") {
		l = strings.TrimSpace(l)
		if l == "" {
			continue
		}
		if p, ok := was[l]; ok {
			out = append(out, p)
			continue
		}
		p, err := b.readPlace(l)
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", n+1, err)
		}
		out = append(out, p)
	}
	return out, nil
}

// readPlace reads "12.4; 3.05", with units where wanted. A tab, or a comma with a space behind it, parts as well.
func (b *Board) readPlace(l string) (orb.Point, error) {
	for _, sep := range []string{";", "\t", ", "} {
		east, north, ok := strings.Cut(l, sep)
		if !ok {
			continue
		}
		x, err := signed(east, b.system())
		if err != nil {
			return orb.Point{}, err
		}
		y, err := signed(north, b.system())
		if err != nil {
			return orb.Point{}, err
		}
		if max(x, -x, y, -y) > plan.MaxMetres {
			return orb.Point{}, fmt.Errorf("%q lies too far off", l)
		}
		return orb.Point{x, y}, nil
	}
	return orb.Point{}, fmt.Errorf("%q is no place: write east; north, like 12.4; 3.05", l)
}
