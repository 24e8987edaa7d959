package data

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"
)

// A Never is a plant that is never offered for planting, by law or for safety, everywhere or on some continents.
type Never struct {
	ID, Name   string
	Scientific string   // genus, or genus and species: every plant whose name begins so is meant
	Where      []string // continents; none = everywhere
	Why        string
	From       Origin
}

// readNever also checks that no plant of the catalogue is one of them.
func readNever(dir fs.FS, c *Catalogue) error {
	return readTable(dir, "never-offered.csv", func(r *row) {
		n := &Never{ID: r.id(), Name: r.need("name"), Scientific: r.need("scientific"), Where: r.words("where", continents),
			Why: r.need("why"), From: r.origin("why", c)}
		c.Never = append(c.Never, n)
		for _, p := range c.Plants {
			if n.names(p.Scientific) && !n.keptFrom(p) {
				r.fail("scientific", p.ID+" of plants.csv is offered", "take that plant out, or name the continents in its not_offered_in")
			}
		}
	})
}

// names tells whether a scientific name means this plant.
func (n *Never) names(scientific string) bool {
	rest, ok := strings.CutPrefix(strings.ToLower(strings.TrimSpace(scientific)), strings.ToLower(n.Scientific))
	return ok && (rest == "" || rest[0] == ' ')
}

// keptFrom tells whether a plant is marked as not to be offered wherever this one is not.
func (n *Never) keptFrom(p *Plant) bool {
	if len(n.Where) == 0 {
		return false
	}
	for _, x := range n.Where {
		if !slices.Contains(p.NotOfferedIn, x) {
			return false
		}
	}
	return true
}

// keepOut refuses a grower's own plant that is never offered, and marks one that is not offered on some continents.
func (c *Catalogue) keepOut(p *Plant) error {
	for _, n := range c.Never {
		switch {
		case !n.names(p.Scientific):
		case len(n.Where) == 0:
			return fmt.Errorf("%s (%s) must not be planted: %s", n.Name, n.Scientific, n.Why)
		default:
			for _, x := range n.Where {
				p.NotOfferedIn, p.InvasiveIn = with(p.NotOfferedIn, x), with(p.InvasiveIn, x)
			}
		}
	}
	return nil
}

func with(list []string, word string) []string {
	if slices.Contains(list, word) {
		return list
	}
	return append(slices.Clone(list), word)
}
