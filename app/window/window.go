// Package window is the program's one window: the ground in the middle, the season below it, the panes beside it, the menus,
// the keys and the dialogs. It puts parts together and asks questions; it measures nothing and draws nothing itself.
package window

import (
	"fmt"
	"os"
	"runtime"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/board"
	"hedgereach/app/browser"
	"hedgereach/app/document"
	"hedgereach/app/fields"
	"hedgereach/app/own"
	"hedgereach/app/panes"
	"hedgereach/app/proposals"
	"hedgereach/app/recovery"
	"hedgereach/app/session"
	"hedgereach/app/skin"
	"hedgereach/app/strip"
	"hedgereach/app/year"
	"hedgereach/data"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// A Window is the program's window on one session.
type Window struct {
	app     fyne.App
	window  fyne.Window
	session *session.Session
	// dispatch runs a function on the toolkit's goroutine.
	dispatch func(func())

	board    *board.Board
	strip    *strip.Strip
	year     *year.View
	beds     *panes.Beds
	findings *panes.Findings
	feature  *panes.Feature
	browser  *browser.Browser
	all      *panes.All
	suggest  *proposals.Pane

	tools    *toolRow
	ask      *askRow
	views    []*fields.Word // the headings over the panes
	panes    []fyne.CanvasObject
	pane     int             // the one in front
	asking   *fyne.Container // a form in place of the panes
	status   *widget.Label
	own      *own.Book // the grower's own catalogue
	menu     menu
	guard    guard
	question *question       // the form that is being answered; nil for none
	open     []dialog.Dialog // dialogs that Escape closes, the last one in front
}

// Display tells why no window can be shown here; nil where one can.
func Display() error {
	if runtime.GOOS == "linux" && os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
		return fmt.Errorf("there is no display here to show a window on: set DISPLAY, or use hedgereach check and hedgereach sheet")
	}
	return nil
}

// Open shows a window on the plan in the file; "" opens an empty plan. It answers an error where the file cannot be read. Remarks
// are what else the grower should hear of the start, "" for nothing.
func Open(a fyne.App, path string, remarks ...string) error {
	d := document.New(plan.New(""))
	if path != "" {
		var err error
		if d, err = document.Open(path); err != nil {
			return err
		}
	}
	return show(a, d, remarks)
}

// OpenSample shows a window on the sample garden.
func OpenSample(a fyne.App, remarks ...string) error {
	d, err := sample()
	if err != nil {
		return err
	}
	return show(a, d, remarks)
}

func show(a fyne.App, d *document.Document, remarks []string) error {
	c, err := data.Load()
	if err != nil {
		return err
	}
	w := New(a, session.New(c, d), fyne.Do)
	w.window.Show()
	w.window.Canvas().Focus(w.board)
	w.board.Fit()
	w.openOwn()
	folder, err := recovery.Folder()
	if err != nil {
		w.say(err.Error())
	} else {
		w.guardIn(folder, fyne.Do)
	}
	w.tellReadOnly()
	w.tellNotes()
	for _, r := range remarks {
		w.remark(r)
	}
	return nil
}

// Preferences: settings only, never work.
const (
	lightKey  = "light"
	widthKey  = "width"
	heightKey = "height"
)

