// Package own keeps a grower's own catalogue, the plants, crops and ranges that were added or changed, in a file in the user's
// settings folder, beside no plan: it holds for every plan on this computer. It knows no window.
package own

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"hedgereach/data"
)

// File is where this user's own catalogue is kept.
func File() (string, error) {
	base, err := os.UserConfigDir()
	if err != nil {
		return "", fmt.Errorf("no folder for your own plants: %w", err)
	}
	return filepath.Join(base, "hedgereach", "own-catalogue.csv"), nil
}

// A Book is the own catalogue over the one that comes with the program.
type Book struct {
	path    string
	base    *data.Catalogue
	own     *data.Personal
	merged  *data.Catalogue
	blocked error // why the file can be neither read nor replaced
}

// Open reads the file; one that is not there yet is an empty catalogue. A file that cannot be understood is set aside under
// another name and an empty one begun: then, and where the file cannot be read at all, the error says so, and the Book holds the
// program's catalogue alone.
func Open(base *data.Catalogue, path string) (*Book, error) {
	b := &Book{path: path, base: base, own: &data.Personal{File: filepath.Base(path)}, merged: base}
	if path == "" {
		b.blocked = errors.New("there is no folder to keep your own plants in: set HOME and start again")
		return b, b.blocked
	}
	own, damaged, err := read(path)
	if err == nil {
		var merged *data.Catalogue
		if merged, err = merge(base, own); err == nil {
			b.own, b.merged = own, merged
			return b, nil
		}
		damaged = true
	}
	if !damaged {
		b.blocked = fmt.Errorf("your own plants cannot be read: %w", err)
		return b, b.blocked
	}
	aside, moved := setAside(path)
	if moved != nil {
		b.blocked = fmt.Errorf("your own plants cannot be read (%w), nor set aside: %w", err, moved)
		return b, b.blocked
	}
	return b, fmt.Errorf("your own plants could not be read and were set aside as %s: mend that file and take it in again under Plan: %w",
		aside, err)
}

// read reads the file; none is an empty catalogue. It tells whether what is in the file is at fault, not the way to it.
func read(path string) (own *data.Personal, damaged bool, err error) {
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return &data.Personal{File: filepath.Base(path)}, false, nil
	}
	if err != nil {
		return nil, false, err
	}
	defer f.Close()
	own, err = data.ReadPersonal(f, filepath.Base(path))
	return own, err != nil, err
}

// merge lays own entries over a catalogue, which it is itself where there are none: then nothing has to be measured anew.
func merge(base *data.Catalogue, own *data.Personal) (*data.Catalogue, error) {
	if len(own.Entries) == 0 {
		return base, nil
	}
	return data.Merge(base, own)
}

// setAside renames a damaged file so that nothing of it is lost.
func setAside(path string) (name string, err error) {
	stem := strings.TrimSuffix(path, ".csv") + "-damaged-" + time.Now().Format("2006-01-02")
	for i := 1; i < 1000; i++ {
		name = stem + ".csv"
		if i > 1 {
			name = fmt.Sprintf("%s-%d.csv", stem, i)
		}
		if _, err := os.Lstat(name); errors.Is(err, fs.ErrNotExist) {
			return name, os.Rename(path, name)
		}
	}
	return "", fmt.Errorf("there are too many files like %s: remove some", name)
}

// Catalogue is the program's catalogue with the own entries over it.
func (b *Book) Catalogue() *data.Catalogue { return b.merged }

// Base is the program's catalogue without them.
func (b *Book) Base() *data.Catalogue { return b.base }

// Path is the file that they are kept in.
func (b *Book) Path() string { return b.path }

// Entries are the own entries, in the order of the file.
func (b *Book) Entries() []data.OwnEntryRow { return slices.Clone(b.own.Entries) }

// Entry is the own entry with the id; false where there is none.
func (b *Book) Entry(list, id string) (data.OwnEntryRow, bool) {
	if i := find(b.own.Entries, list, id); i >= 0 {
		return b.own.Entries[i], true
	}
	return data.OwnEntryRow{}, false
}

func find(entries []data.OwnEntryRow, list, id string) int {
	return slices.IndexFunc(entries, func(e data.OwnEntryRow) bool { return e.List == list && e.ID == id })
}

// Put adds entries, or puts them in the place of those with their ids, and saves. On an error, one line that says what is wrong,
// everything stays as it was.
func (b *Book) Put(entries ...data.OwnEntryRow) error {
	return b.change(func(old []data.OwnEntryRow) []data.OwnEntryRow {
		for _, e := range entries {
			if i := find(old, e.List, e.ID); i >= 0 {
				old[i] = e
			} else {
				old = append(old, e)
			}
		}
		return old
	})
}

// Remove takes an entry out and saves: what the program's catalogue says holds again.
func (b *Book) Remove(list, id string) error {
	return b.change(func(old []data.OwnEntryRow) []data.OwnEntryRow {
		return slices.DeleteFunc(old, func(e data.OwnEntryRow) bool { return e.List == list && e.ID == id })
	})
}

// Import takes in the entries of a file and answers how many there were.
func (b *Book) Import(path string) (int, error) {
	p, err := data.LoadPersonal(path)
	if err != nil {
		return 0, err
	}
	if _, err := data.Merge(b.base, p); err != nil {
		return 0, err // which names the file and the line
	}
	return len(p.Entries), b.Put(p.Entries...)
}

// Export writes the entries to another file, safe to open in a spreadsheet.
func (b *Book) Export(path string) error { return data.SavePersonal(path, b.own) }

// change works on what the file holds now, since another window may have written it meanwhile.
func (b *Book) change(edit func([]data.OwnEntryRow) []data.OwnEntryRow) error {
	if b.blocked != nil {
		return b.blocked
	}
	own, _, err := read(b.path)
	if err != nil {
		return fmt.Errorf("your own plants cannot be changed: %w", err)
	}
	next := &data.Personal{File: own.File, Entries: edit(slices.Clone(own.Entries))}
	merged, err := merge(b.base, next)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(b.path), 0o755); err != nil {
		return fmt.Errorf("your own plants cannot be saved: %w", err)
	}
	if err := data.SavePersonal(b.path, next); err != nil {
		return err
	}
	b.own, b.merged = next, merged
	return nil
}
