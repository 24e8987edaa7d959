package window

import (
	"errors"
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
	"hedgereach/data/season"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// A placeForm is the plan's name and units, where it lies, and what its year is like, as typed.
type placeForm struct {
	name, year, latitude, longitude, elevation, north, zone, lastFrost, firstFrost *fields.Entry
	units                                                                          *widget.RadioGroup
	shown                                                                          map[*fields.Entry]string // what each showed at first
}

const (
	inMetres = "metres"
	inFeet   = "feet and inches"
)

func newPlaceForm(p *plan.Plan) *placeForm {
	entry := func(text, example string) *fields.Entry {
		e := fields.NewEntry(nil)
		e.Load(text)
		e.SetPlaceHolder(example)
		return e
	}
	f := &placeForm{name: entry(p.Name, "what the plan is called"), year: entry("", "which it is for; another one turns the crops over")}
	if p.Year != 0 {
		f.year.Load(strconv.Itoa(p.Year))
	}
	f.units = widget.NewRadioGroup([]string{inMetres, inFeet}, nil)
	f.units.Horizontal, f.units.Required = true, true
	f.units.SetSelected(inMetres)
	sys := length.Metric
	if p.Units == plan.US {
		f.units.SetSelected(inFeet)
		sys = length.US
	}
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	f.latitude, f.longitude = entry("", "44.03, south is negative"), entry("", "-72.51, west is negative")
	f.elevation, f.north, f.zone = entry("", "above the sea; below it is negative"), entry("", "0"), entry("", "5a")
	f.lastFrost, f.firstFrost = entry("", "10 May"), entry("", "1 Oct")
	if l := p.Place; l != nil {
		f.latitude.Load(number(l.Latitude))
		f.longitude.Load(number(l.Longitude))
		f.elevation.Load(length.Format(l.ElevationM, sys))
		f.north.Load(number(l.NorthDeg))
		f.zone.Load(l.HardinessZone)
		f.lastFrost.Load(l.LastFrost.Label())
		f.firstFrost.Load(l.FirstFrost.Label())
	}
	f.shown = map[*fields.Entry]string{}
	for _, e := range f.entries() {
		f.shown[e] = e.Text
	}
	return f
}

func (f *placeForm) entries() []*fields.Entry {
	return []*fields.Entry{f.name, f.year, f.latitude, f.longitude, f.elevation, f.north, f.zone, f.lastFrost, f.firstFrost}
}

// typed tells whether an entry was changed. What was not is left as the plan has it, to the last decimal, which the entry may
// not show.
func (f *placeForm) typed(e *fields.Entry) bool { return e.Text != f.shown[e] }

// apply makes a plan of p with what is typed; p itself where that changes nothing. Where nothing of a place is typed, the plan
// has none.
func (f *placeForm) apply(p *plan.Plan) (*plan.Plan, error) {
	q, err := f.turned(p)
	if err != nil {
		return q, err
	}
	if f.typed(f.name) {
		q.Name = strings.TrimSpace(f.name.Text)
	}
	q.Units = plan.Metric
	sys := length.Metric
	if f.units.Selected == inFeet {
		q.Units, sys = plan.US, length.US
	}
	all := ""
	for _, e := range []*fields.Entry{f.latitude, f.longitude, f.elevation, f.zone, f.lastFrost, f.firstFrost} {
		all += strings.TrimSpace(e.Text)
	}
	if all == "" {
		q.Place = nil
	} else {
		err = f.applyPlace(q, sys)
	}
	if err == nil && q.Name == p.Name && q.Units == p.Units && q.Year == p.Year && reflect.DeepEqual(q.Place, p.Place) {
		return p, nil
	}
	return q, err
}

// turned is the plan for the year that is typed. From one year to another the beds' crops are put aside as those of the old
// year, and what was noted for the new one comes in.
func (f *placeForm) turned(p *plan.Plan) (*plan.Plan, error) {
	if !f.typed(f.year) {
		return p.Clone(), nil
	}
	t := strings.TrimSpace(f.year.Text)
	if t == "" {
		q := p.Clone()
		q.Year = 0
		return q, nil
	}
	year, err := strconv.Atoi(t)
	if err != nil || year < plan.FirstYear || year > plan.LastYear {
		return p.Clone(), fmt.Errorf("year: %q is not a year from %d to %d", t, plan.FirstYear, plan.LastYear)
	}
	return p.InYear(year), nil
}

func (f *placeForm) applyPlace(q *plan.Plan, sys length.System) error {
	l := q.Place
	given := l != nil
	if !given {
		l = &plan.Place{}
		q.Place = l
	}
	var errs [6]error
	if !given || f.typed(f.latitude) {
		l.Latitude, errs[0] = degrees("latitude", f.latitude.Text, 90)
	}
	if !given || f.typed(f.longitude) {
		l.Longitude, errs[1] = degrees("longitude", f.longitude.Text, 180)
	}
	if t := strings.TrimSpace(f.north.Text); t == "" {
		l.NorthDeg = 0
	} else if f.typed(f.north) {
		l.NorthDeg, errs[2] = degrees("north", t, 360)
	}
	if t := strings.TrimSpace(f.elevation.Text); t == "" {
		l.ElevationM = 0
	} else if f.typed(f.elevation) {
		if l.ElevationM, errs[3] = length.ParseSigned(t, sys); errs[3] != nil {
			errs[3] = fmt.Errorf("elevation: %w", errs[3])
		}
	}
	if f.typed(f.lastFrost) {
		l.LastFrost, errs[4] = day("last frost", f.lastFrost.Text)
	}
	if f.typed(f.firstFrost) {
		l.FirstFrost, errs[5] = day("first frost", f.firstFrost.Text)
	}
	if f.typed(f.zone) {
		l.HardinessZone = strings.TrimSpace(f.zone.Text)
	}
	return errors.Join(errs[:]...)
}

func day(what, text string) (season.Day, error) {
	d, err := fields.ParseDay(text)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", what, err)
	}
	return d, nil
}