// New is a window on a session, not shown yet. Dispatch runs a function on the toolkit's goroutine.
func New(a fyne.App, s *session.Session, dispatch func(func())) *Window {
	w := &Window{app: a, session: s, dispatch: dispatch}
	a.Settings().SetTheme(&skin.Theme{Light: skin.Light(a.Preferences().StringWithFallback(lightKey, string(skin.Day)))})
	w.window = a.NewWindow("Hedgereach")
	w.status = widget.NewLabel("")
	w.status.Truncation = fyne.TextTruncateEllipsis
	w.own, _ = own.Open(s.Given(), "") // until the file is read
	s.KeepSeason(dispatch)
	w.board = board.New(s, dispatch)
	w.strip = strip.New(s, dispatch)
	w.year = year.New(s)
	w.year.OnClose = w.showGround
	w.beds, w.findings = panes.NewBeds(s, dispatch), panes.NewFindings(s, dispatch)
	w.feature = panes.NewFeature(s, dispatch, w.reject)
	w.browser = browser.New(s, w.reject)
	w.all = panes.NewAll(s, dispatch)
	w.suggest = proposals.New(s, dispatch)
	w.suggest.Ghosts, w.suggest.Say = w.board.SetGhosts, w.say
	w.suggest.Open = func(title string, endings []string, take func(string) error) {
		newFileChooser(w, title, "Open", w.folder(), "", endings, func(path string) {
			if err := take(path); err != nil {
				w.complain(err)
			}
		}).show()
	}
	w.tools = newToolRow(w.board.Tools(), w.chooseTool, w.draw, w.widthField())
	w.loadWidth()
	w.ask = newAskRow(w.window, s, w.put, w.reject)
	w.browser.At, w.browser.Say = w.board.At, w.say
	w.board.OnHint, w.board.OnToolChanged, w.board.OnMenu = w.say, w.tools.show, w.showMenu

	w.window.SetContent(w.layout())
	w.menu = w.buildMenu()
	w.window.SetMainMenu(w.menu.main)
	w.addKeys()
	w.window.SetCloseIntercept(w.quit)
	w.window.SetOnDropped(w.dropped)
	w.window.SetMaster()
	w.window.Resize(fyne.NewSize(float32(a.Preferences().FloatWithFallback(widthKey, 1360)),
		float32(a.Preferences().FloatWithFallback(heightKey, 860))))
	a.Lifecycle().SetOnStopped(func() {
		w.keepSize()
		w.unguard()
	})
	s.Observe(w.hear)
	w.tools.show(w.board.Tool())
	w.showPane(0)
	w.hear(session.FileChanged | session.PlanChanged)
	return w
}

func (w *Window) keepSize() {
	size := w.window.Canvas().Size()
	w.app.Preferences().SetFloat(widthKey, float64(size.Width))
	w.app.Preferences().SetFloat(heightKey, float64(size.Height))
}

// layout puts the ground in the middle, the largest; tools above, the season below, one pane beside.
func (w *Window) layout() fyne.CanvasObject {
	heads := container.New(sideBySide{})
	for i, name := range []string{"Beds", "Findings", "Feature", "Plants", "All", "Suggest"} {
		h := fields.NewWord(name, "", func() { w.showPane(i) })
		w.views = append(w.views, h)
		heads.Add(h)
	}
	w.panes = []fyne.CanvasObject{w.beds, w.findings, w.feature, w.browser, w.all, w.suggest}
	w.asking = container.NewStack()
	w.asking.Hide()
	side := container.NewBorder(container.NewVBox(heads, widget.NewSeparator()), nil, nil, nil,
		container.NewStack(append(slices.Clone(w.panes), w.asking)...))
	ground := container.NewBorder(nil, w.strip, nil, nil, container.NewStack(w.board, w.year))
	split := container.NewHSplit(ground, side)
	split.Offset = 0.68
	top := container.NewVBox(container.New(apart{}, w.tools.row, w.ask.row), widget.NewSeparator())
	w.status.SizeName = theme.SizeNameCaptionText
	foot := container.NewVBox(widget.NewSeparator(), w.status)
	return container.NewBorder(top, foot, nil, nil, split)
}

// showPane brings one of the panes to the front.
func (w *Window) showPane(at int) {
	w.pane = at
	w.closeForm()
	for i, p := range w.panes {
		w.views[i].SetOn(i == at)
		if i == at {
			p.Show()
		} else {
			p.Hide()
		}
	}
}

// showYear puts a chart of the year in the place of the ground; the one that is shown already gives way to the ground.
func (w *Window) showYear(k year.Kind) {
	if !w.year.Hidden && w.year.Kind() == k {
		w.showGround()
		return
	}
	w.board.Hide()
	w.year.Open(k)
	w.window.Canvas().Focus(w.year.Sheet())
}

// showGround puts the ground back in its place.
func (w *Window) showGround() {
	w.year.Hide()
	w.board.Show()
	w.window.Canvas().Unfocus()
}

