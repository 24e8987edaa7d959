package quantities

import (
	"io"
	"strconv"

	"hedgereach/data"
)

// Columns are the columns of the CSV.
var Columns = []string{"part", "place", "kind", "item", "scientific", "how", "as", "date", "area_m2", "pattern", "in_row_cm",
	"between_rows_cm", "plants_to_stand", "to_get", "rows_m", "depth_cm", "note"}

// WriteCSV writes the planting list and, below it, the shopping list, in the same columns: the first says which. Cells are
// safe to open in a spreadsheet.
func (l *List) WriteCSV(w io.Writer) error {
	rows := [][]string{Columns}
	for _, r := range l.Rows {
		depth := ""
		if r.Depth != nil {
			depth = fixed(r.Depth.MinCM, 1)
			if r.Depth.MaxCM != r.Depth.MinCM {
				depth += "–" + fixed(r.Depth.MaxCM, 1)
			}
		}
		row := []string{"planting", r.Feature.Title(), r.Feature.Kind.Label(), r.Called(), r.Scientific, string(r.Method), r.As, "", fixed(r.AreaM2, 2),
			"", "", "", "", "", "", depth, r.Why}
		if r.From != 0 {
			row[7] = r.From.Label()
		}
		if r.InRowM > 0 {
			row[9], row[10], row[11] = r.Pattern(), fixed(r.InRowM*100, 1), fixed(r.BetweenM*100, 1)
		}
		if r.Stand > 0 {
			row[12], row[13] = strconv.Itoa(r.Stand), strconv.Itoa(r.Take)
		}
		if r.RowM > 0 {
			row[14] = fixed(r.RowM, 1)
		}
		rows = append(rows, row)
	}
	for _, x := range l.Shopping {
		row := make([]string, len(Columns))
		row[0], row[3], row[4], row[5], row[6] = "shopping", x.Name, x.Scientific, string(x.Method), x.As
		if x.First != 0 {
			row[7] = x.First.Label()
		}
		row[12], row[13] = strconv.Itoa(x.Stand), strconv.Itoa(x.Take)
		if x.RowM > 0 {
			row[14] = fixed(x.RowM, 1)
		}
		rows = append(rows, row)
	}
	return data.WriteCSV(w, rows)
}

func fixed(v float64, digits int) string { return strconv.FormatFloat(v, 'f', digits, 64) }
