package degreeday

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Limits of a weather file. A century of days comes to 36,525 lines.
const (
	MaxBytes = 8 << 20
	MaxRows  = 40_000
)

// No station has read less than -89.2 °C (Vostok, 1983) or more than 56.7 °C (Death Valley, 1913); both by the World
// Meteorological Organization's archive, from memory.
const lowestC, highestC = -90, 60

// Read reads a station's CSV file. Its first line names the columns; it needs date, tmin and tmax, in any order and in small
// or capital letters, and others are passed over. The scale stands in the names (tmin_c or tmin_f; "tmin (°F)" and the
// like), or is unit, where that is not "". Columns are parted by commas, semicolons or tabs; in the latter two a number may
// have a decimal comma. Dates are written year-month-day, in any order, each once. A day with an empty cell, NA, M or - for
// a temperature is missing. The error is one line that names the file, the line and the mend.
func Read(in io.Reader, name string, unit Unit) (*Record, error) {
	counted := &io.LimitedReader{R: in, N: MaxBytes + 1}
	rec, err := read(bufio.NewReader(counted), unit)
	if counted.N == 0 {
		err = fmt.Errorf(" larger than %d MB: keep the years that you need", MaxBytes>>20)
	}
	if err != nil {
		return nil, fmt.Errorf("%s:%w", name, err)
	}
	return rec, nil
}

// read does the work of Read; its errors lack the name of the file.
func read(in *bufio.Reader, unit Unit) (*Record, error) {
	head, _ := in.Peek(4096)
	if len(head) >= 3 && string(head[:3]) == "\ufeff" { // spreadsheets write a byte order mark
		_, _ = in.Discard(3)
		head = head[3:]
	}
	r := csv.NewReader(in)
	r.Comma = separator(head)
	r.ReuseRecord, r.FieldsPerRecord, r.TrimLeadingSpace = true, -1, true
	names, err := r.Read()
	if errors.Is(err, io.EOF) {
		return nil, errors.New(" empty: give a file whose first line names the columns date, tmin and tmax")
	}
	if err != nil {
		return nil, broken(err)
	}
	cols, err := columns(names, unit)
	if err != nil {
		return nil, fmt.Errorf("1: %w", err)
	}
	rec := &Record{Unit: cols.unit}
	seen := map[time.Time]int{}
	for n := 0; ; n++ {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, broken(err)
		}
		line, _ := r.FieldPos(0)
		if n == MaxRows {
			return nil, fmt.Errorf("%d: more than %d days: keep the years that you need", line, MaxRows)
		}
		day, given, err := cols.day(cells, r.Comma != ',')
		if err != nil {
			return nil, fmt.Errorf("%d: %w", line, err)
		}
		if other, twice := seen[day.Date]; twice {
			return nil, fmt.Errorf("%d: %s stands in line %d too: keep one station and one line for each day", line, iso(day.Date), other)
		}
		seen[day.Date] = line
		if given {
			rec.Readings = append(rec.Readings, day)
		}
	}
	if len(rec.Readings) == 0 {
		return nil, errors.New(" no day with both temperatures: add lines below the names of the columns")
	}
	slices.SortFunc(rec.Readings, func(a, b Reading) int { return a.Date.Compare(b.Date) })
	return rec, nil
}

// broken is a fault of commas and quotes, with its line.
func broken(err error) error {
	var bad *csv.ParseError
	if errors.As(err, &bad) {
		return fmt.Errorf("%d: %w: mend the separators and quotes of that line", bad.Line, bad.Err)
	}
	return fmt.Errorf(" cannot be read: %w", err)
}

// separator is the sign that parts the columns, by the first line.
func separator(head []byte) rune {
	first, _, _ := strings.Cut(string(head), "\n")
	for _, c := range ";\t" {
		if strings.ContainsRune(first, c) {
			return c
		}
	}
	return ','
}

// A header says where the columns are, and the scale.
type header struct {
	date, low, high int
	unit            Unit
}

