package panes

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
	"hedgereach/app/session"
	"hedgereach/geometry/length"
	"hedgereach/habitat"
)

// Beds lists the beds with their standing to what is asked about, the worst first unless the grower sorts them otherwise.
// Choosing one selects it and brings it into view.
type Beds struct {
	widget.BaseWidget
	session *session.Session
	rows    []bedLine
	sort    column
	down    bool

	summary *widget.Label
	heads   []*fields.Word
	list    *fields.List
	marked  int  // the line that is selected in the list; -1 for none
	quiet   bool // the list is being brought after the session, not the other way round
	pacer   pacer
}

// A column is what the list can be sorted by.
type column int

const (
	byStatus column = iota
	byName
	byArea
	byNearest
	byFarthest
	byShare
)

var columnNames = []string{"Reach", "Bed", "Area", "Nearest", "Farthest", "Within"}

// A bedLine is one line of the list, as shown.
type bedLine struct {
	id, name                  string
	status                    habitat.Status
	area, nearest, farthest   string
	share                     string
	areaM2, nearM, farM, part float64
}

// NewBeds is the list of a session's beds.
func NewBeds(s *session.Session, dispatch func(func())) *Beds {
	b := &Beds{session: s, marked: -1, pacer: pacer{dispatch: dispatch}}
	b.ExtendBaseWidget(b)
	b.pacer.work, b.pacer.hidden = b.update, func() bool { return b.Hidden }
	b.summary = widget.NewLabel("")
	b.summary.Wrapping = fyne.TextWrapWord
	for i, n := range columnNames {
		w := fields.NewWord(n, "", func() { b.sortBy(column(i)) })
		w.Small, w.Right = true, i >= int(byArea)
		b.heads = append(b.heads, w)
	}
	b.list = fields.NewList(func() int { return len(b.rows) }, func() fyne.CanvasObject { return newBedRow() },
		func(i int, o fyne.CanvasObject) { o.(*bedRow).set(b.rows[i]) })
	b.list.OnSelected = func(i widget.ListItemID) {
		if !b.quiet {
			b.marked = i
			s.Show([]string{b.rows[i].id}, nil)
		}
	}
	b.update()
	s.Observe(b.pacer.hear)
	return b
}

// Else says what becomes of keys that mean nothing to the list.
func (b *Beds) Else(r func(rune), k func(*fyne.KeyEvent)) { b.list.Rune, b.list.Key = r, k }

// Show brings the pane up to date, which it was not while hidden.
func (b *Beds) Show() {
	b.BaseWidget.Show()
	b.pacer.now()
}

// CreateRenderer lays the summary and the headings over the list.
func (b *Beds) CreateRenderer() fyne.WidgetRenderer {
	heads := container.New(bedColumns{})
	for _, h := range b.heads {
		heads.Add(h)
	}
	top := container.NewVBox(b.summary, heads, widget.NewSeparator())
	return widget.NewSimpleRenderer(container.NewBorder(top, nil, nil, nil, b.list))
}

func (b *Beds) sortBy(c column) {
	if b.sort == c {
		b.down = !b.down
	} else {
		b.sort, b.down = c, false
	}
	b.update()
}

// update shows the assessment as it is now.
func (b *Beds) update() {
	a := b.session.Assessment()
	ask, sys := b.session.Ask(), System(b.session)
	b.rows = b.rows[:0]
	var counts [4]int
	for _, bed := range a.Beds {
		l := lineOf(bed, ask, b.session.Status(bed), sys)
		counts[l.status]++
		b.rows = append(b.rows, l)
	}
	slices.SortStableFunc(b.rows, b.order)
	b.summary.SetText(bedSummary(counts, ask, sys) + bandSummary(a.Beds, ask, sys))
	for i, h := range b.heads {
		h.SetOn(column(i) == b.sort)
	}
	b.list.Refresh()
	b.mark()
}

// mark selects the line of the selected bed.
func (b *Beds) mark() {
	b.quiet = true
	defer func() { b.quiet = false }()
	ids := b.session.Selection()
	i := -1
	if len(ids) == 1 {
		i = slices.IndexFunc(b.rows, func(l bedLine) bool { return l.id == ids[0] })
	}
	if i == b.marked {
		return
	}
	b.marked = i
	b.list.UnselectAll()
	if i >= 0 {
		b.list.Select(i)
	}
}

