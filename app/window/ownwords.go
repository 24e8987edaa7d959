package window

import (
	"fmt"
	"slices"
	"strings"

	"hedgereach/app/fields"
	"hedgereach/data"
)

// columnWords say what the columns of an own entry mean.
var columnWords = map[string]string{
	"name": "Name", "scientific": "Scientific name", "family": "Family", "form": "Form", "life_cycle": "Life cycle",
	"bloom_from": "In flower from", "bloom_to": "In flower until", "height_min_cm": "Height from, cm", "height_max_cm": "Height to, cm",
	"spacing_cm": "Spacing, cm", "zone_min": "Hardy from zone", "native": "Native to", "caution": "Caution", "dangers": "Dangers",
	"invasive_in": "Invasive in", "guilds": "Feeds or shelters", "note": "Note", "season": "Season", "in_row_min_cm": "In the row from, cm",
	"in_row_max_cm": "In the row to, cm", "between_row_min_cm": "Between rows from, cm", "between_row_max_cm": "Between rows to, cm",
	"days_min": "Days to harvest from", "days_max": "Days to harvest to", "days_from": "Days are from", "pollination": "Need of pollination",
	"pollination_note": "Note on pollination", "pests": "Pests", "low_m": "Lowest range, m", "typical_m": "Usual range, m",
	"outer_m": "Outer range, m",
}

// newGrey are examples for a plant or crop that the catalogue lacks.
var newGrey = map[string]string{
	"name": "needed", "bloom_from": "16 May", "bloom_to": "15 Jun", "guilds": "needed: hoverflies, bumble bees …",
	"dangers": "poisonous to people, irritates skin …", "caution": "needed where there are dangers", "invasive_in": "europe, north america …",
	"pests": "names, with commas",
}

// formError words an error about an entry for its form, which has no lines and columns as the file has.
func formError(err error, id string) string {
	text := err.Error()
	if _, rest, ok := strings.Cut(text, ": "+id+", "); ok {
		if column, why, ok := strings.Cut(rest, ": "); ok && columnWords[column] != "" {
			return columnWords[column] + ": " + strings.ReplaceAll(why, "at least one id", "at least one name")
		}
	}
	return text
}

// listWords name the lists.
var listWords = map[string]string{"plant": "plant", "crop": "crop", "guild": "range"}

// A namer turns ids in a cell into names and back; nil for a column of other things.
type namer struct{ ids, names []string }

func namerOf(c *data.Catalogue, column string) *namer {
	n := &namer{}
	add := func(id, name string) { n.ids, n.names = append(n.ids, id), append(n.names, strings.ToLower(name)) }
	switch column {
	case "guilds":
		for _, g := range c.Guilds {
			add(g.ID, g.Name)
		}
	case "pests":
		for _, p := range c.Pests {
			add(p.ID, p.Name)
		}
	case "dangers":
		for _, d := range data.Dangers {
			add(string(d.Danger), d.Words)
		}
	case "invasive_in":
		for _, x := range []string{data.NorthAmerica, data.Europe, data.SouthAmerica, data.Asia, data.Africa, data.Oceania} {
			add(x, strings.ReplaceAll(x, "-", " "))
		}
	default:
		return nil
	}
	return n
}

// each changes every part of a list in a cell.
func each(cell, between string, change func(string) string) string {
	var out []string
	for _, part := range strings.FieldsFunc(cell, func(r rune) bool { return r == ';' || r == ',' }) {
		if part = strings.TrimSpace(part); part != "" {
			out = append(out, change(part))
		}
	}
	return strings.Join(out, between)
}

// shown is a cell as a grower reads it.
func shown(c *data.Catalogue, column, cell string) string {
	if n := namerOf(c, column); n != nil {
		return each(cell, ", ", func(id string) string {
			if i := slices.Index(n.ids, id); i >= 0 {
				return n.names[i]
			}
			return id
		})
	}
	if strings.HasPrefix(column, "bloom_") {
		if d, err := fields.ParseDay(cell); err == nil {
			return d.Label()
		}
	}
	return cell
}

// typed is a cell as the catalogue keeps it, from what a grower typed. The error names what is not known.
func typed(c *data.Catalogue, column, text string) (cell string, err error) {
	text = strings.TrimSpace(text)
	if n := namerOf(c, column); n != nil {
		return each(text, ";", func(word string) string {
			low := strings.ToLower(word)
			if i := slices.Index(n.names, low); i >= 0 {
				return n.ids[i]
			}
			if !slices.Contains(n.ids, low) && err == nil {
				err = fmt.Errorf("%s: %q is not one of: %s", columnWords[column], word, strings.Join(n.names, ", "))
			}
			return low
		}), err
	}
	if strings.HasPrefix(column, "bloom_") {
		d, err := fields.ParseDay(text)
		if err != nil || d == 0 {
			return "", err
		}
		return d.String(), nil
	}
	return text, nil
}

// idOf makes an id of a name: "Sneezeweed 'Moerheim'" gives "sneezeweed-moerheim"; "" where nothing of the name can be used.
func idOf(name string) string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !(r >= 'a' && r <= 'z' || r >= '0' && r <= '9') })
	return strings.Join(words, "-")
}
