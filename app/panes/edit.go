package panes

import (
	"strings"

	"hedgereach/app/session"
	"hedgereach/habitat/plan"
)

// edit commits a change of one feature: it copies the feature, lets change work on the copy, and makes a plan that holds it.
func edit(s *session.Session, id, name string, change func(*plan.Feature) error) error {
	p := s.Committed()
	f, i := p.Find(id)
	if f == nil {
		return nil // deleted meanwhile, so there is nothing left to change
	}
	c := f.Clone()
	if err := change(c); err != nil {
		return err
	}
	q := p.Clone()
	q.Features[i] = c
	return s.Commit(name+" "+Title(f), q)
}

// Title is what a feature is called in a sentence: its name, else its kind.
func Title(f *plan.Feature) string {
	if n := strings.TrimSpace(f.Name); n != "" {
		return n
	}
	return "unnamed " + strings.ToLower(f.Kind.Label())
}
