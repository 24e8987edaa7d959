package panes

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
	"github.com/paulmach/orb"

	"hedgereach/app/fields"
	"hedgereach/app/session"
	"hedgereach/geometry"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// Feature shows the selected feature: what it is, its sizes, what grows on it, how it stands; each can be changed there. With
// nothing selected it tells of the plan as a whole.
type Feature struct {
	widget.BaseWidget
	session  *session.Session
	complain func(error)
	body     *fyne.Container
	scroll   *container.Scroll
	shape    string // what the form was built for; another shape needs another form
	loads    []func(*plan.Feature)
	open     map[string]bool // what is unfolded
	building bool            // the form is being filled by us, so nothing is an edit
	pacer    pacer
}

// NewFeature is the form of a session's selection. Complain says why something typed was not taken.
func NewFeature(s *session.Session, dispatch func(func()), complain func(error)) *Feature {
	f := &Feature{session: s, complain: complain, body: container.NewVBox(), open: map[string]bool{}, pacer: pacer{dispatch: dispatch}}
	f.ExtendBaseWidget(f)
	f.pacer.work, f.pacer.hidden = f.update, func() bool { return f.Hidden }
	f.scroll = container.NewVScroll(container.New(sideRoom{}, f.body))
	f.update()
	s.Observe(f.pacer.hear)
	return f
}

// Show brings the pane up to date, which it was not while hidden.
func (f *Feature) Show() {
	f.BaseWidget.Show()
	f.pacer.now()
}

// CreateRenderer shows the form in a scroll.
func (f *Feature) CreateRenderer() fyne.WidgetRenderer { return widget.NewSimpleRenderer(f.scroll) }

// update builds the form for the selection where it needs another one, and fills it.
func (f *Feature) update() {
	f.building = true
	defer func() { f.building = false }()
	chosen := f.chosen()
	switch len(chosen) {
	case 0:
		f.rebuild("plan", f.buildPlan)
		f.load(nil)
	case 1:
		f.rebuild(shapeOf(chosen[0]), func() { f.buildFeature(chosen[0]) })
		f.load(chosen[0])
	default:
		sorts := sortsOf(chosen)
		f.rebuild(fmt.Sprint("several", sorts), func() { f.buildSeveral(sorts) })
		f.load(nil)
	}
}

func (f *Feature) rebuild(shape string, build func()) {
	if shape == f.shape {
		return
	}
	f.shape, f.loads = shape, nil
	f.body.RemoveAll()
	build()
	f.body.Refresh()
	f.scroll.ScrollToTop()
}

func (f *Feature) load(x *plan.Feature) {
	for _, l := range f.loads {
		l(x)
	}
}

// shapeOf tells which rows a feature's form has. The form is kept while this stays the same, so that an entry does not
// vanish under the typing hand.
func shapeOf(x *plan.Feature) string {
	_, _, rect := sides(x.Geometry)
	_, mark := x.Geometry.(orb.Point)
	var grows strings.Builder
	for _, c := range x.Crops {
		grows.WriteString("," + c.Crop)
	}
	for _, g := range x.Plants {
		grows.WriteString(";" + g.Plant)
	}
	for _, t := range x.Treatments {
		grows.WriteString("!" + t.Material)
	}
	for _, y := range x.OtherYears {
		fmt.Fprint(&grows, "/", y.Year)
		for _, c := range y.Crops {
			grows.WriteString("," + c.Crop)
		}
	}
	return fmt.Sprint(x.ID, x.Kind, x.Line != nil, x.Centre != nil, rect, mark, len(x.Covers()), grows.String())
}

// edit makes a change of the feature one step of the history; an error is shown and the form goes back to what holds.
func (f *Feature) edit(id, name string, change func(*plan.Feature) error) error {
	if f.building {
		return nil
	}
	err := edit(f.session, id, name, change)
	if err != nil {
		f.complain(err)
		f.update()
	}
	return err
}

