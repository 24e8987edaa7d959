package plan

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// unseen tells whether a sign cannot be seen and has no place in a name: a control character, a line break, or one that turns the
// direction of writing round, by which a name can be made to look like another.
func unseen(r rune) bool {
	return unicode.IsControl(r) || r == '\u2028' || r == '\u2029' || r >= '\u202a' && r <= '\u202e' || r >= '\u2066' && r <= '\u2069'
}

// unseenInNote is unseen for a note, which may have lines.
func unseenInNote(r rune) bool { return unseen(r) && r != '\n' && r != '\r' && r != '\t' }

// without puts spaces in place of what cannot be seen.
func (d *decoder) without(s string, unseen func(rune) bool) string {
	if !strings.ContainsFunc(s, unseen) {
		return s
	}
	d.spaced++
	return strings.Map(func(r rune) rune {
		if unseen(r) {
			return ' '
		}
		return r
	}, s)
}

// remarks says what was done to names and notes.
func (d *decoder) remarks() []string {
	switch d.spaced {
	case 0:
		return nil
	case 1:
		return []string{"a name or note had signs that cannot be seen: they are spaces now"}
	}
	return []string{fmt.Sprintf("%d names and notes had signs that cannot be seen: they are spaces now", d.spaced)}
}

// checkText refuses a text that is too long or has signs that cannot be seen.
func checkText(where, what, s string, most int, unseen func(rune) bool) *ReadError {
	if utf8.RuneCountInString(s) > most {
		return &ReadError{Where: where, What: fmt.Sprintf("%s is longer than %d characters", what, most), Mend: "shorten it"}
	}
	if i := strings.IndexFunc(s, unseen); i >= 0 {
		r, _ := utf8.DecodeRuneInString(s[i:])
		return &ReadError{Where: where, What: fmt.Sprintf("%s has a sign that cannot be seen (%U)", what, r), Mend: "take it out"}
	}
	return nil
}
