package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"

	"hedgereach/app/document"
	"hedgereach/app/recovery"
	"hedgereach/app/session"
)

// guard keeps a recovery copy of unsaved work in the folder from now on, and offers what programs that were cut off left there.
// Without a folder that can be written the work goes on unguarded, and the foot says so.
func (w *Window) guard(folder string, dispatch func(func())) {
	say := func(err error) { dispatch(func() { w.say("No recovery copy is kept: " + err.Error()) }) }
	k, err := recovery.NewKeeper(folder, say)
	if err != nil {
		say(err)
		return
	}
	w.keeper = k
	w.session.Observe(func(what session.What) {
		if what&(session.PlanChanged|session.FileChanged) == 0 {
			return
		}
		if d := w.session.Document(); d.Dirty() {
			k.Keep(w.session.Committed(), d.Path())
		} else {
			k.Forget()
		}
	})
	w.offer(recovery.Find(folder))
}

// offer asks what to do with each piece of work that was left behind, the newest first.
func (w *Window) offer(found []recovery.Found) {
	if len(found) == 0 {
		return
	}
	f, rest := found[0], found[1:]
	words := f.Words() + "."
	if f.Newer() {
		words += " The file was written since then: recovered, the plan will ask for a new name."
	}
	text := widget.NewLabel("The program was cut off before this was saved.\n\n" + words)
	text.Wrapping = fyne.TextWrapWord
	d := dialog.NewCustomWithoutButtons("Work that was not saved", text, w.window)
	choice := func(do func()) func() {
		return func() {
			d.Hide()
			do()
		}
	}
	discard := func() {
		if err := f.Discard(); err != nil {
			w.complain(err)
		}
	}
	yes := widget.NewButton("Recover", choice(func() {
		w.leave(func() {
			path := f.Path
			if f.Newer() {
				path = ""
			}
			w.session.SetDocument(document.Recovered(f.Plan, path))
			if w.keeper != nil { // this window's own copy is on disk before the old one goes
				w.keeper.Flush()
			}
			discard()
			w.offer(rest)
		})
	}))
	yes.Importance = widget.HighImportance
	d.SetButtons([]fyne.CanvasObject{
		widget.NewButton("Later", choice(func() { w.offer(rest) })),
		widget.NewButton("Discard", choice(func() { discard(); w.offer(rest) })), yes})
	d.Resize(fyne.NewSize(min(560, w.window.Canvas().Size().Width-40), 0))
	w.put(d)
	w.window.Canvas().Focus(yes)
}

// unguard ends the keeping; a copy of work that is still unsaved stays for the next start.
func (w *Window) unguard() {
	if w.keeper != nil {
		w.keeper.Close()
	}
}

// giveUp forgets the recovery copy: the grower chose to leave without saving.
func (w *Window) giveUp() {
	if w.keeper != nil {
		w.keeper.Forget()
	}
}
