package sheet

import (
	"fmt"
	"strings"

	"hedgereach/habitat/plan"
	"hedgereach/habitat/settingout"
)

// A Kind names one of the sheets that a set can hold, as written after --sheets.
type Kind string

// The sheets.
const (
	PlotMap    Kind = "plot-map"
	ReachMap   Kind = "reach-map"
	FlowerMap  Kind = "flower-map"
	Lists      Kind = "lists"
	BloomYear  Kind = "bloom-chart"
	BedYear    Kind = "bed-calendar"
	SettingOut Kind = "setting-out"
	Planting   Kind = "planting-list"
	Cards      Kind = "work-cards"
	Weekly     Kind = "weekly-list"
	Scouting   Kind = "scouting"
	Labels     Kind = "labels"
	Notice     Kind = "notice-board"
)

// A Sheet is what a set can hold, for choosing among them.
type Sheet struct {
	Kind  Kind
	Title string // as on the sheet, in the bookmarks and where sheets are chosen
	About string // one line: what it is for
	Usual bool   // it is in a set for which no sheets were chosen; see UsualOf
	// make adds its pages to the job's set, or none where the plan has nothing for it.
	make func(*job)
}

// Sheets are all the sheets, in the order in which a set holds them. A new one is a row here and a function that adds pages.
var Sheets = []Sheet{
	{PlotMap, "Plot map", "the ground to true scale, with legend, grid, scale bars and north", true, (*job).plotMap},
	{ReachMap, "Reach map", "how far the guild or range asked about works, and which beds it reaches", true, (*job).reachMap},
	{FlowerMap, "Flower map", "what flowers where in each half-month; a large map of the one asked about", true, (*job).flowerMap},
	{Lists, "Lists", "beds, habitats, what flowers when, findings, cautions and sources", true, (*job).lists},
	{BloomYear, "Bloom chart", "what flowers when, in which habitat, and whom it feeds", true, (*job).bloomYear},
	{BedYear, "Bed calendar", "what stands in each bed, when it is covered, and when its pests come", false, (*job).bedYear},
	{SettingOut, "Setting out", "tape lengths from two stakes to every corner; left out where the plan has not got two", true, (*job).settingOut},
	{Planting, "Planting list", "how many plants and seeds for each bed and habitat, how far apart, how deep and when; what to buy", true, (*job).plantingList},
	{Weekly, "Weekly list", "the season's work week by week, to tick off", true, (*job).weeklyList},
	{Cards, "Work cards", "a card for each bed and habitat, two to a page, with a sketch", false, (*job).workCards},
	{Scouting, "Scouting sheet", "pests with where and how to look, thresholds, and room for counts and enemies seen", true, (*job).scouting},
	{Labels, "Labels", "names of beds and plants in large letters, to cut out", false, (*job).labels},
	{Notice, "Notice board", "why the rough edge is left alone, for whoever walks by", true, (*job).notice},
}

// UsualOf tells whether a sheet is in a set of the plan for which no sheets were chosen.
func (s Sheet) UsualOf(p *plan.Plan) bool {
	if s.Kind != SettingOut || !s.Usual {
		return s.Usual
	}
	book, err := settingout.Measure(p, settingout.Centimetre)
	return err == nil && canSetOut(book)
}

// KindNamed finds a sheet by its id, in any case.
func KindNamed(id string) (Kind, error) {
	var ids []string
	for _, s := range Sheets {
		if strings.EqualFold(string(s.Kind), strings.TrimSpace(id)) {
			return s.Kind, nil
		}
		ids = append(ids, string(s.Kind))
	}
	return "", fmt.Errorf("%q is not a sheet: use %s", id, strings.Join(ids, ", "))
}
