package panes

import (
	"regexp"
	"slices"
	"strings"

	"hedgereach/data"
)

// studyMark is what a study's id looks like in the catalogue's own words.
var studyMark = regexp.MustCompile(`\b[a-z][0-9]+\b`)

// spelled puts authors and year in the place of the ids of studies, which mean nothing to a grower.
func spelled(c *data.Catalogue, text string) string {
	return studyMark.ReplaceAllStringFunc(text, func(id string) string {
		i := slices.IndexFunc(c.Studies, func(s *data.Study) bool { return s.ID == id })
		if i < 0 {
			return id
		}
		if cite := shortCite(c, c.Studies[i].From); cite != "" {
			return cite
		}
		return "a study with no author named"
	})
}

// shortCite is "Long and others 1998"; "" where no source is named.
func shortCite(c *data.Catalogue, o data.Origin) string {
	for _, id := range o.Sources {
		if s := c.Source(id); s != nil {
			return short(s.Citation)
		}
	}
	return ""
}

var yearMark = regexp.MustCompile(`\b(1[6-9]|20)[0-9]{2}\b`)

// short is the authors and the year of a citation as they stand in a sentence; without a year, its first words.
func short(citation string) string {
	at := yearMark.FindStringIndex(citation)
	if at == nil {
		first, _, _ := strings.Cut(citation, ",")
		first, _, _ = strings.Cut(first, " (")
		return first
	}
	year := citation[at[0]:at[1]]
	authors := strings.Split(strings.Trim(citation[:at[0]], " ,;.("), ",")
	for i, a := range authors {
		authors[i] = surname(a)
	}
	switch last := authors[len(authors)-1]; {
	case last == "and others":
		return authors[0] + " and others " + year
	case len(authors) == 1:
		return authors[0] + " " + year
	case len(authors) == 2:
		return authors[0] + " and " + authors[1] + " " + year
	}
	return authors[0] + " and others " + year
}

// surname is an author without the initials, which follow the name.
func surname(author string) string {
	words := strings.Fields(author)
	for len(words) > 1 && strings.ToUpper(words[len(words)-1]) == words[len(words)-1] {
		words = words[:len(words)-1]
	}
	return strings.Join(words, " ")
}
