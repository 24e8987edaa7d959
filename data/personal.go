package data

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A Personal is a grower's own catalogue: plants and crops that the embedded one lacks, and other values for plants, crops and
// ranges of guilds that it has.
type Personal struct {
	File    string // its name in errors
	Entries []OwnEntryRow

	says string // what its source notes begin with
}

// InPlan are own entries that are kept in a plan, to be merged. Errors count them from 1 where those of a file give its lines.
func InPlan(entries []OwnEntryRow) *Personal {
	p := &Personal{File: "the plan's own entries", Entries: slices.Clone(entries), says: "Own entry in this plan"}
	for i := range p.Entries {
		p.Entries[i].line = i + 1
	}
	return p
}

// An OwnEntryRow is one own entry.
type OwnEntryRow struct {
	List   string // "plant", "crop" or "guild"; of a guild only the ranges can be one's own
	ID     string
	Source string            // where the grower has it from; it must not be empty
	Cells  map[string]string // by column, as in the embedded files; a column that is missing or empty stays as it is there
	line   int               // in the file that it was read from; 0 for one that was made otherwise
}

// Limits of a personal catalogue.
const (
	maxPersonalFile = 1 << 20 // bytes
	MaxOwnEntries   = 2000
	MaxOwnCell      = 1000 // characters
)

// The columns that an own entry may fill, by list, and which statement of origin each belongs to ("" for none).
var ownColumns = map[string][]struct{ name, origin string }{
	"plant": {{"name", ""}, {"scientific", ""}, {"family", ""}, {"form", ""}, {"life_cycle", ""}, {"bloom_from", "traits"}, {"bloom_to", "traits"},
		{"height_min_cm", "traits"}, {"height_max_cm", "traits"}, {"spacing_cm", "traits"}, {"zone_min", "traits"}, {"native", ""},
		{"caution", "cautions"}, {"dangers", "cautions"}, {"invasive_in", "cautions"}, {"guilds", "guilds"}, {"note", ""}},
	"crop": {{"name", ""}, {"scientific", ""}, {"family", ""}, {"life_cycle", ""}, {"season", ""}, {"in_row_min_cm", "spacing"},
		{"in_row_max_cm", "spacing"}, {"between_row_min_cm", "spacing"}, {"between_row_max_cm", "spacing"}, {"days_min", "days"},
		{"days_max", "days"}, {"days_from", "days"}, {"pollination", "pollination"}, {"pollination_note", "pollination"}, {"pests", ""},
		{"caution", "cautions"}, {"dangers", "cautions"}},
	"guild": {{"low_m", "range"}, {"typical_m", "range"}, {"outer_m", "range"}, {"note", ""}},
}

var ownLists = []string{"plant", "crop", "guild"}

// OwnColumns are the columns that an own entry of a list ("plant", "crop", "guild") may fill, in order.
func OwnColumns(list string) []string {
	var names []string
	for _, c := range ownColumns[list] {
		names = append(names, c.name)
	}
	return names
}

// personalHead is the first line of a personal catalogue.
func personalHead() []string {
	head := []string{"list", "id", "source"}
	for _, list := range ownLists {
		for _, name := range OwnColumns(list) {
			head = with(head, name)
		}
	}
	return head
}

// LoadPersonal reads a personal catalogue, a CSV file. A file that is not there is an error that is fs.ErrNotExist. Whether
// the entries fit the catalogue shows when they are merged.
func LoadPersonal(path string) (*Personal, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("the personal catalogue cannot be opened: %w", err)
	}
	defer f.Close()
	return ReadPersonal(f, filepath.Base(path))
}

// ReadPersonal reads a personal catalogue from CSV; file is its name in errors. Columns may stand in any order and may be left
// out, except list, id and source. The error is one line that names the file, the line and the mend.
func ReadPersonal(in io.Reader, file string) (*Personal, error) {
	text, err := io.ReadAll(io.LimitReader(in, maxPersonalFile+1))
	switch {
	case err != nil:
		return nil, fmt.Errorf("%s: cannot be read: %w", file, err)
	case len(text) > maxPersonalFile:
		return nil, fmt.Errorf("%s: larger than %d MB: split it", file, maxPersonalFile>>20)
	case !utf8.Valid(text):
		return nil, fmt.Errorf("%s: not UTF-8 text: save it from the spreadsheet as CSV UTF-8", file)
	}
	if first, _, _ := bytes.Cut(text, []byte("\n")); !bytes.Contains(first, []byte(",")) && bytes.ContainsAny(first, ";\t") {
		return nil, fmt.Errorf("%s:1: the columns are not parted by commas: save it from the spreadsheet with commas", file)
	}
	p := &Personal{File: file}
	known := personalHead()
	_, err = readCSV(file, text, known[:3], func(r *row) {
		if len(p.Entries) == MaxOwnEntries {
			r.fail("list", fmt.Sprintf("more than %d rows", MaxOwnEntries), "split the file")
		}
		for i, cell := range r.cells {
			if utf8.RuneCountInString(cell) > MaxOwnCell {
				r.fail("source", fmt.Sprintf("a cell of more than %d characters", MaxOwnCell), "shorten it")
			}
			r.cells[i] = plain(cell)
		}
		e := OwnEntryRow{List: r.text("list"), ID: r.text("id"), Source: r.text("source"), Cells: map[string]string{}, line: r.line}
		for name := range r.column {
			i := slices.Index(known, name)
			r.used[name] = i >= 0
			if i >= 3 && // after list, id and source
				strings.TrimSpace(r.cells[r.column[name]]) != "" {
				e.Cells[name] = r.text(name)
			}
		}
		if r.err == nil {
			r.err = e.check(fmt.Sprintf("%s:%d", file, r.line))
		}
		p.Entries = append(p.Entries, e)
	})
	if err != nil {
		return nil, err
	}
	return p, nil
}

