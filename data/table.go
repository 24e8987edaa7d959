package data

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"hedgereach/data/season"
)

const (
	maxFile = 4 << 20 // bytes of one CSV file
	maxRows = 20_000
)

var idForm = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// A table is what the rows of one CSV file share.
type table struct {
	file   string
	column map[string]int
	used   map[string]bool // columns that were asked for: the others are misspelt
	ids    map[string]int  // line of each id
	own    bool            // rows of a grower: some rules are milder
	err    error           // the first fault
}

// A row is one line of a CSV file. Its methods read a cell by its column's name; the first fault of the file is kept in the
// table, so that a reader can take a whole row without looking at errors in between.
type row struct {
	*table
	line  int
	cells []string
}

// readTable gives every row of a CSV file to read, in order, and stops at the first fault.
func readTable(dir fs.FS, file string, read func(*row)) error {
	text, err := fs.ReadFile(dir, file)
	if err != nil {
		return fmt.Errorf("%s: cannot be read: %w", file, err)
	}
	if len(text) > maxFile {
		return fmt.Errorf("%s: larger than %d MB: split the catalogue", file, maxFile>>20)
	}
	n, err := readCSV(file, text, nil, read)
	if err == nil && n == 0 {
		err = fmt.Errorf("%s: holds no rows: add some below the names of the columns", file)
	}
	return err
}

// readCSV does the same with the text of a file, which must have the needed columns even if it has no rows, and counts the rows.
func readCSV(file string, text []byte, needed []string, read func(*row)) (n int, err error) {
	text = bytes.TrimPrefix(text, []byte("\ufeff")) // spreadsheets write a byte order mark
	r := csv.NewReader(bytes.NewReader(text))
	head, err := r.Read()
	if err != nil {
		return n, fmt.Errorf("%s: no first line with the names of the columns: %w", file, err)
	}
	t := &table{file: file, column: map[string]int{}, used: map[string]bool{}, ids: map[string]int{}}
	for i, name := range head {
		if _, twice := t.column[name]; twice {
			return n, fmt.Errorf("%s:1: column %q stands there twice: take one out", file, name)
		}
		t.column[name] = i
	}
	for _, name := range needed {
		if _, ok := t.column[name]; !ok {
			return n, fmt.Errorf("%s:1: column %q is missing: add it to the first line", file, name)
		}
	}
	for ; ; n++ {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return n, fmt.Errorf("%s: %w: mend the commas and quotes of that line", file, err)
		}
		if n == maxRows {
			return n, fmt.Errorf("%s: more than %d rows: split the catalogue", file, maxRows)
		}
		line, _ := r.FieldPos(0)
		read(&row{t, line, cells})
		if t.err != nil {
			return n, t.err
		}
		if n == 0 {
			for _, name := range head {
				if !t.used[name] {
					return n, fmt.Errorf("%s:1: column %q is not known: correct its name or take it out", file, name)
				}
			}
		}
	}
	return n, nil
}

// fail keeps the first fault: where it is, what is wrong, and the mend.
func (r *row) fail(column, problem, mend string) {
	if r.err != nil {
		return
	}
	id := ""
	if i, ok := r.column["id"]; ok {
		id = r.cells[i]
	}
	if !idForm.MatchString(id) {
		id = strconv.Quote(id) // it may hold a line break
	}
	r.err = fmt.Errorf("%s:%d: %s, %s: %s: %s", r.file, r.line, id, column, problem, mend)
}

func (r *row) ignoreOtherColumns() {
	for name := range r.column {
		r.used[name] = true
	}
}

func (r *row) text(column string) string {
	r.used[column] = true
	i, ok := r.column[column]
	if !ok {
		if r.err == nil {
			r.err = fmt.Errorf("%s:1: column %q is missing: add it to the first line", r.file, column)
		}
		return ""
	}
	return strings.TrimSpace(r.cells[i])
}

func (r *row) need(column string) string {
	s := r.text(column)
	if s == "" {
		r.fail(column, "empty", "fill it in")
	}
	return s
}

// id reads the row's id, which must be new in the file.
func (r *row) id() string {
	id := r.text("id")
	if !idForm.MatchString(id) {
		r.fail("id", fmt.Sprintf("%q is not an id", id), "write small letters, digits and single hyphens, like golden-alexanders")
	}
	if line, twice := r.ids[id]; twice {
		r.fail("id", fmt.Sprintf("the same id stands in line %d", line), "give one of the two another id or take it out")
	}
	r.ids[id] = r.line
	return id
}