// searchPlants opens the catalogue's pane ready to type in.
func (w *Window) searchPlants() {
	w.showPane(3)
	w.window.Canvas().Focus(w.browser.Search())
}

// listAll opens the list of all features ready to search.
func (w *Window) listAll() {
	w.showPane(4)
	w.window.Canvas().Focus(w.all.Search())
}

// hear keeps title, menus and headings in step with the session.
func (w *Window) hear(what session.What) {
	if what&(session.PlanChanged|session.SelectionChanged) != 0 {
		w.closeForm() // it was about something before
	}
	if what&(session.FileChanged|session.PlanChanged) != 0 {
		w.claim()
		if t := title(w.session.Document()); t != w.window.Title() {
			w.window.SetTitle(t)
		}
		w.menu.update(w.session.Document())
		w.loadWidth() // the units may be others
	}
	if what&(session.PlanChanged|session.SelectionChanged) != 0 {
		w.say(w.board.Hint()) // what the foot said was of something before
	}
	if what&(session.PlanChanged|session.AskChanged|session.SeasonChanged) != 0 {
		w.views[1].SetText(headOfFindings(w.findings.Count()))
	}
}

func headOfFindings(n int) string {
	if n == 0 {
		return "Findings"
	}
	return fmt.Sprintf("Findings (%d)", n)
}

// title is the window's title: what is open, a star while it is not saved, whether it can only be read, and the program.
func title(d *document.Document) string {
	t := d.Title()
	if d.Dirty() {
		t += "*"
	}
	if d.ReadOnly() {
		t += " (read-only)"
	}
	return t + " – Hedgereach"
}

// put shows a dialog, which Escape closes.
func (w *Window) put(d dialog.Dialog) { w.putThen(d, func() {}) }

// putThen shows a dialog as put does, and does something once it is closed.
func (w *Window) putThen(d dialog.Dialog, then func()) {
	w.open = append(w.open, d)
	d.SetOnClosed(func() {
		w.open = slices.DeleteFunc(w.open, func(x dialog.Dialog) bool { return x == d })
		then()
	})
	d.Show()
}

// calmly closes a dialog once nothing in it has the focus: the caret of a field in a closed one would go on blinking, and keep the
// processor awake.
func (w *Window) calmly(hide func()) func() {
	return func() {
		w.window.Canvas().Unfocus()
		hide()
	}
}

// escape closes the dialog in front, or the form that is being answered; it answers whether there was one.
func (w *Window) escape() bool {
	if len(w.open) == 0 {
		asked := w.question != nil
		w.closeForm()
		return asked
	}
	w.calmly(w.open[len(w.open)-1].Dismiss)()
	return true
}

// say shows a line at the foot of the window.
func (w *Window) say(text string) {
	if w.status.Text != text {
		w.status.SetText(text)
	}
}

// reject says at the foot why something typed was not taken; the field is marked and keeps the words for mending.
func (w *Window) reject(err error) { w.say(err.Error()) }

// chooseTool takes a tool in hand; the keys go to the ground from then on.
func (w *Window) chooseTool(name string) {
	w.board.SetTool(name)
	w.window.Canvas().Focus(w.board)
}

// draw says what the drawing tools draw.
func (w *Window) draw(k plan.Kind) {
	w.board.SetKind(k)
	w.loadWidth()
	w.window.Canvas().Focus(w.board)
}

// Widths of strips lie between these, in metres.
const (
	leastWidth = 0.05
	mostWidth  = 500
)

// widthField is the field for the width of the strips that are drawn.
func (w *Window) widthField() *fields.Entry {
	e := fields.NewLength(func() length.System { return panes.System(w.session) }, leastWidth, mostWidth, func(m float64) error {
		w.board.SetWidth(m)
		return nil
	})
	e.Complain = w.reject
	return e
}

// loadWidth shows the width for the kind in use.
func (w *Window) loadWidth() {
	w.tools.width.Load(length.Format(w.board.Width(), panes.System(w.session)))
}
