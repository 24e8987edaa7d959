package command

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"

	"hedgereach/app/own"
	"hedgereach/data"
	"hedgereach/habitat"
)

// noOwn asks for the built-in catalogue alone.
const noOwn = "none"

// ownFlag adds the option that names a personal catalogue.
func ownFlag(fs *flag.FlagSet) *string { return fs.String("own", "", "") }

// catalogue is the built-in catalogue with the grower's own entries before it: those of the file named, else those that the window
// uses too, so that both measure alike. What a plan keeps of its own is laid over it when the plan is measured. Stderr hears that
// there are own entries, since without them the same plan may come out otherwise; it may be nil.
func catalogue(file string, stderr io.Writer) (*data.Catalogue, error) {
	c, err := data.Load()
	if err != nil || file == noOwn {
		return c, err
	}
	path := file
	if path == "" {
		if path, err = own.File(); err != nil {
			return c, nil // no settings folder, so nothing of one's own
		}
	}
	p, err := entries(path, stderr)
	if file == "" && errors.Is(err, fs.ErrNotExist) {
		return c, nil
	}
	var merged *data.Catalogue
	if err == nil {
		merged, err = data.Merge(c, p)
	}
	switch {
	case err != nil && file == "":
		return nil, fmt.Errorf("your own plants and ranges (%s) cannot be used: %w; mend them, or go without by --own none", path, err)
	case err != nil:
		return nil, err
	case stderr != nil && len(p.Entries) > 0:
		entries := "entries"
		if len(p.Entries) == 1 {
			entries = "entry"
		}
		fmt.Fprintf(stderr, "hedgereach: note: %d own %s of %s before the catalogue\n", len(p.Entries), entries, path)
	}
	return merged, nil
}

// entries reads a personal catalogue, or what a plan keeps of its own.
func entries(path string, stderr io.Writer) (*data.Personal, error) {
	if !slices.Contains([]string{".hedgereach", ".geojson", ".json"}, strings.ToLower(filepath.Ext(path))) {
		return data.LoadPersonal(path)
	}
	if stderr == nil {
		stderr = io.Discard
	}
	p, err := read(path, stderr)
	if err != nil {
		return nil, err
	}
	return data.InPlan(habitat.OwnEntries(p)), nil
}
