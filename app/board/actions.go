package board

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"github.com/paulmach/orb"

	"hedgereach/app/arrange"
	"hedgereach/app/board/tool"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// An Action is something that can be done to the plan or the view by a menu or its key. Exactly one of Do, Ask and File is there.
// The errors say what to choose first.
type Action struct {
	Menu     string // the menu that it stands in
	Name     string
	Keys     string // as shown in the key sheet
	Does     string // one line for the key sheet
	Parted   bool   // a line parts it from what stands above it in the menu
	Shortcut fyne.Shortcut
	Do       func() error
	Ask      func() (*Form, error)
	File     func(path string) error // asks for a file first …
	Endings  []string                // … with one of these endings
}

// The menus that actions stand in.
const (
	ArrangeMenu = "Arrange"
	EditMenu    = "Edit"
	ViewMenu    = "View"
	SurveyMenu  = "Survey"
)

func ctrl(k fyne.KeyName) fyne.Shortcut {
	return &desktop.CustomShortcut{KeyName: k, Modifier: fyne.KeyModifierShortcutDefault}
}

func ctrlShift(k fyne.KeyName) fyne.Shortcut {
	return &desktop.CustomShortcut{KeyName: k, Modifier: fyne.KeyModifierShortcutDefault | fyne.KeyModifierShift}
}

// Actions lists what can be done besides drawing, in the order of the menus.
func (b *Board) Actions() []Action {
	one := func(menu, name string, shift bool, k fyne.KeyName, does string) Action {
		a := Action{Menu: menu, Name: name, Does: does, Keys: "Ctrl+" + string(k), Shortcut: ctrl(k)}
		if shift {
			a.Keys, a.Shortcut = "Ctrl+Shift+"+string(k), ctrlShift(k)
		}
		return a
	}
	ask := func(a Action, form func() (*Form, error)) Action { a.Ask = form; return a }
	do := func(a Action, deed func() error) Action { a.Do = deed; return a }
	parted := func(a Action) Action { a.Parted = true; return a }
	points := one(SurveyMenu, "Add from a file…", true, fyne.KeyP, "GPS points in GPX or CSV, GeoJSON, or another plan, at their true place")
	points.File, points.Endings = b.addFile, []string{".gpx", ".csv", ".geojson", ".json", ".hedgereach"}
	picture := one(SurveyMenu, "Add a picture to trace…", true, fyne.KeyY, "a photo, scan or aerial view under the plan; it travels in the file")
	picture.File, picture.Endings = b.addPicture, []string{".jpg", ".jpeg", ".png"}
	return []Action{
		ask(one(ArrangeMenu, "New beds…", false, fyne.KeyI, "beds by their length and width, in the middle of what is seen"), b.askNew),
		ask(one(ArrangeMenu, "Row of beds…", false, fyne.KeyB, "a row or block of beds like the one chosen"), b.askBlock),
		ask(one(ArrangeMenu, "Fill with beds…", true, fyne.KeyG, "beds side by side over the ground chosen"), b.askFill),
		parted(ask(one(ArrangeMenu, "Repeat…", false, fyne.KeyR, "copies of what is chosen, one after the other"), b.askRepeat)),
		ask(one(ArrangeMenu, "Mirror…", false, fyne.KeyM, "turn what is chosen over: to one side, in place, or over a fence chosen last"), b.askMirror),
		ask(one(ArrangeMenu, "Turn…", false, fyne.KeyT, "turn what is chosen by an angle"), b.askTurn),
		parted(ask(one(ArrangeMenu, "Align…", false, fyne.KeyL, "bring edges in line with the one chosen first"), b.askAlign)),
		ask(one(ArrangeMenu, "Spread evenly…", false, fyne.KeyE, "equal gaps between three or more"), b.askSpread),
		do(one(ArrangeMenu, "Same width", true, fyne.KeyW, "the width of the one chosen first for all"), b.matchWidth),
		do(one(ArrangeMenu, "Same length", true, fyne.KeyK, "the length of the one chosen first for all"), b.matchLength),
		parted(ask(one(ArrangeMenu, "Size…", true, fyne.KeyE, "exact length and width"), b.askSize)),
		ask(one(ArrangeMenu, "Corners…", false, fyne.KeyK, "exact places of the corners"), b.askCorners),
		ask(one(ArrangeMenu, "Margin…", false, fyne.KeyG, "a strip all round an outline, or the ground within"), b.askMargin),
		parted(do(one(ArrangeMenu, "Join", false, fyne.KeyJ, "one feature of several that touch"), b.join)),
		do(one(ArrangeMenu, "Cut out the last chosen", true, fyne.KeyJ, "take a path out of the beds chosen before it"), b.subtract),
		do(one(ArrangeMenu, "Split along the last chosen", true, fyne.KeyD, "part the beds chosen before a path or fence along its line"),
			b.splitAlong),
		parted(do(one(ArrangeMenu, "Bring forward", true, fyne.KeyF, "draw it over others of its sort"), func() error { return b.order(true) })),
		do(one(ArrangeMenu, "Send back", true, fyne.KeyB, "draw it under others of its sort"), func() error { return b.order(false) }),
		parted(do(one(ArrangeMenu, "Lock or unlock", true, fyne.KeyL, "leave it where it is; again to unlock"), b.lock)),
		do(one(ArrangeMenu, "Hide or show", false, fyne.KeyH, "do not draw it; measures count it all the same; again to show it, chosen in the list"), b.hide),
		ask(one(SurveyMenu, "Point by two tapes…", true, fyne.KeyA, "a stake from its distances to two others, with closing error"), b.askTapes),
		ask(one(SurveyMenu, "Points by offsets…", true, fyne.KeyI, "stakes or an outline from a base line"), b.askOffsets),
		parted(ask(one(SurveyMenu, "Outline through stakes…", true, fyne.KeyO, "a boundary or bed through the stakes chosen"), b.askThrough)),
		points, parted(picture),
		ask(one(SurveyMenu, "Picture…", true, fyne.KeyV, "place, width, turn and fade of the picture, or take it off"), b.askPicture),
		do(one(EditMenu, "Copy as GeoJSON", true, fyne.KeyC, "text that other programs read"), b.copyGeoJSON),
		do(one(ViewMenu, "Turn the plan to the chosen", true, fyne.KeyT, "the long side of what is chosen lies level; north stays true"), b.turnTo),
		do(one(ViewMenu, "Turn the plan back", true, fyne.KeyN, "as it is in the file"), b.turnBack),
		do(one(ArrangeMenu, "Show all that is hidden", true, fyne.KeyH, "draw all again"), b.showAll),
	}
}