func (f *Feature) buildPlan() {
	out := newReadout()
	f.add(title("The plan"), out)
	f.loads = append(f.loads, func(*plan.Feature) {
		a, sys := f.session.Assessment(), System(f.session)
		s := a.Site
		lines := []string{
			"Ground: " + length.FormatArea(s.AreaM2, sys),
			fmt.Sprintf("%s: %s", plural(s.Beds, "bed"), length.FormatArea(s.BedsM2, sys)),
			"Habitat: " + length.FormatArea(s.HabitatM2, sys),
		}
		if s.AreaM2 > 0 {
			lines[2] += fmt.Sprintf(", %s of the ground", fields.FormatShare(s.HabitatM2/s.AreaM2))
		}
		switch p := f.session.Plan().Place; {
		case p == nil:
			lines = append(lines, "No place given: frosts and bloom times cannot be told (Plan, Place and season).")
		case p.LastFrost != 0 && p.FirstFrost != 0:
			lines = append(lines, fmt.Sprintf("Last frost %s, first frost %s", p.LastFrost.Label(), p.FirstFrost.Label()))
		}
		out.SetText(strings.Join(lines, "\n"))
	})
	f.add(hint("Choose a feature on the ground to see and change what it is and what grows on it."))
}

func areaOf(x *plan.Feature) float64 {
	if _, mark := x.Geometry.(orb.Point); mark || x.Geometry == nil {
		return 0
	}
	return geometry.Area(x.Geometry)
}

func (f *Feature) buildFeature(x *plan.Feature) {
	id := x.ID
	f.add(title(x.Kind.Label()))
	f.buildName(id)
	f.buildSizes(x)
	if x.Kind != plan.Boundary && x.Kind != plan.Trap && x.Kind != plan.Stake {
		f.buildRefuge(id)
	}
	if x.Kind == plan.Bed || x.Kind == plan.TrapCrop || len(x.Crops) > 0 {
		f.buildCrops(x)
	}
	if x.Kind == plan.Bed {
		f.buildCovers(x)
		f.buildTreatments(x)
		f.buildOtherYears(x)
	}
	if x.Kind == plan.TrapCrop {
		f.buildTrapping(id)
	}
	if x.Kind == plan.Trap {
		f.buildTrap(id)
	}
	if x.IsHabitat() || len(x.Plants) > 0 {
		f.buildPlants(x)
	}
	if x.IsHabitat() || x.Kind == plan.Bed || x.Nursery != "" {
		f.buildNursery(id)
	}
	if x.Kind == plan.Bed {
		f.buildPests(id)
		f.buildStandings(id)
	} else if x.IsHabitat() {
		f.buildServes(id)
	}
	note := fields.NewNote(func(t string) error {
		return f.edit(id, "write on", func(x *plan.Feature) error { x.Note = t; return nil })
	})
	note.SetMinRowsVisible(3)
	f.add(section("Note"), note)
	f.loads = append(f.loads, func(x *plan.Feature) { note.Load(x.Note) })
}

func (f *Feature) buildName(id string) {
	name := f.entry(fields.NewEntry(func(t string) error {
		return f.edit(id, "rename", func(x *plan.Feature) error { x.Name = strings.TrimSpace(t); return nil })
	}))
	labels := make([]string, len(plan.Kinds))
	for i, k := range plan.Kinds {
		labels[i] = k.Label()
	}
	kind := fields.NewPick(labels, "")
	kind.OnChanged = func(string) {
		i := kind.SelectedIndex()
		_ = f.edit(id, "change the kind of", func(x *plan.Feature) error { x.Kind = plan.Kinds[i]; return nil })
	}
	f.add(row("Name", name), row("Kind", kind))
	f.loads = append(f.loads, func(x *plan.Feature) {
		name.Load(x.Name)
		kind.SetSelected(x.Kind.Label())
	})
}

// Lengths that can be typed for a size lie between these, in metres.
const (
	leastSide = 0.05
	mostSide  = 5000
)

func (f *Feature) buildSizes(x *plan.Feature) {
	id := x.ID
	sys := func() length.System { return System(f.session) }
	size := func(name string, get func(*plan.Feature) float64, set func(*plan.Feature, float64) error) {
		e := f.entry(fields.NewLength(sys, leastSide, mostSide, func(m float64) error {
			return f.edit(id, "resize", func(x *plan.Feature) error { return set(x, m) })
		}))
		f.add(row(name, e))
		f.loads = append(f.loads, func(x *plan.Feature) { e.Load(length.Format(get(x), sys())) })
	}
	_, _, rect := sides(x.Geometry)
	switch {
	case x.Line != nil:
		size("Width", func(x *plan.Feature) float64 { return x.WidthM }, setWidth)
	case x.Centre != nil:
		size("Radius", func(x *plan.Feature) float64 { return x.RadiusM }, setRadius)
	case rect:
		size("Length", func(x *plan.Feature) float64 { a, b, _ := sides(x.Geometry); return max(a, b) },
			func(x *plan.Feature, m float64) error { return setSide(x, m, true) })
		size("Width", func(x *plan.Feature) float64 { a, b, _ := sides(x.Geometry); return min(a, b) },
			func(x *plan.Feature, m float64) error { return setSide(x, m, false) })
	}
	if _, mark := x.Geometry.(orb.Point); mark {
		return
	}
	out := newReadout()
	f.add(row("Area", out))
	f.loads = append(f.loads, func(x *plan.Feature) {
		text := length.FormatArea(areaOf(x), sys()) + ", " + length.Format(geometry.Perimeter(x.Geometry), sys()) + " around"
		if x.Line != nil {
			text += ", " + length.Format(lineLength(x.Line), sys()) + " long"
		}
		out.SetText(text)
	})
}

