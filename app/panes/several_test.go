package panes

import (
	"testing"

	"fyne.io/fyne/v2/widget"

	"fyne.io/fyne/v2"

	"hedgereach/app/fields"
	"hedgereach/habitat/plan"
)

// field finds the field behind a word in a form.
func field(t *testing.T, f *Feature, word string) fyne.CanvasObject {
	t.Helper()
	for _, o := range f.body.Objects {
		if c, ok := o.(*fyne.Container); ok && len(c.Objects) == 2 {
			if l, ok := c.Objects[0].(*widget.Label); ok && l.Text == word {
				return c.Objects[1]
			}
		}
	}
	t.Fatalf("there is no field %q", word)
	return nil
}

// Three beds of 4, 10 and 4 m by 2 m are changed at once, each change one step of the history.
func TestSeveralFeaturesAreChangedAtOnce(t *testing.T) {
	s := small(t)
	said := ""
	f := NewFeature(s, never, func(err error) { said = err.Error() })
	s.Select(id(s, "Bed 2"), id(s, "Bed 9"), id(s, "Bed 10"))
	long, wide := field(t, f, "Length").(*fields.Entry), field(t, f, "Width").(*fields.Entry)
	if long.Text != "" || long.PlaceHolder != differ || wide.Text != "2.00 m" {
		t.Errorf("length %q (%q), width %q", long.Text, long.PlaceHolder, wide.Text)
	}
	wide.SetText("75 cm")
	wide.OnSubmitted("")
	for _, n := range []string{"Bed 2", "Bed 9", "Bed 10"} {
		x, _ := s.Committed().Find(id(s, n))
		if a, b, ok := sides(x.Geometry); !ok || min(a, b) != 0.75 || max(a, b) < 4 {
			t.Errorf("%s is %g by %g", n, a, b)
		}
	}
	if n, _ := s.Document().UndoName(); n != "resize 3 features" {
		t.Errorf("the step is called %q", n)
	}
	kind := field(t, f, "Kind").(*fields.Pick)
	kind.SetSelected(plan.TrapCrop.Label())
	field(t, f, "Refuge").(*fields.Pick).SetSelected("Yes")
	field(t, f, "Place").(*fields.Pick).SetSelected("locked")
	for _, n := range []string{"Bed 2", "Bed 9", "Bed 10"} {
		x, _ := s.Committed().Find(id(s, n))
		if x.Kind != plan.TrapCrop || x.Refuge == nil || !*x.Refuge || !x.Locked {
			t.Errorf("%s: %v, refuge %v, locked %v", n, x.Kind, x.Refuge, x.Locked)
		}
	}
	wide = field(t, f, "Width").(*fields.Entry)
	wide.SetText("1 m")
	wide.OnSubmitted("")
	if said == "" || !s.Committed().Features[1].Locked {
		t.Error("what is locked is resized without a word")
	}
	for range 4 {
		s.Undo()
	}
	if s.Document().Dirty() {
		t.Error("four changes are more than four steps")
	}

	// A hedge among them: nothing of the shape is common, and the kinds differ.
	s.Select(id(s, "Hedge"), id(s, "Bed 2"))
	if k := field(t, f, "Kind").(*fields.Pick); k.Selected != "" || k.PlaceHolder != differ {
		t.Errorf("the kind is %q", k.Selected)
	}
}
