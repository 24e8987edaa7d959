package session

import (
	"fmt"
	"runtime/debug"
	"slices"

	"hedgereach/app/recovery"
	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// A measurer is a habitat.Assessor, or in tests something that fails.
type measurer interface {
	SetOptions(habitat.Options)
	Assess(*plan.Plan) *habitat.Assessment
}

func (s *Session) newMeasurer() measurer { return habitat.NewAssessor(s.catalogue, s.options()) }

func (s *Session) options() habitat.Options {
	o := habitat.Options{On: s.ask.On}
	if s.ask.RangeM > 0 {
		o.RangesM = []float64{s.ask.RangeM}
	}
	return o
}

// Assessment is of Plan, with the Ask's time and range. Never nil.
func (s *Session) Assessment() *habitat.Assessment { return s.assessment }

// measure brings the assessment, and the finding shown, up to the plan shown.
func (s *Session) measure() {
	s.assessment = s.assess(s.Plan())
	s.keepAsking()
	s.shown = s.again(s.shown)
}

// assess measures p. A fault of the engine must not take the window, and the grower's unsaved work, with it: then every bed
// is unknown, a finding says so, and the next edit starts with nothing kept.
func (s *Session) assess(p *plan.Plan) (a *habitat.Assessment) {
	defer func() {
		if r := recover(); r != nil || a == nil {
			if r != nil {
				recovery.Tell(r, debug.Stack())
			}
			s.measurer = s.newMeasurer()
			a = s.unmeasured(p, r)
		}
	}()
	return s.measurer.Assess(p)
}

func (s *Session) unmeasured(p *plan.Plan, fault any) *habitat.Assessment {
	a := &habitat.Assessment{Plan: p, Catalogue: s.catalogue, Options: s.options()}
	for _, f := range p.Features {
		if f.Kind == plan.Bed {
			a.Beds = append(a.Beds, &habitat.Bed{Feature: f})
		}
	}
	a.Findings = []habitat.Finding{{
		Key: "not-measured", Rule: "not-measured", Severity: habitat.Warning, Title: "The plan could not be measured",
		Message: fmt.Sprintf("The program failed while it measured this plan (%v). Your drawing is safe.", fault),
		Mend:    "Undo the last edit, save the plan, and report the fault with the file.",
	}}
	return a
}

// Status is the bed's standing with what is asked about (guild, or any refuge at the range).
func (s *Session) Status(b *habitat.Bed) habitat.Status {
	if s.ask.Guild != nil {
		if g := b.Guild(s.ask.Guild.ID); g != nil {
			return g.Status
		}
		return habitat.Unknown
	}
	if s.ask.RangeM <= 0 || b.AreaM2 == 0 {
		return habitat.Unknown
	}
	return b.Refuge.At(s.ask.RangeM)
}

// again finds the finding as it is now, so that the line that shows it follows the drawing; nil once it is mended. A finding of
// the season stays as it was said until the season is worked out afresh.
func (s *Session) again(f *habitat.Finding) *habitat.Finding {
	if f == nil {
		return nil
	}
	lists := [][]habitat.Finding{s.assessment.Findings}
	if s.seasons.latest != nil {
		lists = append(lists, s.seasons.latest.Findings)
	}
	for _, list := range lists {
		for i := range list {
			if g := &list[i]; g.Same(f) {
				return g
			}
		}
	}
	return nil
}

// Findings are those of the ground and, once it is worked out, of the season, the gravest first.
func (s *Session) Findings() []habitat.Finding {
	all := slices.Clone(s.assessment.Findings)
	if s.seasons.latest != nil {
		all = append(all, s.seasons.latest.Findings...)
	}
	slices.SortStableFunc(all, func(x, y habitat.Finding) int { return x.Severity.Gravity() - y.Severity.Gravity() })
	return all
}