// Apply makes a change a step of the history, selects what it names, and says what came of it.
func (b *Board) Apply(c Change) error {
	if b.tool.Busy() {
		b.tool.Cancel()
	}
	if err := b.session.Commit(c.Step, c.Plan); err != nil {
		return err
	}
	if c.Select != nil {
		b.session.Select(c.Select...)
	}
	b.said = c.Words
	b.mark(editDirt)
	return nil
}

func (b *Board) system() length.System   { return tool.System(b.units()) }
func (b *Board) metres(m float64) string { return length.Format(m, b.system()) }

func (b *Board) squareMetres(m2 float64) string { return length.FormatArea(m2, b.system()) }

// chosen are the selected features in the order in which they were chosen, at least so many; that none is locked is for
// what is done with them to say.
func (b *Board) chosen(least int, words string) ([]*plan.Feature, []string, error) {
	p := b.session.Committed()
	var fs []*plan.Feature
	var ids []string
	for _, id := range b.session.Selection() {
		if f, _ := p.Find(id); f != nil {
			fs, ids = append(fs, f), append(ids, id)
		}
	}
	if len(fs) < least {
		return nil, nil, errors.New(words)
	}
	return fs, ids, nil
}

const (
	chooseOne   = "choose a feature first"
	chooseTwo   = "choose two features or more first; Shift adds to what is chosen"
	chooseThree = "choose three features or more first; Shift adds to what is chosen"
)

var (
	sideWords = []string{"to the right", "to the left", "upwards", "downwards"}
	sides     = []arrange.Side{arrange.Right, arrange.Left, arrange.Up, arrange.Down}
	yesNo     = []string{"yes", "no"}
)

