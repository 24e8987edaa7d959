package window

import (
	"errors"
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/document"
	"hedgereach/app/fields"
	"hedgereach/app/recovery"
	"hedgereach/app/session"
)

// A guard keeps the work of a window from being lost: to a crash, or to another window with the same plan.
type guard struct {
	folder string           // where copies and locks are; "" where nothing is guarded
	keeper *recovery.Keeper // of the recovery copy; nil where none is kept
	lock   *recovery.Lock   // on the open plan's file
}

// guardIn keeps a recovery copy of unsaved work in the folder from now on, claims the open plan's file, and offers what programs
// that were cut off left there. Without a folder that can be written the work goes on unguarded, and the foot says so.
func (w *Window) guardIn(folder string, dispatch func(func())) {
	say := func(err error) { dispatch(func() { w.say("No recovery copy is kept: " + err.Error()) }) }
	k, err := recovery.NewKeeper(folder, w.app.Metadata().Version, say)
	if err != nil {
		say(err)
		return
	}
	w.guard = guard{folder: folder, keeper: k}
	w.session.Observe(func(what session.What) {
		if what&(session.PlanChanged|session.FileChanged) == 0 {
			return
		}
		if d := w.session.Document(); d.Dirty() {
			k.Keep(recovery.Work{Plan: w.session.Committed(), Path: d.Path(), Stamp: d.Stamp()})
		} else {
			k.Forget()
		}
	})
	recovery.OnCaught(func(fault any, stack []byte) {
		r := recovery.Note(folder, w.app.Metadata().Version, fault, stack)
		dispatch(func() {
			w.say(strings.TrimSpace("A part of the program failed; your plan is as it was. " + whereNoted(r)))
		})
	})
	w.hear(session.FileChanged)
	found := recovery.Find(folder)
	w.tellFault(recovery.Reports(folder), func() { w.offer(found) })
}

// tellFault says that the program ended by a fault, if it did, and goes on once that is read.
func (w *Window) tellFault(reports []recovery.Report, then func()) {
	if len(reports) == 0 {
		then()
		return
	}
	r := reports[len(reports)-1]
	words := "The program ended by a fault of its own on " + r.When.Format("2 January 2006 at 15:04:05") + "."
	w.remarkThen(strings.TrimSpace(words+"\n\n"+whereNoted(r)), then)
}

func whereNoted(r recovery.Report) string {
	if r.File == "" {
		return ""
	}
	return "What led to it is noted in " + r.File + ". The note names neither your plan nor you, and is sent nowhere."
}

// remark says something about the start in a window of its own, if there is something to say.
func (w *Window) remark(words string) {
	if words != "" {
		w.remarkThen(words, func() {})
	}
}

func (w *Window) remarkThen(words string, then func()) {
	text := widget.NewLabel(words)
	text.Wrapping = fyne.TextWrapWord
	d := dialog.NewCustomWithoutButtons("At the start", text, w.window)
	ok := fields.NewButton("Close", w.calmly(d.Dismiss))
	d.SetButtons([]fyne.CanvasObject{ok})
	d.Resize(fyne.NewSize(min(560, w.window.Canvas().Size().Width-40), 0))
	w.putThen(d, then)
	w.window.Canvas().Focus(ok)
}

// claim takes the open plan's file for this window. Where another window has it, the plan can only be read here.
func (w *Window) claim() {
	d := w.session.Document()
	if w.guard.folder == "" || d.ReadOnly() && !d.Partial() || w.guard.lock.On(w.guard.folder, d.Path()) {
		return
	}
	w.guard.lock.Release()
	w.guard.lock = nil
	if d.Path() == "" {
		return
	}
	lock, err := recovery.Claim(w.guard.folder, d.Path())
	w.guard.lock = lock
	d.SetReadOnly(errors.Is(err, recovery.ErrHeld))
}

