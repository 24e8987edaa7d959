package strip

import (
	"time"

	"hedgereach/data/season"
)

// beat is how long a half-month stands while the year is played: long enough to see what changes on the ground.
const beat = 700 * time.Millisecond

const (
	playWord = "Play the year"
	stopWord = "Stop"
)

// Play goes through the half-months once, from the one that is chosen or from January on, and then back to where it began;
// called again it stops.
func (t *Strip) Play() {
	if t.playing != nil {
		t.Stop()
		return
	}
	began := t.session.Ask().On
	next := season.HalfMonth(0)
	if began != nil {
		next = *began
	}
	stop := make(chan struct{})
	t.playing = func() { close(stop) }
	t.play.SetText(stopWord)
	t.play.SetOn(true)
	left := season.HalfMonths
	go func() {
		tick := time.NewTicker(t.tick)
		defer tick.Stop()
		for {
			select {
			case <-stop:
				return
			case <-tick.C:
			}
			t.dispatch(func() {
				select {
				case <-stop: // it was stopped while this waited for its turn
					return
				default:
				}
				if left--; left <= 0 {
					t.Stop()
					choose(t.session, began)
					return
				}
				next = (next + 1) % season.HalfMonths
				t.show(next)
			})
		}
	}()
	t.show(next)
}

// show asks about a half-month without stopping the play.
func (t *Strip) show(h season.HalfMonth) {
	t.chart.over = nil
	choose(t.session, &h)
}

// Stop ends the play where it is; nothing happens where none is under way.
func (t *Strip) Stop() {
	if t.playing == nil {
		return
	}
	t.playing()
	t.playing = nil
	t.play.SetText(playWord)
	t.play.SetOn(false)
}

// Playing tells whether the year is being played.
func (t *Strip) Playing() bool { return t.playing != nil }