func (b *Board) askRepeat() (*Form, error) {
	fs, ids, err := b.chosen(1, chooseOne)
	if err != nil {
		return nil, err
	}
	between := []string{"between edges", "from middle to middle"}
	return b.form("Repeat "+arrange.What(fs), []Field{
		{Label: "Copies", Value: "3"}, {Label: "Towards", Value: sideWords[0], Choices: sideWords},
		{Label: "Distance", Value: b.metres(0.5)}, {Label: "Measured", Value: between[0], Choices: between},
	}, func(a *answers) (Change, error) {
		n, side, apart, middles := a.whole(1, arrange.MostCopies), sides[a.choice()], a.metres(), a.choice() == 1
		if a.err != nil {
			return Change{}, a.err
		}
		p, all, err := arrange.Repeat(b.session.Committed(), ids, n, side, apart, middles, b.seen())
		return Change{Step: "repeat " + arrange.What(fs), Plan: p, Select: all, Words: fmt.Sprintf("%d new", len(all)-len(ids))}, err
	}), nil
}

func (b *Board) askMirror() (*Form, error) {
	fs, ids, err := b.chosen(1, chooseOne)
	if err != nil {
		return nil, err
	}
	ways := append(slices.Clone(sideWords), "in place, left for right", "in place, top for bottom")
	last := fs[len(fs)-1]
	if len(fs) > 1 && len(last.Line) == 2 {
		ways = append(ways, "over the line of "+last.Title())
	}
	return b.form("Mirror "+arrange.What(fs), []Field{
		{Label: "Over", Value: ways[0], Choices: ways}, {Label: "Keep the original", Value: yesNo[0], Choices: yesNo},
		{Label: "Gap between", Value: b.metres(0)},
	}, func(a *answers) (Change, error) {
		way, keep, gap := a.choice(), a.choice() == 0, a.metres()
		if a.err != nil {
			return Change{}, a.err
		}
		c := Change{Step: "mirror " + arrange.What(fs)}
		var err error
		switch in := way - len(sides); in {
		case 0, 1:
			c.Plan, err = arrange.MirrorInPlace(b.session.Committed(), ids, in == 0, b.seen())
			c.Words = "turned over where it lies; nothing is copied"
		case 2:
			c.Step = "mirror " + arrange.What(fs[:len(fs)-1])
			c.Plan, c.Select, err = arrange.MirrorOver(b.session.Committed(), ids[:len(ids)-1], last.Line[0], last.Line[1], keep)
		default:
			c.Plan, c.Select, err = arrange.Mirror(b.session.Committed(), ids, sides[way], gap, keep, b.seen())
		}
		return c, err
	}), nil
}

func (b *Board) askTurn() (*Form, error) {
	fs, ids, err := b.chosen(1, chooseOne)
	if err != nil {
		return nil, err
	}
	hands := []string{"clockwise", "anticlockwise"}
	return b.form("Turn "+arrange.What(fs), []Field{
		{Label: "By degrees", Value: "90"}, {Label: "Hand", Value: hands[0], Choices: hands},
	}, func(a *answers) (Change, error) {
		by, hand := a.number(-360, 360), a.choice()
		if a.err != nil {
			return Change{}, a.err
		}
		if hand == 1 {
			by = -by
		}
		p, err := arrange.Turn(b.session.Committed(), ids, by, b.seen())
		return Change{Step: "turn " + arrange.What(fs), Plan: p}, err
	}), nil
}

func (b *Board) askAlign() (*Form, error) {
	fs, ids, err := b.chosen(2, chooseTwo)
	if err != nil {
		return nil, err
	}
	words := []string{"left edges", "right edges", "upper edges", "lower edges", "middles, one above the other", "middles, side by side"}
	edges := []arrange.Side{arrange.Left, arrange.Right, arrange.Up, arrange.Down, arrange.MiddleUpright, arrange.MiddleLevel}
	return b.form("Bring in line with "+fs[0].Title(), []Field{{Label: "Align", Value: words[0], Choices: words}},
		func(a *answers) (Change, error) {
			edge := edges[a.choice()]
			if a.err != nil {
				return Change{}, a.err
			}
			p, err := arrange.Align(b.session.Committed(), ids, edge, b.seen())
			return Change{Step: "align " + arrange.What(fs), Plan: p}, err
		}), nil
}