func degrees(what, text string, most float64) (float64, error) {
	t := strings.TrimSuffix(strings.TrimSpace(text), "°")
	if t == "" {
		return 0, fmt.Errorf("%s is missing: give it, or leave the whole place empty", what)
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(t), 64)
	if err != nil || !(v >= -most && v <= most) {
		return 0, fmt.Errorf("%s: %q is not a number of degrees from %.0f to %.0f", what, text, -most, most)
	}
	return v, nil
}

// askPlace shows the form; what is typed becomes one step of the history.
func (w *Window) askPlace() {
	f := newPlaceForm(w.session.Committed())
	says := widget.NewLabel("")
	says.Importance = widget.WarningImportance
	says.Wrapping = fyne.TextWrapWord
	form := widget.NewForm(
		widget.NewFormItem("Name", f.name), widget.NewFormItem("Year", f.year), widget.NewFormItem("Read and type in", f.units),
		widget.NewFormItem("Latitude", f.latitude), widget.NewFormItem("Longitude", f.longitude),
		widget.NewFormItem("Elevation", f.elevation),
		widget.NewFormItem("True north", hinted(f.north, "degrees clockwise from the top of the plan")),
		widget.NewFormItem("Hardiness zone", f.zone), widget.NewFormItem("Usual last frost", f.lastFrost),
		widget.NewFormItem("Usual first frost", f.firstFrost), widget.NewFormItem("", says))
	d := dialog.NewCustomWithoutButtons("Place and season", form, w.window)
	apply := func() {
		p, err := f.apply(w.session.Committed())
		if err == nil {
			err = w.session.Commit("change place and season", p)
		}
		if err != nil {
			says.SetText(err.Error())
			return
		}
		w.calmly(d.Hide)()
	}
	for _, e := range f.entries() {
		e.OnSubmitted, e.Leave = func(string) { apply() }, w.calmly(d.Dismiss)
	}
	ok := fields.NewButton("Apply", apply)
	ok.Importance = widget.HighImportance
	d.SetButtons([]fyne.CanvasObject{fields.NewButton("Cancel", w.calmly(d.Hide)), ok})
	d.Resize(fyne.NewSize(min(520, w.window.Canvas().Size().Width-40), 0))
	w.put(d)
	w.window.Canvas().Focus(f.name)
}

func hinted(e *fields.Entry, hint string) *fields.Entry {
	e.SetPlaceHolder(hint)
	return e
}