// heldElsewhere tells whether another window has a file open.
func (w *Window) heldElsewhere(path string) bool {
	if w.guard.folder == "" || w.guard.lock.On(w.guard.folder, path) {
		return false
	}
	lock, err := recovery.Claim(w.guard.folder, path)
	lock.Release()
	return errors.Is(err, recovery.ErrHeld)
}

// tellReadOnly says why the open plan cannot be saved to its file, if it cannot.
func (w *Window) tellReadOnly() {
	d := w.session.Document()
	if !d.ReadOnly() {
		return
	}
	why := "is open in another window."
	if d.Partial() {
		why = "was written by a newer version of the program, and not all of it can be shown here: it was read with remarks. " +
			"What is not shown is kept."
	}
	text := widget.NewLabel("“" + d.Title() + "” " + why + " Here it can be read; to save what you change, you will be asked for another name.")
	text.Wrapping = fyne.TextWrapWord
	w.tell("Read-only", text, 480, 160)
}

// offer asks what to do with each piece of work that was left behind, the newest first.
func (w *Window) offer(found []recovery.Found) {
	if len(found) == 0 {
		return
	}
	f, rest := found[0], found[1:]
	words := f.Words() + "."
	if f.Newer() {
		words += " The file was written since then: saving will ask before it overwrites that."
	}
	text := widget.NewLabel("The program was cut off before this was saved.\n\n" + words)
	text.Wrapping = fyne.TextWrapWord
	content := fyne.CanvasObject(text)
	if picture := picture(f.Plan); picture != nil {
		content = container.NewBorder(nil, nil, picture, nil, text)
	}
	d := dialog.NewCustomWithoutButtons("Work that was not saved", content, w.window)
	chosen := false
	choice := func(do func()) func() {
		return func() {
			chosen = true
			w.calmly(d.Hide)()
			do()
		}
	}
	discard := func() {
		if err := f.Discard(); err != nil {
			w.complain(err)
		}
	}
	later := func() {
		f.Later()
		w.offer(rest)
	}
	yes := fields.NewButton("Recover", choice(func() {
		w.leave(func() {
			w.session.SetDocument(document.Recovered(f.Plan, f.Path, f.Stamp))
			if w.guard.keeper == nil {
				discard()
			} else if err := w.guard.keeper.TakeOver(f); err != nil { // this window's own copy is on disk before the old one goes
				w.complain(err)
			}
			w.tellReadOnly()
			w.offer(rest)
		})
	}))
	yes.Importance = widget.HighImportance
	d.SetButtons([]fyne.CanvasObject{
		fields.NewButton("Later", choice(later)),
		fields.NewButton("Discard", choice(func() { discard(); w.offer(rest) })), yes})
	d.Resize(fyne.NewSize(min(680, w.window.Canvas().Size().Width-40), 0))
	w.putThen(d, func() {
		if !chosen { // Escape decides nothing
			later()
		}
	})
	w.window.Canvas().Focus(yes)
}

// unguard ends the keeping; a copy of work that is still unsaved stays for the next start.
func (w *Window) unguard() {
	if w.guard.keeper != nil {
		w.guard.keeper.Close()
	}
	w.guard.lock.Release()
	w.guard = guard{}
}

// flush waits until the recovery copy is on disk, so that a save that is cut off leaves nothing older than itself.
func (w *Window) flush() {
	if w.guard.keeper != nil {
		w.guard.keeper.Flush()
	}
}

// keepFor has unsaved work kept as that of a file, before it is written there: where the save is cut off once the file is written,
// the copy is known to say the same and not offered.
func (w *Window) keepFor(path, stamp string) {
	if w.guard.keeper != nil && w.session.Document().Dirty() {
		w.guard.keeper.Keep(recovery.Work{Plan: w.session.Committed(), Path: path, Stamp: stamp})
	}
}

// giveUp forgets the recovery copy: the grower chose to leave without saving.
func (w *Window) giveUp() {
	if w.guard.keeper != nil {
		w.guard.keeper.Forget()
	}
}
