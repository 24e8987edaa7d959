package data

import (
	"encoding/csv"
	"io"
	"strings"
)

// A spreadsheet takes a cell that begins with one of these for a formula, and may run it.
const formulaStarts = "=+-@\t\r\n"

// WriteCSV writes rows as CSV that is safe to open in a spreadsheet: a cell that begins with = + - @, a tab or a line break
// gets an apostrophe before it. So does one that already has apostrophes before such a sign, so that plain gives every cell
// back as it was.
func WriteCSV(w io.Writer, rows [][]string) error {
	out := csv.NewWriter(w)
	for _, row := range rows {
		safe := make([]string, len(row))
		for i, cell := range row {
			if risky(cell) {
				cell = "'" + cell
			}
			safe[i] = cell
		}
		if err := out.Write(safe); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// plain takes the apostrophe off again that WriteCSV put before a cell.
func plain(cell string) string {
	if rest, ok := strings.CutPrefix(cell, "'"); ok && risky(rest) {
		return rest
	}
	return cell
}

func risky(cell string) bool {
	rest := strings.TrimLeft(cell, "'")
	return rest != "" && strings.ContainsRune(formulaStarts, rune(rest[0]))
}
