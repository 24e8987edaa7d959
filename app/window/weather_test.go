package window

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A station's file becomes part of the plan as one step; a bad one changes nothing and says where it is bad.
func TestWeatherIsTakenIn(t *testing.T) {
	w := open(t)
	file := func(name, text string) string {
		path := filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	words, err := w.takeWeather(file("orchard hill.csv", "date,tmin_c,tmax_c\n2026-04-01,1.5,12\n2026-04-02,,14\n2026-04-03,3,15\n"))
	if err != nil {
		t.Fatal(err)
	}
	x := w.session.Committed().Weather
	if x == nil || x.Station != "orchard hill" || len(x.Days) != 3 || !x.Days[1].Missing || x.Days[2].High != 15 {
		t.Fatalf("took in %+v", x)
	}
	if !strings.Contains(words, "3 days from 1 Apr 2026") || !strings.Contains(words, "1 of them") {
		t.Errorf("says %q", words)
	}
	one := *x
	one.Days = one.Days[:1]
	if words := weatherWords(&one); !strings.Contains(words, ": 1 day from 1 Apr 2026") {
		t.Errorf("says %q of one day", words)
	}
	before := w.session.Committed()
	if _, err := w.takeWeather(file("bad.csv", "date,tmin_c,tmax_c\n2026-04-01,warm,12\n")); err == nil || !strings.Contains(err.Error(), "bad.csv") {
		t.Errorf("a word for a temperature: %v", err)
	}
	if w.session.Committed() != before {
		t.Error("a bad file changed the plan")
	}
	w.dropWeather()
	if w.session.Committed().Weather != nil {
		t.Error("the weather stays")
	}
	w.session.Undo()
	if w.session.Committed().Weather != x {
		t.Error("undo does not bring the weather back")
	}
}