func lineOf(bed *habitat.Bed, ask session.Ask, status habitat.Status, sys length.System) bedLine {
	l := bedLine{id: bed.Feature.ID, name: bed.Feature.Title(), status: status, areaM2: bed.AreaM2,
		area: length.FormatArea(bed.AreaM2, sys), nearest: "–", farthest: "–", share: "–"}
	id := ""
	if ask.Guild != nil {
		id = ask.Guild.ID
	}
	if g := bed.Guild(id); g != nil && g.Link != nil {
		l.nearM, l.farM, l.part = g.Link.NearestM, g.Link.FarthestM, g.WithinFraction
		l.nearest, l.farthest = decimal(l.nearM, sys), decimal(l.farM, sys)
		if status != habitat.Unknown {
			l.share = fmt.Sprintf("%.0f %%", 100*l.part)
		}
	}
	return l
}

// badness ranks statuses for the list, the worst first; what is not known stands between what is bad and what is good.
func badness(s habitat.Status) int {
	return map[habitat.Status]int{habitat.Beyond: 0, habitat.Partly: 1, habitat.Unknown: 2, habitat.Within: 3}[s]
}

func (b *Beds) order(x, y bedLine) int {
	c := 0
	switch b.sort {
	case byStatus:
		c = cmp.Or(cmp.Compare(badness(x.status), badness(y.status)), cmp.Compare(y.farM, x.farM))
	case byName:
		c = compareNames(x.name, y.name)
	case byArea:
		c = cmp.Compare(y.areaM2, x.areaM2)
	case byNearest:
		c = cmp.Compare(y.nearM, x.nearM)
	case byFarthest:
		c = cmp.Compare(y.farM, x.farM)
	case byShare:
		c = cmp.Compare(x.part, y.part)
	}
	if b.down {
		c = -c
	}
	return cmp.Or(c, compareNames(x.name, y.name))
}

// compareNames orders names as people do: "Bed 9" before "Bed 10".
func compareNames(a, b string) int {
	x, y := strings.ToLower(a), strings.ToLower(b)
	for x != "" && y != "" {
		nx, rx := digits(x)
		ny, ry := digits(y)
		if nx != "" && ny != "" {
			tx, ty := strings.TrimLeft(nx, "0"), strings.TrimLeft(ny, "0")
			if c := cmp.Or(cmp.Compare(len(tx), len(ty)), strings.Compare(tx, ty)); c != 0 {
				return c
			}
			x, y = rx, ry
			continue
		}
		if x[0] != y[0] {
			return cmp.Compare(x[0], y[0])
		}
		x, y = x[1:], y[1:]
	}
	return cmp.Or(cmp.Compare(len(x), len(y)), strings.Compare(a, b))
}

// digits splits the number off that a text begins with.
func digits(s string) (number, rest string) {
	rest = strings.TrimLeft(s, "0123456789")
	return s[:len(s)-len(rest)], rest
}

func bedSummary(n [4]int, ask session.Ask, sys length.System) string {
	total := n[0] + n[1] + n[2] + n[3]
	if total == 0 {
		return "No beds yet. Choose Rectangle (key r) and drag one on the ground."
	}
	of := "any refuge"
	at := length.FormatRange(ask.RangeM, sys)
	if ask.Guild != nil {
		of = strings.ToLower(ask.Guild.Name)
		if !ask.Guild.HasRange() {
			return fmt.Sprintf("%s: no distance that could limit a bed is published for %s, so nothing is computed.",
				plural(total, "bed"), of)
		}
		at = length.FormatRange(ask.Guild.TypicalM, sys)
	}
	var parts []string
	for _, s := range []habitat.Status{habitat.Within, habitat.Partly, habitat.Beyond, habitat.Unknown} {
		if n[s] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n[s], s))
		}
	}
	return fmt.Sprintf("%s: %s\nReach of %s at %s", plural(total, "bed"), strings.Join(parts, ", "), of, at)
}

