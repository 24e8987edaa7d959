package fields

import (
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// An Item is one thing to choose.
type Item struct {
	ID     string
	Name   string
	Detail string // a short second line; may be empty
}

// Matches tells whether every word of the search begins a word of the item, or occurs in its name.
func (it Item) Matches(search string) bool {
	text := strings.ToLower(it.Name + " " + it.Detail)
	for _, w := range strings.Fields(strings.ToLower(search)) {
		if !strings.Contains(text, w) {
			return false
		}
	}
	return true
}

// A Chooser is a list with a search line above it. Enter takes the first that matches, arrows go through the list.
type Chooser struct {
	widget.BaseWidget
	Search *Entry
	items  []Item
	shown  []Item
	list   *List
	taken  func(Item)

	nothing *widget.Label // said where nothing matches
}

// NewChooser is a chooser among items.
func NewChooser(items []Item, taken func(Item)) *Chooser {
	c := &Chooser{items: items, shown: items, taken: taken}
	c.ExtendBaseWidget(c)
	c.nothing = widget.NewLabel("Nothing here is called or described so.")
	c.nothing.Importance, c.nothing.Hidden, c.nothing.Wrapping = widget.LowImportance, true, fyne.TextWrapWord
	c.Search = NewEntry(nil)
	c.Search.SetPlaceHolder("Search by name or property")
	c.Search.OnChanged = c.filter
	c.Search.OnSubmitted = func(string) {
		if len(c.shown) > 0 {
			c.taken(c.shown[0])
		}
	}
	c.list = NewList(
		func() int { return len(c.shown) },
		func() fyne.CanvasObject {
			name, detail := widget.NewLabel(""), widget.NewLabel("")
			name.Truncation, detail.Truncation = fyne.TextTruncateEllipsis, fyne.TextTruncateEllipsis
			detail.SizeName, detail.Importance = theme.SizeNameCaptionText, widget.LowImportance
			return container.New(tightRows{}, name, detail)
		},
		func(i widget.ListItemID, o fyne.CanvasObject) {
			row := o.(*fyne.Container)
			row.Objects[0].(*widget.Label).SetText(c.shown[i].Name)
			row.Objects[1].(*widget.Label).SetText(c.shown[i].Detail)
		})
	c.list.OnSelected = func(i widget.ListItemID) { c.taken(c.shown[i]) }
	c.Search.Else = func(k *fyne.KeyEvent) { // down into the list, where Enter takes the line
		if cv := fyne.CurrentApp().Driver().CanvasForObject(c); cv != nil && k.Name != fyne.KeyUp && k.Name != fyne.KeyPageUp {
			cv.Focus(c.list)
		}
	}
	c.list.Rune = func(r rune) { // and by a letter back to the search
		if cv := fyne.CurrentApp().Driver().CanvasForObject(c); cv != nil {
			cv.Focus(c.Search)
			c.Search.TypedRune(r)
		}
	}
	c.list.Key = func(k *fyne.KeyEvent) {
		if k.Name == fyne.KeyEscape && c.Search.Leave != nil {
			c.Search.Leave()
		}
	}
	return c
}

func (c *Chooser) filter(search string) {
	c.shown = nil
	for _, it := range c.items {
		if it.Matches(search) {
			c.shown = append(c.shown, it)
		}
	}
	nearness := func(it Item) int { // what is so called comes before what has it somewhere
		switch name, s := strings.ToLower(it.Name), strings.ToLower(strings.TrimSpace(search)); {
		case name == s:
			return 0
		case strings.HasPrefix(name, s):
			return 1
		case strings.Contains(name, s):
			return 2
		}
		return 3
	}
	slices.SortStableFunc(c.shown, func(a, b Item) int { return nearness(a) - nearness(b) })
	c.nothing.Hidden = len(c.shown) > 0
	c.nothing.Refresh()
	c.list.UnselectAll()
	c.list.Top()
	c.list.Refresh()
}

// Shown lists the items that match the search.
func (c *Chooser) Shown() []Item { return c.shown }

// CreateRenderer lays the search line over the list.
func (c *Chooser) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(container.NewBorder(c.Search, nil, nil, nil, container.NewStack(c.list, c.nothing)))
}

// A Choice is a word with a mark that opens a Chooser below it.
type Choice struct {
	widget.Button
	Items  func() []Item // asked for each time it opens
	Chosen func(Item)
	Wide   float32 // width of what opens; 0 takes 320
	popup  *widget.PopUp
}

// NewChoice is a choice that shows the label until something is chosen; the caller sets the text afterwards.
func NewChoice(label string, items func() []Item, chosen func(Item)) *Choice {
	c := &Choice{Items: items, Chosen: chosen}
	c.ExtendBaseWidget(c)
	c.Text = label
	c.Alignment = widget.ButtonAlignLeading
	c.IconPlacement = widget.ButtonIconTrailingText
	c.Icon = theme.MenuDropDownIcon()
	c.OnTapped = c.Open
	return c
}

// Open shows the list below the choice, or above where there is more room.
func (c *Choice) Open() {
	cv := fyne.CurrentApp().Driver().CanvasForObject(c)
	if cv == nil {
		return
	}
	chooser := NewChooser(c.Items(), func(it Item) {
		c.Close()
		c.Chosen(it)
	})
	chooser.Search.Leave = c.Close
	c.popup = widget.NewPopUp(chooser, cv)
	wide := c.Wide
	if wide == 0 {
		wide = 320
	}
	at := fyne.CurrentApp().Driver().AbsolutePositionForObject(c)
	all := cv.Size()
	below := all.Height - at.Y - c.Size().Height - 8
	size := fyne.NewSize(min(wide, all.Width-16), min(360, max(below, at.Y-8)))
	pos := fyne.NewPos(min(at.X, all.Width-size.Width-8), at.Y+c.Size().Height)
	if size.Height > below {
		pos.Y = max(0, at.Y-size.Height-8)
	}
	c.popup.Resize(size)
	c.popup.ShowAtPosition(pos)
	cv.Focus(chooser.Search)
}

// TypedKey opens the list with Space or Enter and hands on what means nothing here.
func (c *Choice) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeySpace:
		c.Button.TypedKey(k)
	case fyne.KeyReturn, fyne.KeyEnter, fyne.KeyDown:
		c.Open()
	default:
		PassKey(c, k)
	}
}

// TypedRune hands letters on.
func (c *Choice) TypedRune(r rune) {
	if r != ' ' {
		PassRune(c, r)
	}
}

// Close takes the list away.
func (c *Choice) Close() {
	if c.popup != nil {
		c.popup.Hide()
		c.popup = nil
	}
}

// tightRows stacks labels closer than a box does, so that a name and its second line read as one thing.
type tightRows struct{}

const tuck = 14

func (tightRows) MinSize(objects []fyne.CanvasObject) fyne.Size {
	var s fyne.Size
	for i, o := range objects {
		m := o.MinSize()
		s.Width = max(s.Width, m.Width)
		s.Height += m.Height
		if i > 0 {
			s.Height -= tuck
		}
	}
	return s
}

func (tightRows) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	y := float32(0)
	for _, o := range objects {
		h := o.MinSize().Height
		o.Move(fyne.NewPos(0, y))
		o.Resize(fyne.NewSize(size.Width, h))
		y += h - tuck
	}
}
