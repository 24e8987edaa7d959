package window

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hedgereach/app/own"
	"hedgereach/data"
)

// emptyOwnList is the list of a window whose own catalogue is a file that is not there yet.
func emptyOwnList(t *testing.T) (*ownList, string) {
	t.Helper()
	w := open(t)
	path := filepath.Join(t.TempDir(), "own.csv")
	var err error
	if w.own, err = own.Open(w.session.Catalogue(), path); err != nil {
		t.Fatal(err)
	}
	return w.newOwnList(), path
}

func TestOwnRangeIsMeasuredBy(t *testing.T) {
	l, path := emptyOwnList(t)
	w := l.window
	q := w.session.Ask()
	q.Guild = w.session.Catalogue().Guild("hoverflies")
	w.session.SetAsk(q)
	f := newOwnForm(l)
	f.begin("guild", "hoverflies")
	f.entries["low_m"].SetText("1")
	f.entries["typical_m"].SetText("2")
	f.entries["outer_m"].SetText("3")
	if f.keep() || !strings.Contains(f.says.Text, "where you have it from") {
		t.Errorf("an entry without a source was kept, or it said %q", f.says.Text)
	}
	f.source.SetText("counted in my beds, 2024")
	if !f.keep() {
		t.Fatal(f.says.Text)
	}
	if g := w.session.Ask().Guild; g.TypicalM != 2 || g.Origin.Checked != data.OwnEntry {
		t.Errorf("the map asks at %g m, %s", g.TypicalM, g.Origin.Checked)
	}
	if len(l.rows) != 1 || !strings.Contains(l.what(l.rows[0].OwnEntryRow), "usual range 2 m") {
		t.Errorf("lists %v", l.rows)
	}
	if b, err := os.ReadFile(path); err != nil || !strings.Contains(string(b), "counted in my beds, 2024") {
		t.Errorf("the file holds %q, %v", b, err)
	}
	l.list.Select(0)
	l.remove()
	if g := w.session.Ask().Guild; g.Origin.Checked == data.OwnEntry || len(l.rows) != 0 {
		t.Errorf("the own range of %g m stays after it was taken out", g.TypicalM)
	}
}

func TestOwnPlantByWords(t *testing.T) {
	l, _ := emptyOwnList(t)
	f := newOwnForm(l)
	f.begin("plant", "")
	f.source.SetText("seed packet")
	f.entries["name"].SetText("My sneezeweed")
	if f.keep() || f.says.Text != "Feeds or shelters: empty: give at least one name" {
		t.Errorf("a plant that feeds nobody was kept, or it said %q", f.says.Text)
	}
	for column, text := range map[string]string{"name": "My sneezeweed", "bloom_from": "1 Aug", "bloom_to": "September 30",
		"guilds": "Hoverflies, Small solitary bees", "dangers": "poisonous to stock", "caution": "keep stock off"} {
		f.entries[column].SetText(text)
	}
	if !f.keep() {
		t.Fatal(f.says.Text)
	}
	p := l.window.session.Catalogue().Plant("my-sneezeweed")
	if p == nil {
		t.Fatal("the plant is not in the catalogue")
	}
	if p.Bloom.From.String() != "08-01" || p.Bloom.To.String() != "09-30" || !p.Is(data.ToxicToStock) || len(p.Guilds) != 2 {
		t.Errorf("%+v", p)
	}
	f = newOwnForm(l)
	f.begin("plant", "my-sneezeweed")
	if got := f.entries["guilds"].Text; got != "hoverflies, small solitary bees" {
		t.Errorf("opened again, it feeds %q", got)
	}
	f.entries["guilds"].SetText("hoverflies, wool gnats")
	if f.keep() || !strings.Contains(f.says.Text, "wool gnats") {
		t.Errorf("an unknown group was taken, or it said %q", f.says.Text)
	}
	f = newOwnForm(l)
	f.begin("plant", "")
	f.source.SetText("seed packet")
	f.entries["name"].SetText("Borage")
	if f.keep() || !strings.Contains(f.says.Text, "already") {
		t.Errorf("a second borage was taken, or it said %q", f.says.Text)
	}
}