func (b *Board) askSpread() (*Form, error) {
	fs, ids, err := b.chosen(3, chooseThree)
	if err != nil {
		return nil, err
	}
	ways := []string{"from left to right", "from top to bottom"}
	value := ways[0]
	if w, h := arrange.Extent(fs, b.seen()); h > w {
		value = ways[1]
	}
	return b.form("Spread "+arrange.What(fs)+" evenly", []Field{{Label: "Gaps", Value: value, Choices: ways}},
		func(a *answers) (Change, error) {
			across := a.choice() == 0
			if a.err != nil {
				return Change{}, a.err
			}
			p, gap, err := arrange.Distribute(b.session.Committed(), ids, across, b.seen())
			words := "gaps of " + b.metres(gap)
			if gap < 0 {
				words = "they overlap by " + b.metres(-gap)
			}
			return Change{Step: "spread " + arrange.What(fs) + " evenly", Plan: p, Words: words}, err
		}), nil
}

func (b *Board) matchWidth() error {
	fs, ids, err := b.chosen(2, chooseTwo)
	if err != nil {
		return err
	}
	p, err := arrange.MatchWidth(b.session.Committed(), ids)
	if err != nil {
		return err
	}
	_, w := arrange.SizeOf(fs[0])
	return b.Apply(Change{Step: "give " + arrange.What(fs) + " one width", Plan: p, Words: "All are " + b.metres(w) + " wide"})
}

func (b *Board) matchLength() error {
	fs, ids, err := b.chosen(2, chooseTwo)
	if err != nil {
		return err
	}
	p, err := arrange.MatchLength(b.session.Committed(), ids)
	if err != nil {
		return err
	}
	l, _ := arrange.SizeOf(fs[0])
	return b.Apply(Change{Step: "give " + arrange.What(fs) + " one length", Plan: p, Words: "All are " + b.metres(l) + " long"})
}

func (b *Board) splitAlong() error {
	fs, ids, err := b.chosen(2, "choose the bed first, then with Shift the path or fence to split it along")
	if err != nil {
		return err
	}
	p, made, err := arrange.SplitAlong(b.session.Committed(), ids)
	if err != nil {
		return err
	}
	return b.Apply(Change{Step: "split along " + fs[len(fs)-1].Title(), Plan: p, Select: made,
		Words: fmt.Sprintf("%d pieces; each is a feature of its own", len(made))})
}

func (b *Board) askSize() (*Form, error) {
	fs, ids, err := b.chosen(1, chooseOne)
	if err != nil {
		return nil, err
	}
	l, w := arrange.SizeOf(fs[0])
	if l == 0 {
		return nil, fmt.Errorf("%s has no size to change", fs[0].Title())
	}
	stays := "stays as it is"
	fields := []Field{{Label: "Length", Hint: stays}, {Label: "Width", Hint: stays}}
	if len(fs) == 1 {
		fields[0].Value, fields[1].Value = b.exact(l), b.exact(w)
	}
	return b.form("Size of "+arrange.What(fs), fields, func(a *answers) (Change, error) {
		size := func(was float64) float64 {
			switch {
			case a.empty():
				a.next()
				return 0
			case len(fs) == 1 && a.given[a.at] == a.fields[a.at].Value:
				a.next() // not touched: as shown it may be rounded
				return was
			}
			m := a.metres()
			if m < arrange.LeastM {
				a.fail(errors.New("give a millimetre or more, or nothing where it stays as it is"))
			}
			return m
		}
		long, wide := size(l), size(w)
		if a.err != nil {
			return Change{}, a.err
		}
		p, err := arrange.Size(b.session.Committed(), ids, long, wide)
		return Change{Step: "change the size of " + arrange.What(fs), Plan: p}, err
	}), nil
}

func (b *Board) askMargin() (*Form, error) {
	fs, ids, err := b.chosen(1, "choose the feature that the margin goes round, such as the boundary")
	if err != nil {
		return nil, err
	}
	where := []string{"within the outline", "outside it", "the ground that it leaves"}
	var kinds []string
	var of []plan.Kind
	for _, k := range plan.Kinds {
		if !tool.IsMark(k) {
			kinds, of = append(kinds, k.Label()), append(of, k)
		}
	}
	return b.form("A margin round "+fs[0].Title(), []Field{
		{Label: "Wide", Value: b.metres(3)}, {Label: "Where", Value: where[0], Choices: where},
		{Label: "What grows there", Value: plan.WildMargin.Label(), Choices: kinds},
	}, func(a *answers) (Change, error) {
		wide, side, kind := a.metres(), arrange.MarginWhere(a.choice()), of[a.choice()]
		if a.err != nil {
			return Change{}, a.err
		}
		p, made, err := arrange.Margin(b.session.Committed(), ids[0], wide, side, kind)
		return Change{Step: "make a margin round " + fs[0].Title(), Plan: p, Select: made}, err
	}), nil
}

