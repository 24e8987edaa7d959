package drawing

import (
	"cmp"
	"errors"
	"fmt"
	"math"
)

// Check looks for what no output could draw: sizes and places that are not numbers, negative widths, rulings without a gap,
// pictures without an image. The error names the step, counted from 1. Outputs that make a file call it first, so that
// nothing is left out silently.
func Check(l List) error {
	if !(l.Width > 0) || !(l.Height > 0) || math.IsInf(l.Width, 0) || math.IsInf(l.Height, 0) {
		return fmt.Errorf("drawing: a size of %g by %g cannot be drawn; both must be above 0", l.Width, l.Height)
	}
	if err := check(l.Ops, l); err != nil {
		return fmt.Errorf("drawing: %w", err)
	}
	return nil
}

func check(ops []Op, l List) error {
	for i, op := range ops {
		var err error
		switch op := op.(type) {
		case Fill:
			err = checkPath(op.Path)
		case Stroke:
			err = cmp.Or(checkPath(op.Path), checkPen(op.Pen))
		case Hatch:
			err = cmp.Or(checkPath(op.Path), checkPattern(op.Pattern, l))
		case Text:
			err = checkNumbers(op.At[0], op.At[1], op.Rotate, op.Size, op.HaloWidth)
			if err == nil && (op.Size < 0 || op.HaloWidth < 0) {
				err = errors.New("a letter height or halo is below 0")
			}
		case Picture:
			err = checkPicture(op)
		case Clip:
			if err = checkPath(op.Path); err == nil {
				err = check(op.Ops, l)
			}
		case Layer:
			err = check(op.Ops, l)
		default:
			err = errors.New("this kind of step is not known")
		}
		if err != nil {
			return fmt.Errorf("step %d (%T): %w", i+1, op, err)
		}
	}
	return nil
}

func checkPath(path Path) error {
	for _, c := range path {
		for _, p := range c.Points {
			if err := checkNumbers(p[0], p[1]); err != nil {
				return err
			}
		}
	}
	return nil
}

// farthest bounds all numbers of a drawing: beyond it a single-precision reader loses the millimetre.
const farthest = 1e7

func checkNumbers(values ...float64) error {
	for _, v := range values {
		if !(math.Abs(v) <= farthest) {
			return fmt.Errorf("%g cannot be drawn; it must be a number within ±%g", v, farthest)
		}
	}
	return nil
}

func checkPen(p Pen) error {
	if err := checkNumbers(p.Width); err != nil {
		return err
	}
	if p.Width < 0 {
		return fmt.Errorf("a line width of %g is below 0", p.Width)
	}
	if len(p.Dash) > 0 && !dashed(p.Dash) {
		return fmt.Errorf("dashes of %v cannot be drawn; none may be below 0 and one must be above", p.Dash)
	}
	return nil
}

func checkPattern(p Pattern, l List) error {
	if err := cmp.Or(checkPen(p.Pen), checkNumbers(p.Angle, p.Gap, p.Origin[0], p.Origin[1])); err != nil {
		return err
	}
	if least := 2 * math.Hypot(l.Width, l.Height) / maxRows; p.Gap < least {
		return fmt.Errorf("rulings %g apart are too close to draw; %g is the least here", p.Gap, least)
	}
	return nil
}

func checkPicture(p Picture) error {
	if err := checkNumbers(p.Min[0], p.Min[1], p.Max[0], p.Max[1]); err != nil {
		return err
	}
	if p.Image == nil || p.Image.Bounds().Empty() {
		return errors.New("a picture has no image")
	}
	if !(p.Min[0] < p.Max[0]) || !(p.Min[1] < p.Max[1]) {
		return fmt.Errorf("a picture from %v to %v has no size", p.Min, p.Max)
	}
	return nil
}
