//go:build linux

package window

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"

	"hedgereach/habitat/plan"
)

// said is all that the dialog in front says.
func said(w *Window) string {
	var b strings.Builder
	var walk func(o fyne.CanvasObject)
	walk = func(o fyne.CanvasObject) {
		switch o := o.(type) {
		case *widget.Label:
			b.WriteString(o.Text + "\n")
		case *container.Scroll:
			walk(o.Content)
		case *fyne.Container:
			for _, x := range o.Objects {
				walk(x)
			}
		case *widget.PopUp:
			walk(o.Content)
		}
	}
	if top := w.window.Canvas().Overlays().Top(); top != nil {
		walk(top)
	}
	return b.String()
}

// A place that takes no more saves, in its different ways, is told in words; the work stays open, unsaved and in the copy on disk, and
// can be saved as soon as the place is back.
func TestPlacesThatTakeNoSaves(t *testing.T) {
	for name, c := range map[string]struct {
		spoil, mend func(t *testing.T, dir string)
		says        string
	}{
		"a stick that was pulled out": {
			func(t *testing.T, dir string) { must(t, os.Rename(dir, dir+" gone")) },
			func(t *testing.T, dir string) { must(t, os.Rename(dir+" gone", dir)) },
			"no such file or directory; check that its folder exists",
		},
		"a disk that became read-only": {
			func(t *testing.T, dir string) {
				must(t, syscall.Mount("", dir, "", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""))
			},
			func(t *testing.T, dir string) { must(t, syscall.Mount("", dir, "", syscall.MS_REMOUNT, "")) },
			"read-only file system; save under another name",
		},
		"a disk that is full": {
			func(t *testing.T, dir string) {
				f, err := os.Create(filepath.Join(dir, "ballast"))
				must(t, err)
				for block := make([]byte, 4096); err == nil; {
					_, err = f.Write(block)
				}
				must(t, f.Close())
			},
			func(t *testing.T, dir string) { must(t, os.Remove(filepath.Join(dir, "ballast"))) },
			"no space left on device; check that its folder exists, that you may write there and that the disk has room",
		},
		"a file that is protected": {
			func(t *testing.T, dir string) { must(t, os.Chmod(filepath.Join(dir, "plot.hedgereach"), 0o444)) },
			func(t *testing.T, dir string) { must(t, os.Chmod(filepath.Join(dir, "plot.hedgereach"), 0o644)) },
			"this file is protected against writing",
		},
	} {
		t.Run(name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "garden")
			must(t, os.Mkdir(dir, 0o700))
			if strings.Contains(name, "disk") {
				if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=128k"); err != nil {
					t.Skip("no small disk can be had here: ", err)
				}
				defer func() { _ = syscall.Unmount(dir, syscall.MNT_DETACH) }()
			}
			path := filepath.Join(dir, "plot.hedgereach")
			must(t, plan.WriteFile(path, plan.New("Before")))
			w, folder := open(t), t.TempDir()
			w.guardIn(folder, func(f func()) { f() })
			w.openFile(path)
			rename(t, w, "After")
			c.spoil(t, dir)
			w.save()
			if len(w.open) != 1 || !strings.Contains(said(w), c.says) || !strings.Contains(said(w), "plot.hedgereach") {
				t.Errorf("%d dialogs; it says %q, want %q", len(w.open), said(w), c.says)
			}
			w.flush()
			if d := w.session.Document(); !d.Dirty() || d.Plan().Name != "After" || len(copiesIn(t, folder)) != 1 {
				t.Errorf("unsaved %v, %q, %d copies", d.Dirty(), d.Plan().Name, len(copiesIn(t, folder)))
			}
			w.escape()
			c.mend(t, dir)
			if p, err := plan.ReadFile(path); err != nil || p.Name != "Before" {
				t.Errorf("the file holds %v, %v", p, err)
			}
			w.save()
			w.flush()
			if p, err := plan.ReadFile(path); err != nil || p.Name != "After" || w.session.Document().Dirty() || len(copiesIn(t, folder)) != 0 {
				t.Errorf("once it is back: %v, %v, unsaved %v", p, err, w.session.Document().Dirty())
			}
			w.unguard()
		})
	}
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
