// Command screenshots takes the pictures of the README from the real program: it drives the window on the sample garden on a
// screen in memory, and turns pages of the plot map into pictures. Run it as make screenshots, at the module's root.
package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"time"

	"hedgereach/app/endtoend"
)

const folder = "screenshots"

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "screenshots:", err)
		os.Exit(1)
	}
}

func run() error {
	dir, err := os.MkdirTemp("", "hedgereach-pictures-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	bin, err := endtoend.Build(dir)
	if err != nil {
		return err
	}
	if err := window(bin); err != nil {
		return err
	}
	return pages(bin, dir)
}

// window takes the pictures of the window: the reach of any refuge, suggestions, a finding shown, a hedgerow with its plants, and
// the charts of the year.
func window(bin string) error {
	ctx, cancel := context.WithTimeout(context.Background(), 3*time.Minute)
	defer cancel()
	w, err := endtoend.Start(ctx, 1440, 900, bin, "--sample")
	if err != nil {
		return err
	}
	defer w.Close()
	w.Wait(2 * time.Second)
	steps := []struct {
		do      func() error
		picture string
	}{
		{func() error { return w.Key("ctrl+1") }, "window.png"},
		{func() error {
			if err := w.Key("ctrl+6"); err != nil {
				return err
			}
			w.Wait(time.Second)
			if err := w.Click(1149, 453); err != nil { // Look
				return err
			}
			w.Wait(15 * time.Second)
			return nil
		}, "suggest.png"},
		{func() error {
			if err := w.Key("ctrl+2"); err != nil {
				return err
			}
			return w.Click(1200, 190)
		}, "finding.png"},
		{func() error {
			if err := w.Key("ctrl+0"); err != nil {
				return err
			}
			w.Wait(time.Second)
			if err := w.Click(78, 518); err != nil { // the west hedge
				return err
			}
			return w.Key("ctrl+3")
		}, "feature.png"},
		{func() error { return w.Key("ctrl+F9") }, "calendar.png"},
		{func() error { return w.Key("ctrl+F8") }, "bloom.png"},
	}
	for _, s := range steps {
		if err := s.do(); err != nil {
			return err
		}
		w.Wait(1500 * time.Millisecond)
		if err := w.Picture(filepath.Join(folder, s.picture)); err != nil {
			return err
		}
	}
	return nil
}

// pages turns the sample's maps and its first list into pictures.
func pages(bin, dir string) error {
	pdf, grey, lists := filepath.Join(dir, "maps.pdf"), filepath.Join(dir, "grey.pdf"), filepath.Join(dir, "lists.pdf")
	sample := filepath.Join("data", "sample", "community-garden.hedgereach")
	draw := func(out string, more ...string) []string {
		return append([]string{bin, "sheet", sample, "-o", out, "--own", "none", "--paper", "a3", "--author", "R. Alder", "--guild", "ground-beetles"}, more...)
	}
	page := func(pdf, n, dpi, name string) []string {
		return []string{"pdftoppm", "-r", dpi, "-png", "-f", n, "-l", n, "-singlefile", pdf, filepath.Join(folder, name)}
	}
	for _, c := range [][]string{
		draw(pdf, "--on", "06-01", "--sheets", "plot-map,reach-map,flower-map"),
		page(pdf, "1", "90", "plot-map"), page(pdf, "2", "90", "reach-map"), page(pdf, "3", "90", "flower-map"),
		draw(grey, "--grey", "--sheets", "plot-map"), page(grey, "1", "90", "plot-map-grey"),
		draw(lists, "--sheets", "lists"), page(lists, "1", "70", "lists"),
	} {
		if out, err := exec.Command(c[0], c[1:]...).CombinedOutput(); err != nil {
			return fmt.Errorf("%s: %w: %s", c[0], err, out)
		}
	}
	return nil
}