// check holds an entry against what can be seen without a catalogue.
func (e *OwnEntryRow) check(at string) error {
	if !idForm.MatchString(e.ID) {
		return fmt.Errorf("%s: id: %q is not an id: write small letters, digits and single hyphens, like golden-alexanders", at, e.ID)
	}
	if !slices.Contains(ownLists, e.List) {
		return fmt.Errorf("%s: %s, list: %q is not a list: write plant, crop or guild", at, e.ID, e.List)
	}
	if strings.TrimSpace(e.Source) == "" {
		return fmt.Errorf("%s: %s, source: empty: say where you have it from, if only \"own observation\" and the year", at, e.ID)
	}
	own := OwnColumns(e.List)
	for _, name := range e.columns() {
		switch cell := e.Cells[name]; {
		case cell == "":
		case !slices.Contains(own, name):
			return fmt.Errorf("%s: %s, %s: not a column of a %s: leave it empty in that row", at, e.ID, name, e.List)
		case utf8.RuneCountInString(cell) > MaxOwnCell:
			return fmt.Errorf("%s: %s, %s: more than %d characters: shorten it", at, e.ID, name, MaxOwnCell)
		case strings.ContainsFunc(cell, unicode.IsControl):
			return fmt.Errorf("%s: %s, %s: a line break or another unseen sign: take it out", at, e.ID, name)
		}
	}
	if strings.ContainsFunc(e.Source, unicode.IsControl) || utf8.RuneCountInString(e.Source) > MaxOwnCell {
		return fmt.Errorf("%s: %s, source: longer than %d characters or with a line break: shorten it to one line", at, e.ID, MaxOwnCell)
	}
	return nil
}

// columns are the names of the filled columns, in a fixed order, so that errors do not change from run to run.
func (e *OwnEntryRow) columns() []string {
	var names []string
	for name := range e.Cells {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// WritePersonal writes a personal catalogue as CSV that is safe to open in a spreadsheet (see WriteCSV), with the mark at its
// beginning by which spreadsheets know UTF-8.
func WritePersonal(w io.Writer, p *Personal) error {
	head := personalHead()
	rows := [][]string{head}
	for i, e := range p.Entries {
		if err := e.check(p.at(i)); err != nil {
			return err
		}
		row := []string{e.List, e.ID, e.Source}
		for _, name := range head[3:] {
			row = append(row, e.Cells[name])
		}
		rows = append(rows, row)
	}
	if _, err := io.WriteString(w, "\ufeff"); err != nil {
		return err
	}
	return WriteCSV(w, rows)
}

// Check finds what is wrong with an entry as far as can be seen without a catalogue. The error begins with where it stands.
func (e *OwnEntryRow) Check(where string) error { return e.check(where) }

func (p *Personal) note(source string) string {
	if p.says == "" {
		return "Your own entry: " + source
	}
	return p.says + ": " + source
}

// at is where an entry stands, for an error.
func (p *Personal) at(i int) string { return fmt.Sprintf("%s:%d", p.name(), p.line(i)) }

func (p *Personal) name() string {
	if p.File == "" {
		return "personal catalogue"
	}
	return p.File
}

// line is where an entry stands, or would stand, in the file.
func (p *Personal) line(i int) int {
	if n := p.Entries[i].line; n > 0 {
		return n
	}
	return i + 2
}

// SavePersonal writes a personal catalogue to a file, whole or not at all: a failure leaves the file that was there. A link stays a
// link to the file that it names, and a file's mode is kept.
func SavePersonal(path string, p *Personal) (err error) {
	mode := os.FileMode(0o644)
	if to, err := filepath.EvalSymlinks(path); err == nil {
		path = to
		if s, err := os.Stat(path); err == nil {
			mode = s.Mode().Perm()
		}
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".catalogue-*")
	if err != nil {
		return fmt.Errorf("the personal catalogue cannot be saved: %w", err)
	}
	defer func() {
		if err != nil {
			err = fmt.Errorf("the personal catalogue cannot be saved: %w", errors.Join(err, f.Close(), os.Remove(f.Name())))
		}
	}()
	if err = WritePersonal(f, p); err != nil {
		return err
	}
	if err = f.Chmod(mode); err != nil {
		return err
	}
	if err = f.Sync(); err != nil {
		return err
	}
	if err = f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), path)
}