// An entry in the plan counts, is a step of the history, and goes before the one on the computer.
func TestOwnEntriesInThePlan(t *testing.T) {
	l, path := emptyOwnList(t)
	w := l.window
	rangeOf := func() float64 { return w.session.Catalogue().Guild("hoverflies").TypicalM }
	f := newOwnForm(l)
	f.begin("guild", "hoverflies")
	f.where.SetSelected(keptInPlan)
	f.source.SetText("counted here")
	f.entries["typical_m"].SetText("0.5")
	if f.keep() || !strings.Contains(f.says.Text, "Usual range, m") {
		t.Errorf("a range below the lowest was kept in the plan, or it said %q", f.says.Text)
	}
	for column, text := range map[string]string{"low_m": "1", "typical_m": "2", "outer_m": "3"} {
		f.entries[column].SetText(text)
	}
	if !f.keep() {
		t.Fatal(f.says.Text)
	}
	if rangeOf() != 2 || !w.session.Committed().HasOwn("guild", "hoverflies") {
		t.Errorf("the range is %g m", rangeOf())
	}
	if _, err := os.Stat(path); err == nil {
		t.Error("it was kept on the computer, too")
	}
	f = newOwnForm(l)
	f.begin("guild", "hoverflies")
	f.source.SetText("counted elsewhere")
	for column, text := range map[string]string{"low_m": "4", "typical_m": "5", "outer_m": "6"} {
		f.entries[column].SetText(text)
	}
	if !f.keep() {
		t.Fatal(f.says.Text)
	}
	if rangeOf() != 2 || len(l.rows) != 2 || l.kept(l.rows[1]) != "on this computer; the plan's own goes before" {
		t.Errorf("the range is %g m; listed: %+v", rangeOf(), l.rows)
	}
	if out := l.counting(); len(out) != 1 || out[0].Source != "counted here" {
		t.Errorf("written would be %+v", out)
	}
	l.list.Select(0)
	l.remove()
	if rangeOf() != 5 || len(l.rows) != 1 {
		t.Errorf("with the plan's taken out the range is %g m", rangeOf())
	}
	if name, _ := w.session.Document().UndoName(); !strings.Contains(name, "take out own Hoverflies") {
		t.Errorf("the step is called %q", name)
	}
	l.putIntoPlan() // nothing chosen: all that the plan is measured by
	if !w.session.Committed().HasOwn("guild", "hoverflies") || !strings.Contains(l.says.Text, "Now in the plan: Hoverflies") {
		t.Errorf("said %q", l.says.Text)
	}
	l.putIntoPlan()
	if !strings.Contains(l.says.Text, "nothing of your own") {
		t.Errorf("said %q", l.says.Text)
	}
	w.session.Undo()
	w.session.Undo()
	if rangeOf() != 2 {
		t.Errorf("after undo the range is %g m", rangeOf())
	}
	f = newOwnForm(l)
	f.begin("guild", "hoverflies")
	f.keepIn(true)
	if f.source.Text != "counted here" || f.entries["typical_m"].Text != "2" {
		t.Errorf("the form of the plan's entry shows %q", f.source.Text)
	}
}

func TestEveryColumnHasWords(t *testing.T) {
	for list := range listWords {
		for _, c := range data.OwnColumns(list) {
			if columnWords[c] == "" {
				t.Errorf("%s: %s has no words for people", list, c)
			}
		}
	}
}

func TestDamagedOwnFileIsTold(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("HOME", dir)
	t.Setenv("XDG_CONFIG_HOME", dir)
	path, err := own.File()
	if err != nil {
		t.Skip(err)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte("list,id\nplant,borage\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	w := open(t)
	w.openOwn()
	if !w.escape() {
		t.Error("no dialog says that the own catalogue is damaged")
	}
	if w.session.Catalogue().Plant("borage") == nil {
		t.Error("the program's catalogue went")
	}
	w.openOwn()
	if w.escape() {
		t.Error("the second start complains again")
	}
}

func TestOwnDialogOpens(t *testing.T) {
	l, _ := emptyOwnList(t)
	choose(t, l.window, "My own plants")
	l.window.newOwnList().add()
	for _, what := range []string{"form", "list"} {
		if !l.window.escape() {
			t.Errorf("Escape does not close the %s", what)
		}
	}
}
