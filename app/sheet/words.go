package sheet

import (
	"regexp"
	"strings"
	"unicode"

	"hedgereach/app/drawing/face"
	"hedgereach/geometry/length"
	"hedgereach/habitat/plan"
)

// lengths writes measures in the plan's units.
type lengths length.System

func lengthsOf(u plan.Units) lengths {
	if u == plan.US {
		return lengths(length.US)
	}
	return lengths(length.Metric)
}

// brief writes a range.
func (l lengths) brief(m float64) string { return joined(length.FormatRange(m, length.System(l))) }

func (l lengths) text(m float64) string  { return joined(length.Format(m, length.System(l))) }
func (l lengths) area(m2 float64) string { return joined(length.FormatArea(m2, length.System(l))) }

func joined(s string) string { return strings.ReplaceAll(s, " ", string(noBreak)) }

// A letter is how words are set.
type letter struct {
	size         float64 // em height, millimetres
	bold, italic bool
}

func (t letter) width(s string) float64 { return face.Width(s, t.size, t.bold, t.italic) }

// noBreak is the space that keeps a figure and its unit on one line.
const noBreak = '\u00a0'

// apart are figures with the unit or month that they must not be parted from, and the dash of a range, which begins no line.
var apart = regexp.MustCompile(`(\d) (%|(?:m²|m|cm|mm|ha|ft|kg|Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b)| (–) `)

// kept sets spaces that do not break where a line had better not end.
func kept(s string) string {
	if !strings.ContainsAny(s, "0123456789–") {
		return s
	}
	return apart.ReplaceAllStringFunc(s, func(m string) string {
		if strings.HasPrefix(m, " ") {
			return string(noBreak) + "– "
		}
		return strings.Replace(m, " ", string(noBreak), 1)
	})
}

// parts are the pieces of words between which a line may end.
func parts(s string) []string {
	return strings.FieldsFunc(kept(s), func(r rune) bool { return unicode.IsSpace(r) && r != noBreak })
}

// longest is the width of the widest piece that does not break.
func (t letter) longest(s string) (w float64) {
	for _, p := range parts(s) {
		w = max(w, t.width(face.Clean(p)))
	}
	return w
}

// wrap breaks words into lines no wider than width. A word that is wider than a line is broken within.
func (t letter) wrap(s string, width float64) []string {
	var lines []string
	line := ""
	for _, w := range parts(s) {
		w = face.Clean(w)
		next := w
		if line != "" {
			next = line + " " + w
		}
		if t.width(next) <= width {
			line = next
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for w != "" && t.width(w) > width { // a width below nothing would else never end
			n := t.fits(w, width)
			lines = append(lines, w[:n])
			w = w[n:]
		}
		line = w
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// wrapAfter breaks words into lines of which the first has so much less room, for a name that stands before it.
func (t letter) wrapAfter(s string, width, taken float64) []string {
	words := strings.Fields(face.Clean(s))
	n := 0
	for n < len(words) && t.width(strings.Join(words[:n+1], " ")) <= width-taken {
		n++
	}
	lines := []string{strings.Join(words[:n], " ")}
	if n < len(words) {
		lines = append(lines, t.wrap(strings.Join(words[n:], " "), width)...)
	}
	return lines
}

// fits is how many bytes of the word go into the width, one letter at least.
func (t letter) fits(w string, width float64) int {
	n := 0
	for i, r := range w {
		next := i + len(string(r))
		if n > 0 && t.width(w[:next]) > width {
			break
		}
		n = next
	}
	return n
}

// cut shortens words to one line of the width, with an ellipsis where something went: at the end of a word, unless that would
// leave less than half of the line.
func (t letter) cut(s string, width float64) string {
	s = strings.Join(strings.Fields(face.Clean(s)), " ")
	if t.width(s) <= width {
		return s
	}
	room := width - t.width("…")
	for i := len(s); i > 0; {
		i -= lastLetter(s[:i])
		if t.width(s[:i]) > room {
			continue
		}
		if end := strings.LastIndexByte(s[:i], ' '); s[i] != ' ' && end > 0 && t.width(s[:end]) > room/2 {
			i = end
		}
		return strings.TrimRight(s[:i], " ,.;") + "…"
	}
	return ""
}

func lastLetter(s string) int {
	r := []rune(s)
	return len(string(r[len(r)-1]))
}

// limit keeps at most n lines; the last then ends in an ellipsis.
func (t letter) limit(lines []string, n int, width float64) []string {
	if len(lines) <= n {
		return lines
	}
	if n <= 0 {
		return nil
	}
	out := append([]string(nil), lines[:n]...)
	last := strings.TrimRight(out[n-1], " ,;") + "…"
	if t.width(last) > width {
		last = t.cut(last, width)
	}
	out[n-1] = last
	return out
}
