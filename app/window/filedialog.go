package window

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/fields"
)

// A fileChooser asks for a file: a folder that can be walked through, its files, and a line for the name. It opens and writes
// nothing itself, so that whoever asked can write beside the old file and swap, and a file that is in the way is never
// emptied before the new one is whole.
type fileChooser struct {
	window  fyne.Window
	title   string
	verb    string   // "Open", "Save"
	endings []string // of files to list; the first is added to a name without one
	saving  bool
	put     func(dialog.Dialog)
	calmly  func(hide func()) func()
	taken   func(path string)

	folder string
	rows   []fileRow
	path   *fields.Entry
	name   *fields.Entry
	list   *fields.List
	says   *widget.Label
	dialog *dialog.CustomDialog
}

type fileRow struct {
	name   string
	folder bool
}

// newFileChooser prepares to ask. The folder is where it begins, the name what it proposes.
func newFileChooser(w *Window, title, verb, folder, name string, endings []string, taken func(string)) *fileChooser {
	c := &fileChooser{window: w.window, put: w.put, calmly: w.calmly, title: title, verb: verb, endings: endings, saving: verb != "Open",
		taken: taken}
	c.path = fields.NewEntry(func(t string) error { return c.enter(t) })
	c.name = fields.NewEntry(nil)
	c.name.Load(name)
	c.name.OnSubmitted = func(string) { c.accept() }
	c.name.Leave = func() { c.calmly(c.dialog.Dismiss)() }
	c.path.Leave = c.name.Leave
	c.says = widget.NewLabel("")
	c.says.Importance = widget.WarningImportance
	c.says.Wrapping = fyne.TextWrapWord
	c.path.Complain = func(err error) { c.says.SetText(err.Error()) }
	c.list = fields.NewList(func() int { return len(c.rows) },
		func() fyne.CanvasObject {
			return container.NewHBox(widget.NewIcon(theme.FolderIcon()), widget.NewLabel(""))
		},
		func(i widget.ListItemID, o fyne.CanvasObject) {
			row := o.(*fyne.Container)
			icon := theme.FileIcon()
			if c.rows[i].folder {
				icon = theme.FolderIcon()
			}
			row.Objects[0].(*widget.Icon).SetResource(icon)
			row.Objects[1].(*widget.Label).SetText(c.rows[i].name)
		})
	c.list.OnSelected = func(i widget.ListItemID) { c.pick(c.rows[i]) }
	if err := c.enter(folder); err != nil {
		home, _ := os.UserHomeDir()
		_ = c.enter(home)
	}
	return c
}

// show asks.
func (c *fileChooser) show() {
	up := fields.NewButton("Up", func() { _ = c.enter(filepath.Dir(c.folder)) })
	head := container.NewBorder(nil, nil, widget.NewLabel("Folder"), up, c.path)
	foot := container.NewVBox(container.NewBorder(nil, nil, widget.NewLabel("Name"), nil, c.name), c.says)
	c.dialog = dialog.NewCustomWithoutButtons(c.title, container.NewBorder(head, foot, nil, nil, c.list), c.window)
	ok := fields.NewButton(c.verb, c.accept)
	ok.Importance = widget.HighImportance
	c.dialog.SetButtons([]fyne.CanvasObject{fields.NewButton("Cancel", c.calmly(c.dialog.Dismiss)), ok})
	size := c.window.Canvas().Size()
	c.dialog.Resize(fyne.NewSize(min(640, size.Width-40), min(520, size.Height-40)))
	c.put(c.dialog)
	c.window.Canvas().Focus(c.name)
	c.name.TypedShortcut(&fyne.ShortcutSelectAll{})
}