// bandSummary is a line on how many beds would be within if the longest and if the shortest published distance were right; "" where
// that leaves no bed's standing open.
func bandSummary(beds []*habitat.Bed, ask session.Ask, sys length.System) string {
	if ask.Guild == nil {
		return ""
	}
	best, worst, open := 0, 0, false
	low, outer := ask.Guild.LowM, ask.Guild.OuterM
	for _, b := range beds {
		r := b.Guild(ask.Guild.ID)
		if r == nil {
			continue
		}
		open = open || r.Band() != ""
		if r.AtOuter == habitat.Within || outer == 0 && r.Status == habitat.Within {
			best++
		}
		if r.AtLow == habitat.Within || low == 0 && r.Status == habitat.Within {
			worst++
		}
	}
	if !open {
		return ""
	}
	at := func(end float64) string { return length.FormatRange(cmp.Or(end, ask.Guild.TypicalM), sys) }
	return fmt.Sprintf("\nPublished distances differ: %d within at best (%s), %d at worst (%s)", best, at(outer), worst, at(low))
}

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

// A bedRow shows one line. Its words are set only where they differ, since making a word's picture is what costs.
type bedRow struct {
	widget.BaseWidget
	chip  *Chip
	cells [6]*widget.Label // status word, name, area, nearest, farthest, share
}

func newBedRow() *bedRow {
	r := &bedRow{chip: NewChip()}
	for i := range r.cells {
		l := widget.NewLabel("")
		l.Truncation = fyne.TextTruncateEllipsis
		if i >= int(byArea) {
			l.Truncation, l.Alignment = fyne.TextTruncateOff, fyne.TextAlignTrailing
		}
		if i != int(byName) {
			l.SizeName = theme.SizeNameCaptionText
		}
		r.cells[i] = l
	}
	r.ExtendBaseWidget(r)
	return r
}

func (r *bedRow) set(l bedLine) {
	r.chip.SetStatus(l.status)
	for i, t := range []string{l.status.String(), l.name, l.area, l.nearest, l.farthest, l.share} {
		if r.cells[i].Text != t {
			r.cells[i].SetText(t)
		}
	}
}

// CreateRenderer lays the row in the columns of the list.
func (r *bedRow) CreateRenderer() fyne.WidgetRenderer {
	status := container.New(chipAndWord{}, r.chip, r.cells[0])
	row := container.New(bedColumns{}, status, r.cells[1], r.cells[2], r.cells[3], r.cells[4], r.cells[5])
	return widget.NewSimpleRenderer(row)
}

// bedColumns lays six objects in columns: all but the name have a fixed width.
type bedColumns struct{}

var bedWidths = [6]float32{76, 0, 60, 56, 60, 48}

const nameAtLeast = 90

func (bedColumns) MinSize(objects []fyne.CanvasObject) fyne.Size {
	s := fyne.NewSize(nameAtLeast, 0)
	for i, o := range objects {
		s.Width += bedWidths[i]
		s.Height = max(s.Height, o.MinSize().Height)
	}
	s.Height = min(s.Height, 26)
	return s
}

func (bedColumns) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	name := size.Width
	for _, w := range bedWidths {
		name -= w
	}
	x := float32(0)
	for i, o := range objects {
		w := bedWidths[i]
		if w == 0 {
			w = max(name, 0)
		}
		h := min(o.MinSize().Height, size.Height+8)
		o.Move(fyne.NewPos(x, (size.Height-h)/2))
		o.Resize(fyne.NewSize(w, h))
		x += w
	}
}

// chipAndWord puts a word close behind a chip.
type chipAndWord struct{}

func (chipAndWord) MinSize(o []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(o[0].MinSize().Width+o[1].MinSize().Width, max(o[0].MinSize().Height, o[1].MinSize().Height))
}

func (chipAndWord) Layout(o []fyne.CanvasObject, size fyne.Size) {
	c := o[0].MinSize()
	o[0].Move(fyne.NewPos(6, (size.Height-c.Height)/2))
	o[0].Resize(c)
	m := o[1].MinSize()
	o[1].Move(fyne.NewPos(4+c.Width, (size.Height-m.Height)/2))
	o[1].Resize(fyne.NewSize(max(size.Width-c.Width-2, 0), m.Height))
}
