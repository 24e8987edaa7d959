package command

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"hedgereach/data"
)

// writeMatches lists entries, each as the question that gives it alone.
func writeMatches(w io.Writer, found []data.Match) error {
	t := texter{w: w}
	width := 0
	for _, m := range found {
		width = max(width, len(m.List+"/"+m.ID))
	}
	for _, m := range found {
		t.linef("%-*s  %s", width, m.List+"/"+m.ID, m.Name)
	}
	return t.err
}

// writeEntry writes an entry for people: its facts in groups, under each how sure they are and where they come from, and the
// full citations at the end.
func writeEntry(w io.Writer, e *data.Entry) error {
	t := texter{w: w}
	title := e.Name
	if e.List == "source" { // a citation may end with a stop
		title = strings.TrimSuffix(title, ".")
	}
	t.paragraph("", fmt.Sprintf("%s (%s/%s)", capital(title), e.List, e.ID))
	for _, g := range e.Groups {
		if g.Heading != "" {
			t.line("")
			t.line(g.Heading)
		}
		for _, f := range g.Facts {
			t.paragraph("  ", f.Label+": "+f.Value)
		}
		if from := origin(g.From); from != "" {
			t.paragraph("    ", from)
		}
	}
	if len(e.Sources) > 0 {
		t.line("")
		t.line("Sources")
	}
	for _, s := range e.Sources {
		words := s.ID + ": " + strings.TrimSuffix(s.Citation, ".") + "."
		if s.DOI != "" {
			words += " doi " + s.DOI + "."
		}
		if s.Address != "" {
			words += " Read at " + s.Address + "."
		}
		if s.Note != "" {
			words += " " + capital(s.Note) + "."
		}
		t.paragraph("  ", words)
	}
	return t.err
}

// origin says how sure a fact is, how far our copy was checked, and where it comes from; "" for a mere description.
func origin(o data.Origin) string {
	var parts []string
	if o.Evidence != "" {
		parts = append(parts, "Evidence: "+string(o.Evidence)+".")
	}
	if o.Checked != "" {
		checked := string(o.Checked)
		if o.Recall != "" {
			checked += " (" + o.Recall + ")"
		}
		parts = append(parts, "Our copy: "+checked+".")
	}
	if len(o.Sources) > 0 {
		parts = append(parts, "Sources: "+strings.Join(o.Sources, ", ")+".")
	}
	if o.Detail != "" {
		parts = append(parts, "Where: "+o.Detail+".")
	}
	return strings.Join(parts, " ")
}

func capital(s string) string {
	first, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(first)) + s[n:]
}