func (b *Board) join() error {
	fs, ids, err := b.chosen(2, chooseTwo)
	if err != nil {
		return err
	}
	p, made, err := arrange.Join(b.session.Committed(), ids)
	if err != nil {
		return err
	}
	return b.Apply(Change{Step: "join " + arrange.What(fs), Plan: p, Select: made})
}

func (b *Board) subtract() error {
	fs, ids, err := b.chosen(2, "choose the bed first, then with Shift what is to be cut out of it")
	if err != nil {
		return err
	}
	p, made, err := arrange.Subtract(b.session.Committed(), ids)
	if err != nil {
		return err
	}
	return b.Apply(Change{Step: "cut " + fs[len(fs)-1].Title() + " out", Plan: p, Select: made})
}

func (b *Board) order(front bool) error {
	fs, ids, err := b.chosen(1, chooseOne)
	if err != nil {
		return err
	}
	p, err := arrange.Order(b.session.Committed(), ids, front)
	if err != nil {
		return err
	}
	step := "send back " + arrange.What(fs)
	if front {
		step = "bring forward " + arrange.What(fs)
	}
	return b.Apply(Change{Step: step, Plan: p})
}

// lock locks what is chosen, or unlocks it where all of it is locked.
func (b *Board) lock() error {
	fs, ids, err := b.chosen(1, chooseOne)
	if err != nil {
		return err
	}
	to := slices.ContainsFunc(fs, func(f *plan.Feature) bool { return !f.Locked })
	step, words := "unlock ", "Unlocked"
	if to {
		step, words = "lock ", "Locked: it stays where it is until it is unlocked by the same key"
	}
	return b.Apply(Change{Step: step + arrange.What(fs), Plan: arrange.SetLocked(b.session.Committed(), ids, to), Words: words})
}

func (b *Board) hide() error {
	fs, ids, err := b.chosen(1, chooseOne)
	if err != nil {
		return err
	}
	if !slices.ContainsFunc(fs, func(f *plan.Feature) bool { return !f.Hidden }) {
		return b.Apply(Change{Step: "show " + arrange.What(fs), Plan: arrange.SetHidden(b.session.Committed(), ids, false), Words: "Shown again"})
	}
	return b.Apply(Change{Step: "hide " + arrange.What(fs), Plan: arrange.SetHidden(b.session.Committed(), ids, true),
		Select: []string{}, Words: "Hidden; every measure counts it all the same"})
}

func (b *Board) copyGeoJSON() error {
	text, err := b.geoJSON()
	if err != nil {
		return err
	}
	fyne.CurrentApp().Clipboard().SetContent(text)
	b.said = "Copied as GeoJSON, which other programs read"
	b.tellHint()
	return nil
}

// turnTo turns the ground so that the long side of the feature chosen first lies level.
func (b *Board) turnTo() error {
	fs, _, err := b.chosen(1, "choose a bed first: its long side will lie level")
	if err != nil {
		return err
	}
	_, _, along, _, ok := arrange.Sides(fs[0])
	if !ok {
		return fmt.Errorf("%s has no long side", fs[0].Title())
	}
	about := arrange.Middle(fs[:1], 0)
	at := b.view.To(about)
	b.SetTurn(-math.Atan2(along[1], along[0]))
	b.view.Centre = about // what is chosen stays where it is on the screen
	m := b.view.Middle
	b.view.Centre = b.view.From(orb.Point{2*m[0] - at[0], 2*m[1] - at[1]})
	return nil
}

func (b *Board) turnBack() error {
	b.SetTurn(0)
	return nil
}

func (b *Board) showAll() error {
	p := arrange.SetHidden(b.session.Committed(), nil, false)
	if p == b.session.Committed() {
		return errors.New("nothing is hidden")
	}
	return b.Apply(Change{Step: "show what is hidden", Plan: p})
}

// exact writes a length to the millimetre or the thousandth of a foot, for lengths that are to be edited.
func (b *Board) exact(m float64) string {
	if b.units() == plan.US {
		const foot = 0.3048 // the international foot, exact
		if in := m / foot * 12; math.Abs(in-math.Round(in)) < 0.002 {
			return length.Format(m, length.US)
		}
		return fmt.Sprintf("%.4f ft", m/foot)
	}
	return fmt.Sprintf("%.3f m", m)
}