func columns(names []string, unit Unit) (header, error) {
	h := header{-1, -1, -1, unit}
	at := map[string]*int{"date": &h.date, "tmin": &h.low, "tmax": &h.high}
	var said [2]Unit // by tmin and tmax
	for i, name := range names {
		what, scale := columnName(name)
		place := at[what]
		if place == nil {
			continue
		}
		if *place >= 0 {
			return h, fmt.Errorf("column %s stands there twice: take one out", what)
		}
		*place = i
		switch what {
		case "tmin":
			said[0] = scale
		case "tmax":
			said[1] = scale
		}
	}
	for _, what := range []string{"date", "tmin", "tmax"} {
		if *at[what] < 0 {
			return h, fmt.Errorf("column %s is missing: name the columns date, tmin and tmax in the first line", what)
		}
	}
	switch {
	case said[0] != said[1]:
		return h, errors.New("tmin and tmax do not name the same scale: write tmin_c and tmax_c, or tmin_f and tmax_f")
	case said[0] == "" && unit == "":
		return h, errors.New("the scale is not given: write tmin_c and tmax_c for °C, or tmin_f and tmax_f for °F")
	case said[0] != "" && unit != "" && said[0] != unit:
		return h, fmt.Errorf("the columns are in %s, not in %s: ask for the scale of the file", said[0], unit)
	case said[0] != "":
		h.unit = said[0]
	}
	return h, nil
}

// columnName parts a column's name into what it holds and the scale, "" where the name does not say: "TMIN (°F)", "tmin_f".
func columnName(name string) (what string, scale Unit) {
	name = strings.ToLower(strings.TrimSpace(name))
	what = strings.TrimRight(strings.TrimSuffix(strings.TrimSuffix(name, ")"), "]"), " ")
	for end, u := range map[string]Unit{"c": Celsius, "f": Fahrenheit} {
		if short, ok := strings.CutSuffix(what, end); ok {
			if short = strings.TrimRight(short, " _([°"); short == "tmin" || short == "tmax" {
				return short, u
			}
		}
	}
	return name, ""
}

// day reads a line; given is false where a temperature is missing.
func (h header) day(cells []string, decimalComma bool) (d Reading, given bool, err error) {
	if len(cells) <= max(h.date, h.low, h.high) {
		return d, false, errors.New("fewer columns than the first line names: mend the separators of that line")
	}
	text := strings.TrimSpace(cells[h.date])
	if d.Date, err = time.Parse(time.DateOnly, text); err != nil {
		return d, false, fmt.Errorf("date %q does not read: write year-month-day, like 2026-04-16", cut(text))
	}
	low, lowGiven, err := h.temperature("tmin", cells[h.low], decimalComma)
	if err != nil {
		return d, false, err
	}
	high, highGiven, err := h.temperature("tmax", cells[h.high], decimalComma)
	if err != nil || !lowGiven || !highGiven {
		return d, false, err
	}
	if low > high {
		return d, false, fmt.Errorf("tmin, %g, is above tmax, %g: put the two the right way round, or leave one empty", low, high)
	}
	d.Low, d.High = low, high
	return d, true, nil
}

func (h header) temperature(what, text string, decimalComma bool) (t float64, given bool, err error) {
	text = strings.TrimSpace(text)
	switch strings.ToUpper(text) {
	case "", "NA", "M", "-":
		return 0, false, nil
	}
	if decimalComma {
		text = strings.Replace(text, ",", ".", 1)
	}
	t, err = strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, false, fmt.Errorf("%s %q is not a number: correct it, or leave it empty where it is missing", what, cut(text))
	}
	low, high := Convert(lowestC, Celsius, h.unit), Convert(highestC, Celsius, h.unit)
	if !(t >= low && t <= high) { // so written that NaN fails
		return 0, false, fmt.Errorf("%s %q is not a temperature from %g to %g %s: correct it, leave it empty where it is missing, "+
			"or correct the scale in the first line", what, cut(text), low, high, h.unit)
	}
	return t, true, nil
}

// cut keeps a wrong cell short enough for one line.
func cut(text string) string {
	const most = 40
	if r := []rune(text); len(r) > most {
		return string(r[:most]) + "…"
	}
	return text
}