func (f *Feature) buildRefuge(id string) {
	choice := fields.NewPick([]string{"", "Yes", "No"}, "")
	yes, no := true, false
	choice.OnChanged = func(string) {
		word := []*bool{nil, &yes, &no}[max(choice.SelectedIndex(), 0)]
		_ = f.edit(id, "say whether refuge:", func(x *plan.Feature) error { x.Refuge = word; return nil })
	}
	f.add(row("Refuge", choice))
	f.loads = append(f.loads, func(x *plan.Feature) {
		byKind := "By kind: no"
		if x.Kind.Refuge() {
			byKind = "By kind: yes"
		}
		if choice.Options[0] != byKind {
			choice.SetOptions([]string{byKind, "Yes", "No"})
		}
		switch {
		case x.Refuge == nil:
			choice.SetSelectedIndex(0)
		case *x.Refuge:
			choice.SetSelectedIndex(1)
		default:
			choice.SetSelectedIndex(2)
		}
	})
}

// entry lets the entry complain as the pane does.
func (f *Feature) entry(e *fields.Entry) *fields.Entry {
	e.Complain = f.complain
	return e
}

func (f *Feature) add(o ...fyne.CanvasObject) {
	for _, x := range o {
		f.body.Add(x)
	}
}

// A readout is text that is shown and not typed, set only where it differs.
type readout struct{ widget.Label }

func newReadout() *readout {
	r := &readout{}
	r.ExtendBaseWidget(r)
	r.Wrapping = fyne.TextWrapWord
	return r
}

// SetText shows the text.
func (r *readout) SetText(t string) {
	if r.Text != t {
		r.Label.SetText(t)
	}
}

func title(t string) *widget.Label {
	l := widget.NewLabel(t)
	l.SizeName = theme.SizeNameSubHeadingText
	l.TextStyle.Bold = true
	return l
}

func section(t string) *widget.Label {
	l := widget.NewLabel(t)
	l.TextStyle.Bold = true
	return l
}

func hint(t string) *widget.Label {
	l := widget.NewLabel(t)
	l.Importance, l.SizeName = widget.LowImportance, theme.SizeNameCaptionText
	l.Wrapping = fyne.TextWrapWord
	return l
}

// row puts a quiet word before a field.
func row(name string, field fyne.CanvasObject) fyne.CanvasObject {
	l := widget.NewLabel(name)
	l.Importance = widget.LowImportance
	return container.New(named{}, l, field)
}

// named gives the word a fixed width and the field the rest.
type named struct{}

const nameWidth = 76

func (named) MinSize(o []fyne.CanvasObject) fyne.Size {
	f := o[1].MinSize()
	return fyne.NewSize(nameWidth+f.Width, max(o[0].MinSize().Height, f.Height))
}

func (named) Layout(o []fyne.CanvasObject, size fyne.Size) {
	l := o[0].MinSize()
	o[0].Move(fyne.NewPos(0, 0))
	o[0].Resize(fyne.NewSize(nameWidth, l.Height))
	o[1].Move(fyne.NewPos(nameWidth, 0))
	o[1].Resize(fyne.NewSize(size.Width-nameWidth, size.Height))
}

// sideRoom keeps a form off the scroll bar.
type sideRoom struct{}

const barRoom = 10

func (sideRoom) MinSize(o []fyne.CanvasObject) fyne.Size {
	m := o[0].MinSize()
	return fyne.NewSize(m.Width+barRoom, m.Height)
}

func (sideRoom) Layout(o []fyne.CanvasObject, size fyne.Size) {
	o[0].Move(fyne.NewPos(0, 0))
	o[0].Resize(fyne.NewSize(size.Width-barRoom, size.Height))
}