// list reads words parted by semicolons; nil for an empty cell.
func (r *row) list(column string) []string {
	s := r.text(column)
	if s == "" {
		return nil
	}
	words := strings.Split(s, ";")
	for i, w := range words {
		words[i] = strings.TrimSpace(w)
		if words[i] == "" || slices.Contains(words[:i], words[i]) {
			r.fail(column, fmt.Sprintf("%q is empty or stands there twice", words[i]), "part ids by single semicolons, each once")
		}
	}
	return words
}

// links reads at least one id, each of which must be known.
func (r *row) links(column string, known func(string) bool) []string {
	if r.text(column) == "" {
		r.fail(column, "empty", "give at least one id")
	}
	return r.anyLinks(column, known)
}

// anyLinks reads ids, none or more, each of which must be known.
func (r *row) anyLinks(column string, known func(string) bool) []string {
	ids := r.list(column)
	for _, id := range ids {
		if !known(id) {
			r.fail(column, fmt.Sprintf("%q is not known", id), "correct the id or add its row")
		}
	}
	return ids
}

func (r *row) word(column string, allowed ...string) string {
	s := r.text(column)
	if !slices.Contains(allowed, s) {
		r.fail(column, fmt.Sprintf("%q is not one of the words", s), "write one of "+strings.Join(allowed, ", "))
	}
	return s
}

func (r *row) words(column string, allowed []string) []string {
	list := r.list(column)
	for _, s := range list {
		if !slices.Contains(allowed, s) {
			r.fail(column, fmt.Sprintf("%q is not one of the words", s), "write some of "+strings.Join(allowed, ", "))
		}
	}
	return list
}

func (r *row) yes(column string) bool { return r.word(column, "yes", "no") == "yes" }

// optional reads a number in a range, NaN for an empty cell.
func (r *row) optional(column string, low, high float64) float64 {
	s := r.text(column)
	if s == "" {
		return math.NaN()
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || !(v >= low && v <= high) { // so written that NaN fails
		r.fail(column, fmt.Sprintf("%q is not a number from %g to %g", s, low, high), "correct the number")
		return low
	}
	return v
}

// number reads a number in a range, 0 for an empty cell.
func (r *row) number(column string, low, high float64) float64 {
	v := r.optional(column, low, high)
	if math.IsNaN(v) {
		return 0
	}
	return v
}

func (r *row) whole(column string, low, high int) int {
	v := r.number(column, float64(low), float64(high))
	if v != math.Trunc(v) {
		r.fail(column, fmt.Sprintf("%g is not a whole number", v), "round it")
	}
	return int(v)
}

func (r *row) ordered(column string, low, high float64) {
	if low > high {
		r.fail(column, fmt.Sprintf("%g is more than the upper end, %g", low, high), "put the two the right way round")
	}
}

// window reads two days MM-DD; the zero window where both are empty.
func (r *row) window(from, to string) season.Window {
	a, b := r.text(from), r.text(to)
	if a == "" && b == "" {
		return season.Window{}
	}
	w, err := season.ParseWindow(a, b)
	if err != nil {
		r.fail(from, "the window does not read", err.Error())
	}
	return w
}

// checked reads a mark of how far the row was held against its source; "from memory" says in brackets how sure the memory is.
func (r *row) checked(column string) (Checked, string) {
	s := r.text(column)
	mark, recall := s, ""
	if rest, ok := strings.CutPrefix(s, string(FromMemory)+" ("); ok {
		mark, recall = string(FromMemory), strings.TrimSuffix(rest, ")")
	}
	known := slices.Contains(Marks, Checked(mark)) && (mark == string(FromMemory)) == (recall != "") &&
		(recall == "" || slices.Contains([]string{"high", "medium", "low"}, recall))
	if !known {
		r.fail(column, fmt.Sprintf("%q is not a mark", s), `write "read at the source", "read at second hand", "from memory (high)", `+
			`(medium) or (low), "our judgement", "common practice, no source" or "computed"`)
	}
	return Checked(mark), recall
}

// origin reads the four columns that say where a fact comes from. Only where there is no value, evidence "none", may it lack
// source and mark; common practice lacks a source by its nature.
func (r *row) origin(prefix string, c *Catalogue) Origin {
	o := Origin{Detail: r.text(prefix + "_detail"), Evidence: Evidence(r.word(prefix+"_evidence", grades...))}
	if o.Evidence == None && r.text(prefix+"_checked") == "" {
		if r.text(prefix+"_sources") != "" {
			r.fail(prefix+"_checked", "empty", "say how far the source was read")
		}
		return o
	}
	o.Checked, o.Recall = r.checked(prefix + "_checked")
	if r.text(prefix+"_sources") == "" && (o.Evidence == None || o.Checked == Practice) {
		return o
	}
	o.Sources = r.links(prefix+"_sources", c.knowsSource)
	return o
}

var grades = []string{string(Good), string(Medium), string(Low), string(Contested), string(None)}
