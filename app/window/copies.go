package window

import (
	"fmt"

	"github.com/google/uuid"

	"hedgereach/app/arrange"
	"hedgereach/habitat/plan"
)

// selected are the selected features of the committed plan, in plan order.
func (w *Window) selected() []*plan.Feature {
	var out []*plan.Feature
	for _, f := range w.session.Committed().Features {
		if w.session.Selected(f.ID) {
			out = append(out, f)
		}
	}
	return out
}

// besideM is how far a copy lands from what it was made of, in metres east and south, so that both are seen.
const besideM = 1

// duplicate puts a copy of what is selected beside it.
func (w *Window) duplicate() { w.add("duplicate", w.selected()) }

// copyFeatures puts what is selected on the clipboard, as text that any program can keep.
func (w *Window) copyFeatures() {
	if err := w.toClipboard(w.selected()); err != nil {
		w.complain(err)
	}
}

func (w *Window) toClipboard(fs []*plan.Feature) error {
	if len(fs) == 0 {
		return nil
	}
	text, err := plan.MarshalFeatures(fs)
	if err != nil {
		return fmt.Errorf("this cannot be copied: %w", err)
	}
	w.app.Clipboard().SetContent(string(text))
	if len(fs) == 1 {
		w.say("Copied 1 feature")
	} else {
		w.say("Copied " + count(len(fs)) + " features")
	}
	return nil
}

// cutFeatures copies what is selected and takes it off the ground; what cannot be copied stays.
func (w *Window) cutFeatures() {
	fs := w.selected()
	if len(fs) == 0 {
		return
	}
	if err := w.toClipboard(fs); err != nil {
		w.complain(err)
		return
	}
	w.board.DeleteSelection()
}

// pasteFeatures puts what the clipboard holds on the ground.
func (w *Window) pasteFeatures() {
	text := w.app.Clipboard().Content()
	fs, err := plan.ReadFeatures([]byte(text))
	if err != nil && w.board.PasteText(text) == nil { // GeoJSON, from another program
		w.say(w.board.Hint())
		return
	}
	if err != nil {
		w.complain(fmt.Errorf("the clipboard holds no features that can be put here: %w", err))
		return
	}
	w.add("paste", fs)
}

// add puts copies with ids of their own on the ground, as one step of the history, and selects them.
func (w *Window) add(step string, fs []*plan.Feature) {
	if len(fs) == 0 {
		return
	}
	p := w.session.Committed().Clone()
	var ids []string
	for _, f := range fs {
		c := arrange.Moved(f, besideM, -besideM)
		c.ID = uuid.NewString()
		c.Name = arrange.CopyName(p, c.Name)
		p.Features = append(p.Features, c)
		ids = append(ids, c.ID)
	}
	name := step + " " + count(len(fs)) + " features"
	if len(fs) == 1 {
		name = step + " " + fs[0].Name
	}
	if err := w.session.Commit(name, p); err != nil {
		w.complain(err)
		return
	}
	w.session.Select(ids...)
}
