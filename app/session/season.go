package session

import (
	"runtime/debug"
	"slices"
	"time"

	"hedgereach/app/recovery"
	"hedgereach/habitat"
)

// usualRest is how long a plan must stand before its season is worked out: edits often come in runs.
const usualRest = 150 * time.Millisecond

// seasons keeps the season of the committed plan.
type seasons struct {
	dispatch func(func())
	rest     time.Duration
	latest   *habitat.Season
	of       *habitat.Assessment // that latest was, or is being, made from
	number   int                 // of the newest that was asked for
	waits    *time.Timer         // until the plan has rested; nil before the first

	preparing *habitat.Season // whose half-months are being measured, or are
	prepared  *habitat.Season // whose half-months are all measured
}

// Season is the plan's year as last worked out: of the committed plan, or of an older one while the newer is under way; nil before
// the first. SeasonChanged tells of a new one.
func (s *Session) Season() *habitat.Season { return s.seasons.latest }

// SeasonFollows tells whether the season is that of the plan as it stands now.
func (s *Session) SeasonFollows() bool {
	return s.seasons.latest != nil && s.seasons.latest.Assessment.Plan == s.Committed()
}

// KeepSeason works the season out afresh whenever the plan has changed and rests, away from the window's goroutine, to which
// dispatch hands the result. Without it there is none.
func (s *Session) KeepSeason(dispatch func(func())) {
	s.seasons.dispatch, s.seasons.rest = dispatch, usualRest
	s.Observe(func(w What) {
		if w&(PlanChanged|AskChanged|PreviewChanged) != 0 { // also when the catalogue, the range, or a gesture's plan has gone
			s.askSeason(s.seasons.rest)
		}
	})
	s.askSeason(0)
}

func (s *Session) askSeason(after time.Duration) {
	x := &s.seasons
	a := s.assessment
	if s.preview != nil || x.of != nil && x.of.Plan == a.Plan && x.of.Catalogue == a.Catalogue &&
		slices.Equal(x.of.Options.RangesM, a.Options.RangesM) {
		return
	}
	x.of = a
	x.number++
	n := x.number
	if x.waits != nil {
		x.waits.Stop() // the plan did not rest
	}
	x.waits = time.AfterFunc(after, func() {
		made := seasonOf(a)
		x.dispatch(func() {
			if n != x.number || made == nil {
				return // a newer one is under way
			}
			x.latest = made
			s.shown = s.again(s.shown)
			s.prepare()
			s.tell(SeasonChanged)
		})
	})
}

// forgetSeason leaves no season, nor findings of one, of a document that is no longer shown.
func (s *Session) forgetSeason() {
	s.seasons.latest, s.seasons.of, s.seasons.preparing, s.seasons.prepared = nil, nil, nil, nil
}

// prepare measures all half-months of the season beside the window's goroutine, once somebody goes through the year: a step is
// then a look-up.
func (s *Session) prepare() {
	x := &s.seasons
	made := x.latest
	if s.ask.On == nil || made == nil || made == x.preparing || x.dispatch == nil {
		return
	}
	x.preparing = made
	go func() {
		if prepareSeason(made, func() bool { return false }) {
			x.dispatch(func() {
				if x.preparing == made {
					x.prepared = made
				}
			})
		}
	}()
}

// lookUp takes the assessment of the half-month asked about from the season, where that is of this plan and these ranges.
func (s *Session) lookUp() bool {
	made := s.seasons.prepared
	if made == nil || made != s.seasons.latest || s.preview != nil || s.ask.On == nil || !s.SeasonFollows() ||
		made.Assessment.Catalogue != s.assessment.Catalogue ||
		!slices.Equal(made.Assessment.Options.RangesM, s.options().RangesM) {
		return false
	}
	s.assessment = made.At(*s.ask.On)
	s.keepAsking()
	s.shown = s.again(s.shown)
	return true
}

// prepareSeason is false where the work failed.
func prepareSeason(made *habitat.Season, stop func() bool) (done bool) {
	defer func() {
		if r := recover(); r != nil {
			recovery.Tell(r, debug.Stack())
		}
	}()
	made.Prepare(stop)
	return true
}

// seasonOf is nil where the work failed: a season that cannot be told must not take the window, and unsaved work, with it.
func seasonOf(a *habitat.Assessment) (made *habitat.Season) {
	defer func() {
		if r := recover(); r != nil {
			recovery.Tell(r, debug.Stack())
		}
	}()
	return habitat.SeasonOf(a)
}
