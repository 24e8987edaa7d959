package suggest

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

	"hedgereach/data"
)

// Limits of a price list. A nursery's whole list has some thousand lines.
const (
	MaxPriceBytes = 1 << 20
	MaxPriceRows  = 10_000
	MaxPrice      = 1_000_000
)

// Prices are what plants cost: of one plant or packet, whatever the grower counts by, in whatever money; all alike.
type Prices struct {
	Of      map[string]float64 // by the plant's id, to the hundredth
	Unknown []string           // what the list names and the catalogue lacks, with its line: `line 4 "moon daisy"`
}

// Says tells in a sentence how many plants have a price, and what the list names in vain, the first few by name.
func (p *Prices) Says() string {
	words := counted(len(p.Of), "plant has", "plants have") + " a price."
	const most = 3
	switch n := len(p.Unknown); {
	case n > most+1:
		words += fmt.Sprintf(" The catalogue lacks %s and %d more.", strings.Join(p.Unknown[:most], ", "), n-most)
	case n > 0:
		words += " The catalogue lacks " + strings.Join(p.Unknown, ", ") + "."
	}
	return words
}

// ReadPrices reads a price list, a CSV file. Its first line names the columns; it needs plant (an id, a name or a scientific name of
// the catalogue) and price, in any order and in small or capital letters, and others are passed over. Columns are parted by commas,
// semicolons or tabs; in the latter two a price may have a decimal comma. A line without a price is passed over, and one whose plant
// the catalogue lacks is noted, since a nursery has many such. The error is one line that names the file, the line and the mend.
func ReadPrices(in io.Reader, name string, c *data.Catalogue) (*Prices, error) {
	text, err := io.ReadAll(io.LimitReader(in, MaxPriceBytes+1))
	switch {
	case err != nil:
		err = fmt.Errorf(" cannot be read: %w", err)
	case len(text) > MaxPriceBytes:
		err = fmt.Errorf(" larger than %d MB: keep the plants that you would buy", MaxPriceBytes>>20)
	case !utf8.Valid(text):
		err = errors.New(" not UTF-8 text: save it from the spreadsheet as CSV UTF-8")
	default:
		var p *Prices
		if p, err = readPrices(bytes.TrimPrefix(text, []byte("\ufeff")), c); err == nil {
			return p, nil
		}
	}
	return nil, fmt.Errorf("%s:%w", name, err)
}

// readPrices does the work of ReadPrices; its errors lack the name of the file.
func readPrices(text []byte, c *data.Catalogue) (*Prices, error) {
	r := csv.NewReader(bytes.NewReader(text))
	first, _, _ := strings.Cut(string(text), "\n")
	for _, sign := range ",\t;" { // the last of these that is there
		if strings.ContainsRune(first, sign) {
			r.Comma = sign
		}
	}
	r.FieldsPerRecord, r.TrimLeadingSpace = -1, true
	plantAt, priceAt := -1, -1
	p := &Prices{Of: map[string]float64{}}
	seen := map[string]int{}
	for n := 0; ; n++ {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			var bad *csv.ParseError
			errors.As(err, &bad)
			return nil, fmt.Errorf("%d: %w: mend the separators and quotes of that line", bad.Line, bad.Err)
		}
		line, _ := r.FieldPos(0)
		if n == 0 {
			for i, s := range cells {
				switch strings.ToLower(strings.TrimSpace(s)) {
				case "plant":
					plantAt = i
				case "price":
					priceAt = i
				}
			}
			if plantAt < 0 || priceAt < 0 {
				return nil, fmt.Errorf("%d: the first line names no columns plant and price: write them over the plants and prices", line)
			}
			continue
		}
		if n > MaxPriceRows {
			return nil, fmt.Errorf("%d: more than %d plants: keep those that you would buy", line, MaxPriceRows)
		}
		cell := func(at int) string {
			if at < len(cells) {
				return strings.TrimSpace(cells[at])
			}
			return ""
		}
		who, costs := cell(plantAt), cell(priceAt)
		if costs == "" {
			continue
		}
		if who == "" {
			return nil, fmt.Errorf("%d: a price without a plant: write the plant's id or name, or take the line out", line)
		}
		v, err := parsePrice(costs, r.Comma != ',')
		if err != nil {
			return nil, fmt.Errorf("%d: %w", line, err)
		}
		pl, err := plantCalled(c, who)
		switch {
		case err != nil:
			return nil, fmt.Errorf("%d: %w", line, err)
		case pl == nil:
			p.Unknown = append(p.Unknown, fmt.Sprintf("line %d %q", line, clipped(who)))
			continue
		}
		if other, twice := seen[pl.ID]; twice {
			return nil, fmt.Errorf("%d: %s has a price in line %d already: keep one", line, pl.Name, other)
		}
		seen[pl.ID] = line
		p.Of[pl.ID] = v
	}
	switch {
	case plantAt < 0:
		return nil, errors.New(" empty: give a file whose first line names the columns plant and price")
	case len(p.Of) == 0 && len(p.Unknown) > 0:
		return nil, fmt.Errorf(" no plant of the catalogue: %s is none; write ids or names as hedgereach facts lists them", p.Unknown[0])
	case len(p.Of) == 0:
		return nil, errors.New(" no plant with a price: add lines below the names of the columns")
	}
	return p, nil
}

// clipped keeps what a file says short enough to repeat.
func clipped(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}

// ParsePrice reads a price above 0, to the hundredth, with a decimal point or comma.
func ParsePrice(s string) (float64, error) {
	v, err := parsePrice(s, true)
	if err == nil && v == 0 {
		err = errors.New("a price is more than 0")
	}
	return v, err
}

func parsePrice(s string, comma bool) (float64, error) {
	number := s
	if comma {
		number = strings.Replace(s, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || !(v >= 0 && v <= MaxPrice) {
		return 0, fmt.Errorf("%q is not a price: write a number from 0 to %d, without a currency", clipped(s), MaxPrice)
	}
	return hundredth(v), nil
}

func hundredth(v float64) float64 { return math.Round(v*100) / 100 }

// plantCalled finds a plant by its id, name or scientific name, in small or capital letters; nil where there is none.
func plantCalled(c *data.Catalogue, s string) (*data.Plant, error) {
	for _, name := range []func(p *data.Plant) string{
		func(p *data.Plant) string { return p.ID },
		func(p *data.Plant) string { return p.Name },
		func(p *data.Plant) string { return p.Scientific },
	} {
		var found *data.Plant
		for _, p := range c.Plants {
			if !strings.EqualFold(name(p), s) {
				continue
			}
			if found != nil {
				return nil, fmt.Errorf("%q is %s and %s: write the id of the one that is meant", clipped(s), found.ID, p.ID)
			}
			found = p
		}
		if found != nil {
			return found, nil
		}
	}
	return nil, nil
}

// FormatPrice writes a price or a sum of prices: "4", "4.50".
func FormatPrice(v float64) string {
	if v = hundredth(v); v == math.Trunc(v) {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return strconv.FormatFloat(v, 'f', 2, 64)
}
