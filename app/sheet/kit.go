package sheet

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
	"hedgereach/app/style"
	"hedgereach/data/season"
	"hedgereach/habitat"
	"hedgereach/habitat/pestwindow"
	"hedgereach/habitat/plan"
	"hedgereach/habitat/quantities"
	"hedgereach/habitat/tasks"
)

// What is carried into the field is printed on paper for the hand, however large the map is.

// onHand lays the sheets that follow on A4, or Letter where the plan or the map's paper is American, the short side up or
// across; on the set's own paper where that is smaller. The function that it answers goes back to the map's paper.
func (j *job) onHand(landscape bool) (back func()) {
	was := j.paper
	hand := Papers[0]
	if j.a.Plan.Units == plan.US || was.Name == "Letter" || was.Name == "Legal" || was.Name == "Tabloid" || strings.HasPrefix(was.Name, "ANSI") || strings.HasPrefix(was.Name, "ARCH") {
		for _, p := range Papers {
			if p.Name == "Letter" {
				hand = p
			}
		}
	}
	if was.W*was.H < hand.W*hand.H {
		hand = was
	}
	j.paper = Paper{hand.Name, min(hand.W, hand.H), max(hand.W, hand.H)}
	if landscape {
		j.paper.W, j.paper.H = j.paper.H, j.paper.W
	}
	j.lettersFor(hand)
	return func() {
		j.paper = was
		j.letters()
	}
}

// Letter sizes of what is read at arm's length, in points of the drawing.
const (
	handSmall = 11.5
	handBody  = 13.5
	handHead  = 17.0
	handName  = 30.0
)

func (j *job) hand(points float64) letter     { return letter{size: j.look.Pt(points)} }
func (j *job) handBold(points float64) letter { return letter{size: j.look.Pt(points), bold: true} }

// A fieldwork is what the sheets for the field share: numbers of plants and dated work, worked out once a set.
type fieldwork struct {
	list  *quantities.List
	tasks []tasks.Task
	pests *pestwindow.Calendar
}

// field works out numbers and work on first use.
func (j *job) field() *fieldwork {
	if j.work == nil {
		j.work = &fieldwork{}
		j.work.list, _ = quantities.Of(j.a.Plan, j.a.Catalogue, j.o.Numbers) // Make checked them
		j.work.pests = habitat.PestCalendar(j.a.Plan, j.a.Catalogue, habitat.Record(j.a.Plan.Weather))
		j.work.tasks = tasks.Of(j.a, j.work.list, j.work.pests)
	}
	return j.work
}

// name is what a feature is called on the map, with its number where it has one that is not its name.
func (j *job) name(f *plan.Feature) string {
	name := f.Title()
	words := strings.Fields(name)
	if n := j.numbers[f.ID]; n != "" && (len(words) == 0 || words[len(words)-1] != n) { // "Bed 5" holds its 5 already
		name = n + " " + name
	}
	return name
}

// names lists features; more than most are only counted.
func (j *job) names(features []*plan.Feature, most int) string {
	var out []string
	for i, f := range features {
		if i == most && len(features) > most+1 {
			return strings.Join(out, ", ") + fmt.Sprintf(" and %d more", len(features)-most)
		}
		out = append(out, joined(j.name(f)))
	}
	return strings.Join(out, ", ")
}

// short writes a short length as a hand's rule has it: whole centimetres, halves below five and millimetres below one, or inches and their quarters.
func (j *job) short(m float64) string {
	if j.a.Plan.Units == plan.US {
		eighths := math.Round(m / 0.0254 * 8)
		if eighths > 16 || eighths == 0 { // above two inches quarters do, above a foot whole ones
			step := 2.0
			if eighths > 96 {
				step = 8
			}
			eighths = math.Round(m/0.0254*8/step) * step
		}
		whole, part := math.Floor(eighths/8), int(eighths)%8
		s := ""
		if whole > 0 || part == 0 {
			s = fmt.Sprintf("%.0f", whole)
		}
		return joined(s + []string{"", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"}[part] + " in")
	}
	switch cm := m * 100; {
	case cm >= 5:
		return joined(fmt.Sprintf("%.0f cm", cm))
	case cm >= 1:
		return joined(fmt.Sprintf("%g cm", math.Round(cm*2)/2))
	}
	return joined(fmt.Sprintf("%.0f mm", m*1000))
}

// between writes a range of short lengths.
func (j *job) between(low, high float64) string {
	a, b := j.short(low), j.short(high)
	if a == b {
		return a
	}
	number, unit, _ := strings.Cut(a, string(noBreak))
	if strings.HasSuffix(b, string(noBreak)+unit) {
		return number + "–" + b
	}
	return a + " – " + b
}

// rows is the length of rows, to the metre or foot where it is long: their ends are not so sure.
func (j *job) rows(m float64) string {
	if j.a.Plan.Units == plan.US {
		return joined(fmt.Sprintf("%s ft", thousands(int(math.Ceil(m/0.3048-1e-9)))))
	}
	if m < 10 {
		return joined(fmt.Sprintf("%.1f m", m))
	}
	return joined(fmt.Sprintf("%s m", thousands(int(math.Ceil(m-1e-9)))))
}

// listed joins words as a sentence does.
func listed(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}

// span is a window in words: one day of it where it has no more, and the whole year as such.
func span(w season.Window) string {
	switch {
	case w.From == w.To:
		return w.From.Label()
	case w.Given() && w.To.Add(1) == w.From:
		return "all year"
	}
	return w.Label()
}

// count is how many are to stand.
func count(m quantities.Method, n int) string { return thousands(quantities.Said(m, n)) }

// thousands groups figures: 12 345.
func thousands(n int) string {
	s := fmt.Sprint(n)
	for i := len(s) - 3; i > 0 && n >= 10000; i -= 3 {
		s = s[:i] + "\u202f" + s[i:]
	}
	return s
}

// tick is a box to tick, as high as a line of words.
func (j *job) tick(at orb.Point, size float64) drawing.Op {
	return drawing.Stroke{Path: drawing.Rect(at[0], at[1], at[0]+size, at[1]+size), Pen: j.look.Pen(j.look.Ink, style.Fine)}
}

// cautions pours those against some dangers, in the words of the one list, under a head in the caution's colour.
func (f *flow) cautions(dangers ...habitat.Danger) {
	t, head := f.j.hand(handSmall), f.j.handBold(handBody)
	f.y += 1.5
	f.room(head.size*1.6 + t.size*lead*2)
	title := f.j.words(orb.Point{f.x, f.y + head.size}, "Take care", head, false)
	title.Color = f.j.look.Caution
	f.add(title)
	f.y += head.size * 1.5
	for _, d := range dangers {
		c := habitat.CautionOf(d)
		f.room(f.height(c, t, t.size))
		f.add(f.j.words(orb.Point{f.x, f.y + t.size}, "–", t, false))
		f.paragraph(c, t, false, t.size)
	}
	f.y += 2.5
}
