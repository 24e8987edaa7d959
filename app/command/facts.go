package command

import (
	"bufio"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"strings"

	"hedgereach/data"
)

// Limits of a question, so that an error about it stays short.
const (
	maxQuestion = 200 // bytes
	nearIDs     = 3
)

// facts prints what the catalogue says of an entry, or lists the entries that words find.
func facts(args []string, stdout, _ io.Writer) error {
	fs := flag.NewFlagSet("facts", flag.ContinueOnError)
	asJSON := fs.Bool("json", false, "")
	own := ownFlag(fs)
	words, err := parse(fs, args)
	if err != nil {
		return err
	}
	question := strings.TrimSpace(strings.Join(words, " "))
	switch {
	case question == "":
		return wrongf("facts needs an id or a word")
	case len(question) > maxQuestion:
		return wrongf("facts needs an id or a few words, not %d letters", len(question))
	}
	c, err := catalogue(*own, nil)
	if err != nil {
		return err
	}
	found := c.Find(question)
	if len(found) == 0 {
		var near []string
		for _, m := range c.Nearest(question, nearIDs) {
			near = append(near, m.List+"/"+m.ID)
		}
		return fmt.Errorf("the catalogue has no %q; the nearest ids are %s", question, strings.Join(near, ", "))
	}
	w := bufio.NewWriter(stdout)
	switch {
	case len(found) == 1 && *asJSON:
		err = encode(w, newEntry(c.Entry(found[0].List, found[0].ID)))
	case len(found) == 1:
		err = writeEntry(w, c.Entry(found[0].List, found[0].ID))
	case *asJSON:
		err = encode(w, newMatches(question, found))
	default:
		err = writeMatches(w, found)
	}
	if err == nil {
		err = w.Flush()
	}
	if err != nil {
		return fmt.Errorf("the facts could not be written: %w", err)
	}
	return nil
}

// The facts as JSON. Members may be added; those that are there keep their names and meanings.
type (
	matchJSON struct {
		List string `json:"list"`
		ID   string `json:"id"`
		Name string `json:"name"`
	}
	matchesJSON struct {
		Asked   string      `json:"asked"`
		Matches []matchJSON `json:"matches"`
	}
	entryJSON struct {
		matchJSON
		Groups  []groupJSON  `json:"groups"`
		Sources []sourceJSON `json:"sources"`
	}
	groupJSON struct {
		Heading  string     `json:"heading"`
		Facts    []factJSON `json:"facts"`
		Evidence string     `json:"evidence,omitempty"` // good, medium, low, contested or none
		Checked  string     `json:"checked,omitempty"`  // how far our copy was held against its source
		Recall   string     `json:"recall,omitempty"`   // how sure a value from memory is
		Detail   string     `json:"detail,omitempty"`
		Sources  []string   `json:"sources,omitempty"`
	}
	factJSON struct {
		Label   string      `json:"label"`
		Value   string      `json:"value"`
		Entries []matchJSON `json:"entries,omitempty"` // that the value names
		Min     *float64    `json:"min,omitempty"`     // in unit
		Max     *float64    `json:"max,omitempty"`     // missing beside a min: or more
		Unit    string      `json:"unit,omitempty"`
	}
	sourceJSON struct {
		ID       string `json:"id"`
		Citation string `json:"citation"`
		DOI      string `json:"doi,omitempty"`
		Address  string `json:"address,omitempty"`
		Note     string `json:"note,omitempty"`
	}
)

func encode(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	return e.Encode(v)
}

func newMatches(asked string, found []data.Match) matchesJSON {
	return matchesJSON{Asked: asked, Matches: matchList(found)}
}

func matchList(found []data.Match) []matchJSON {
	var list []matchJSON
	for _, m := range found {
		list = append(list, matchJSON(m))
	}
	return list
}

func newEntry(e *data.Entry) entryJSON {
	j := entryJSON{matchJSON: matchJSON{e.List, e.ID, e.Name}, Sources: []sourceJSON{}}
	for _, g := range e.Groups {
		o := g.From
		gj := groupJSON{Heading: g.Heading, Evidence: string(o.Evidence), Checked: string(o.Checked), Recall: o.Recall, Detail: o.Detail,
			Sources: o.Sources}
		for _, f := range g.Facts {
			fj := factJSON{Label: f.Label, Value: f.Value, Entries: matchList(f.Refs), Unit: f.Unit}
			if f.Min != 0 || f.Max != 0 {
				fj.Min = &f.Min
			}
			if f.Max != 0 {
				fj.Max = &f.Max
			}
			gj.Facts = append(gj.Facts, fj)
		}
		j.Groups = append(j.Groups, gj)
	}
	for _, s := range e.Sources {
		j.Sources = append(j.Sources, sourceJSON(*s))
	}
	return j
}
