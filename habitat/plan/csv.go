package plan

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/paulmach/orb"
)

// The headings under which a CSV of points has its columns.
var csvHeadings = map[string][]string{
	"lat":  {"lat", "latitude"},
	"lon":  {"lon", "lng", "long", "longitude"},
	"x":    {"x", "x_m", "east", "easting", "east_m"},
	"y":    {"y", "y_m", "north", "northing", "north_m"},
	"name": {"name", "feature", "bed", "label"},
	"kind": {"kind", "type"},
}

// readCSV reads points, one a row: in degrees under headings lat and lon, or in metres under x and y. Rows with the same name
// are the corners of one outline, in order; a name with one row is a mark. Without names, all rows are one outline. Columns
// may be parted by comma, semicolon (then numbers may have a decimal comma) or tab.
func readCSV(data []byte, title string) (*Plan, []string, error) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if !utf8.Valid(data) {
		return nil, nil, &ReadError{What: "this is not UTF-8 text", Mend: "save the file as UTF-8"}
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord = -1
	r.TrimLeadingSpace = true
	r.ReuseRecord = true
	head, _, _ := bytes.Cut(data, []byte("\n"))
	for _, c := range ";\t" {
		if bytes.ContainsRune(head, c) && bytes.Count(head, []byte(string(c))) >= bytes.Count(head, []byte(",")) {
			r.Comma = c
		}
	}
	var column map[string]int
	var walks []walk
	index := map[string]int{}
	degrees, points := false, 0
	for {
		row, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			var pe *csv.ParseError
			if errors.As(err, &pe) {
				return nil, nil, &ReadError{Where: fmt.Sprintf("line %d", pe.Line),
					What: "this row cannot be read (" + pe.Err.Error() + ")", Mend: "check its quotes"}
			}
			return nil, nil, &ReadError{What: err.Error(), Mend: "save it as CSV again"}
		}
		line, _ := r.FieldPos(0)
		where := fmt.Sprintf("line %d", line)
		if column == nil {
			if column = headings(row); column == nil {
				return nil, nil, &ReadError{Where: where, What: "there are no headings lat and lon, or x and y",
					Mend: "name the columns in the first row"}
			}
			_, degrees = column["lat"]
			continue
		}
		across, up := "x", "y"
		if degrees {
			across, up = "lon", "lat"
		}
		var p orb.Point
		for i, name := range []string{across, up} {
			if p[i], err = csvNumber(row, column[name], r.Comma); err != nil {
				return nil, nil, &ReadError{Where: where + ", column " + name, What: err.Error(), Mend: "write a plain number like 12.5"}
			}
		}
		name, kind := field(row, column, "name"), field(row, column, "kind")
		i, known := index[name]
		if !known {
			i = len(walks)
			index[name] = i
			walks = append(walks, walk{name: name, kind: kind, where: where})
		}
		points++
		if walks[i].points = append(walks[i].points, p); len(walks[i].points) > MaxRing || len(walks) > MaxFeatures || points > MaxPoints {
			return nil, nil, &ReadError{Where: where, What: "there are too many points or names",
				Mend: "thin out the points or split the file"}
		}
	}
	if column == nil {
		return nil, nil, &ReadError{What: "it is empty", Mend: "open another copy"}
	}
	return fromWalks(walks, degrees, title)
}

// headings finds the columns by their names; nil without a pair of coordinates.
func headings(row []string) map[string]int {
	column := map[string]int{}
	for i, h := range row {
		h = strings.ToLower(strings.TrimSpace(h))
		for name, words := range csvHeadings {
			for _, w := range words {
				if _, taken := column[name]; h == w && !taken {
					column[name] = i
				}
			}
		}
	}
	has := func(a, b string) bool {
		_, x := column[a]
		_, y := column[b]
		return x && y
	}
	switch {
	case has("lat", "lon"):
		return column
	case has("x", "y"):
		delete(column, "lat")
		return column
	}
	return nil
}

func field(row []string, column map[string]int, name string) string {
	if i, ok := column[name]; ok && i < len(row) {
		return strings.TrimSpace(row[i])
	}
	return ""
}

func csvNumber(row []string, i int, comma rune) (float64, error) {
	if i >= len(row) {
		return 0, errors.New("the row is too short")
	}
	s := strings.TrimSpace(row[i])
	if comma != ',' {
		s = strings.ReplaceAll(s, ",", ".")
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, fmt.Errorf("%q is not a number", cut(s, 20))
	}
	return v, nil
}
