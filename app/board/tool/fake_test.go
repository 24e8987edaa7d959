package tool

import (
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// A desk stands in for the board: a plan with a history, a selection, settings. A unit of the pointer's reach is 0.3 m.
type desk struct {
	t       *testing.T
	history []*plan.Plan
	names   []string
	preview *plan.Plan
	chosen  []string
	set     Settings
	said    string
}

func newDesk(t *testing.T, fs ...*plan.Feature) *desk {
	p := plan.New("garden")
	p.Features = fs
	return &desk{t: t, history: []*plan.Plan{p},
		set: Settings{Kind: plan.Bed, WidthM: 1.2, Units: length.Metric, StepM: 0.5, ReachM: 0.3}}
}

func (d *desk) Plan() *plan.Plan     { return d.history[len(d.history)-1] }
func (d *desk) Selection() []string  { return slices.Clone(d.chosen) }
func (d *desk) Select(ids ...string) { d.chosen = slices.Clone(ids) }
func (d *desk) Preview(p *plan.Plan) { d.preview = p }
func (d *desk) CancelPreview()       { d.preview = nil }
func (d *desk) Settings() Settings   { return d.set }
func (d *desk) Say(text string)      { d.said = text }
func (d *desk) Commit(name string, p *plan.Plan) error {
	d.preview = nil
	d.history = append(d.history, p)
	d.names = append(d.names, name)
	return nil
}

// last is the name of the last edit; "" where there was none.
func (d *desk) last() string {
	if len(d.names) == 0 {
		return ""
	}
	return d.names[len(d.names)-1]
}

func (d *desk) find(name string) *plan.Feature {
	d.t.Helper()
	for _, f := range d.Plan().Features {
		if f.Name == name {
			return f
		}
	}
	d.t.Fatalf("the plan has no %q", name)
	return nil
}

func (d *desk) untouched(after string) {
	d.t.Helper()
	if len(d.history) != 1 || d.preview != nil {
		d.t.Errorf("after %s: %d edits %q, preview %v", after, len(d.names), d.names, d.preview != nil)
	}
}

func click(t Tool, x, y float64, mods ...Mods) {
	e := Event{At: orb.Point{x, y}}
	for _, m := range mods {
		e.Mods |= m
	}
	t.Move(e)
	t.Press(e)
	t.Release(e)
}

func drag(t Tool, x0, y0, x1, y1 float64, mods ...Mods) {
	e := Event{At: orb.Point{x0, y0}}
	for _, m := range mods {
		e.Mods |= m
	}
	t.Press(e)
	for i := 1.0; i <= 4; i++ {
		e.At = orb.Point{x0 + (x1-x0)*i/4, y0 + (y1-y0)*i/4}
		t.Drag(e)
	}
	t.Release(e)
}

func move(t Tool, x, y float64, mods ...Mods) {
	e := Event{At: orb.Point{x, y}}
	for _, m := range mods {
		e.Mods |= m
	}
	t.Move(e)
}

func typing(t Tool, text string) {
	for _, r := range text {
		t.Rune(r)
	}
}

func box(k plan.Kind, name string, x0, y0, x1, y1 float64) *plan.Feature {
	return plan.NewFeature(k, name, orb.Polygon{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}})
}

func ring(t *testing.T, f *plan.Feature, want ...orb.Point) {
	t.Helper()
	p, ok := f.Geometry.(orb.Polygon)
	if !ok || len(p) != 1 {
		t.Fatalf("%s is %v", f.Name, f.Geometry)
	}
	if got := []orb.Point(p[0][:len(p[0])-1]); !slices.Equal(got, want) {
		t.Errorf("%s has corners %v, want %v", f.Name, got, want)
	}
}