// enter lists a folder. Of a path that names a file, it lists the folder and proposes the name.
func (c *fileChooser) enter(path string) error {
	path, err := filepath.Abs(path)
	if err != nil {
		return err
	}
	if info, err := os.Stat(path); err == nil && !info.IsDir() {
		c.name.SetText(filepath.Base(path))
		path = filepath.Dir(path)
	}
	found, err := os.ReadDir(path)
	if err != nil {
		return fmt.Errorf("%s cannot be listed: %w: choose another folder", path, reason(err))
	}
	c.folder, c.rows = path, c.rows[:0]
	for _, e := range found {
		info, err := os.Stat(filepath.Join(path, e.Name())) // follows links, so that a linked folder can be entered
		if err != nil || strings.HasPrefix(e.Name(), ".") {
			continue
		}
		if info.IsDir() || c.ends(e.Name()) {
			c.rows = append(c.rows, fileRow{e.Name(), info.IsDir()})
		}
	}
	slices.SortFunc(c.rows, func(a, b fileRow) int {
		if a.folder != b.folder {
			if a.folder {
				return -1
			}
			return 1
		}
		return strings.Compare(strings.ToLower(a.name), strings.ToLower(b.name))
	})
	c.path.Load(path)
	c.path.SetText(path)
	c.says.SetText("")
	c.list.UnselectAll()
	c.list.Top()
	c.list.Refresh()
	return nil
}

func (c *fileChooser) ends(name string) bool {
	return slices.ContainsFunc(c.endings, func(e string) bool { return strings.EqualFold(filepath.Ext(name), e) })
}

func (c *fileChooser) pick(r fileRow) {
	if r.folder {
		if err := c.enter(filepath.Join(c.folder, r.name)); err != nil {
			c.says.SetText(err.Error())
		}
		return
	}
	c.name.SetText(r.name)
}

// chosen is the path that the folder and the name make, with an ending where the name has none.
func (c *fileChooser) chosen() (string, error) {
	name := strings.TrimSpace(c.name.Text)
	if name == "" {
		return "", errors.New("the file has no name yet: write one, or choose one in the list")
	}
	path := name
	if !filepath.IsAbs(path) {
		path = filepath.Join(c.folder, name)
	}
	info, err := os.Stat(path)
	switch {
	case err == nil && info.IsDir():
		return "", c.enterNamed(path)
	case c.saving && !c.ends(path):
		path += c.endings[0]
	case !c.saving && err != nil:
		return "", fmt.Errorf("%s is not there: choose a file in the list", path)
	}
	if !c.saving {
		return path, nil
	}
	if dir, err := os.Stat(filepath.Dir(path)); err != nil || !dir.IsDir() {
		return "", fmt.Errorf("the folder %s is not there: choose another", filepath.Dir(path))
	}
	return path, nil
}

// enterNamed goes into a folder whose name was typed as if it were a file.
func (c *fileChooser) enterNamed(path string) error {
	if err := c.enter(path); err != nil {
		return err
	}
	c.name.SetText("")
	return errors.New("that is a folder: it is listed now, choose a file in it")
}

// accept hands the path over. A file that is there already is replaced only after a question: undo cannot bring it back.
func (c *fileChooser) accept() {
	if strings.TrimSpace(c.path.Text) != c.folder { // typed, and not entered yet
		if err := c.enter(strings.TrimSpace(c.path.Text)); err != nil {
			c.says.SetText(err.Error())
			return
		}
	}
	path, err := c.chosen()
	if err != nil {
		c.says.SetText(err.Error())
		return
	}
	hand := func() {
		c.calmly(c.dialog.Hide)()
		c.taken(path)
	}
	if _, err := os.Stat(path); c.saving && err == nil {
		d := dialog.NewConfirm("Replace the file?", filepath.Base(path)+" is there already.", func(yes bool) {
			if yes {
				hand()
			}
		}, c.window)
		d.SetConfirmText("Replace")
		d.SetDismissText("Cancel")
		c.put(d)
		return
	}
	hand()
}

// reason is the bare cause of a file error; the path is named by whoever words it.
func reason(err error) error {
	var p *os.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}
