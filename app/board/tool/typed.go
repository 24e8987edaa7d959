package tool

import (
	"strings"

	"hedgereach/geometry/length"
)

// A typed length is being written while a shape is drawn: "12", "4' 6", "1.2 m". It starts with a digit or a point, so that
// the single keys for tools keep working.
type typed string

// rune takes a letter; false where it cannot belong to a length.
func (t *typed) rune(r rune) bool {
	switch {
	case r >= '0' && r <= '9', r == '.', r == ',':
	case *t == "":
		return false
	case !strings.ContainsRune(" '\"’”′″ftincmyd½¼¾/", r):
		return false
	}
	if len(*t) < 24 {
		*t += typed(r)
	}
	return true
}

// back takes the last letter away; false where there is none.
func (t *typed) back() bool {
	rs := []rune(*t)
	if len(rs) == 0 {
		return false
	}
	*t = typed(rs[:len(rs)-1])
	return true
}

// metres reads it as a length above nothing.
func (t typed) metres(sys length.System) (float64, error) {
	return length.Parse(strings.TrimSpace(string(t)), sys)
}

// so far is the length as far as it can be read already, for the live picture.
func (t typed) soFar(sys length.System) (float64, bool) {
	if t == "" {
		return 0, false
	}
	m, err := t.metres(sys)
	return m, err == nil && m > 0
}
