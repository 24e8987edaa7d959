package window

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"hedgereach/habitat"
	"hedgereach/habitat/degreeday"
	"hedgereach/habitat/plan"
)

// askWeather takes a weather station's file of lowest and highest temperatures into the plan, so that pests with a published
// model are timed by it.
func (w *Window) askWeather() {
	newFileChooser(w, "Weather of a station near by", "Open", w.folder(), "", []string{".csv", ".txt"}, func(path string) {
		words, err := w.takeWeather(path)
		if err != nil {
			w.complain(err)
			return
		}
		w.say(words)
	}).show()
}

// takeWeather answers what was read.
func (w *Window) takeWeather(path string) (string, error) {
	in, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer in.Close()
	name := filepath.Base(path)
	r, err := degreeday.Read(in, name, "")
	if err != nil {
		return "", err
	}
	p := w.session.Committed().Clone()
	p.Weather = habitat.WeatherOf(strings.TrimSuffix(name, filepath.Ext(name)), r)
	if err := w.session.Commit("take in the weather of "+p.Weather.Station, p); err != nil {
		return "", err
	}
	return weatherWords(p.Weather), nil
}

// dropWeather takes the weather out of the plan again.
func (w *Window) dropWeather() {
	p := w.session.Committed()
	if p.Weather == nil {
		w.say("The plan holds no weather.")
		return
	}
	q := p.Clone()
	q.Weather = nil
	if err := w.session.Commit("take the weather out", q); err != nil {
		w.complain(err)
	}
}

func weatherWords(x *plan.Weather) string {
	missing := 0
	for _, d := range x.Days {
		if d.Missing {
			missing++
		}
	}
	days := fmt.Sprintf("%d days", len(x.Days))
	if len(x.Days) == 1 {
		days = "1 day"
	}
	words := fmt.Sprintf("%s from %s on", days, x.Start.Format("2 Jan 2006"))
	if missing > 0 {
		words += fmt.Sprintf(", %d of them without a reading", missing)
	}
	return "Weather of " + x.Station + ": " + words + "."
}
