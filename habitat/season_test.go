package habitat

import (
	"bytes"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry"
	"hedgereach/habitat/degreeday"
	"hedgereach/habitat/pestwindow"
	"hedgereach/habitat/plan"
)

// garden is a plan with a place in Vermont, a hedge along the west, and one bed of 40 m².
func garden(t *testing.T, crops ...plan.Planting) (*plan.Plan, *plan.Feature) {
	p := plan.New("Season")
	p.Year = 2026
	p.Place = &plan.Place{Latitude: 44, Longitude: -72.5, LastFrost: 130, FirstFrost: 274}
	hedge := plan.NewFeature(plan.Hedgerow, "Hedge", box(-20, 0, -18, 50))
	bed := plan.NewFeature(plan.Bed, "Bed", box(0, 0, 20, 2))
	bed.Crops = crops
	p.Features = []*plan.Feature{hedge, bed}
	return p, bed
}

func planted(t *testing.T, crop, from, to string) plan.Planting {
	return plan.Planting{Crop: crop, Dates: window(t, from, to), Share: 1}
}

// said are the season's findings of a rule.
func said(t *testing.T, p *plan.Plan, rule string) (list []Finding) {
	t.Helper()
	if err := p.Check(); err != nil {
		t.Fatal(err)
	}
	s := SeasonOf(Assess(p, catalogue(t), Options{}))
	keys := map[string]bool{}
	for _, f := range s.Findings {
		if f.Source == "" || f.Severity == "" || f.Title == "" || f.Mend == "" || !strings.HasSuffix(f.Message, ".") ||
			strings.Contains(f.Message+f.Mend, "%!") || strings.ContainsAny(f.Message, "\n{}[]") {
			t.Errorf("finding %+v", f)
		}
		if keys[f.Key] {
			t.Errorf("two findings have the key %q", f.Key)
		}
		keys[f.Key] = true
		for _, id := range f.Features {
			if g, _ := p.Find(id); g == nil {
				t.Errorf("%s names %q, which is no feature", f.Rule, id)
			}
		}
		if f.Rule == rule {
			list = append(list, f)
		}
	}
	return list
}

// A case is a plan that a rule speaks of, or that it only just does not.
type seasonCase struct {
	what     string
	make     func() *plan.Plan
	severity Severity // "" where the rule says nothing
	words    string   // in the message or the mend
}

func run(t *testing.T, rule string, cases []seasonCase) {
	t.Helper()
	for _, c := range cases {
		list := said(t, c.make(), rule)
		switch {
		case c.severity == "" && len(list) > 0:
			t.Errorf("%s, %s: it says %q", rule, c.what, list[0].Message)
		case c.severity != "" && len(list) == 0:
			t.Errorf("%s, %s: it says nothing", rule, c.what)
		case c.severity != "" && (list[0].Severity != c.severity || !strings.Contains(list[0].Message+" "+list[0].Mend, c.words)):
			t.Errorf("%s, %s: %s: %s %s", rule, c.what, list[0].Severity, list[0].Message, list[0].Mend)
		}
	}
}

// Klein et al. 2007: summer squash essential, cucumber great, eggplant modest, tomato little, cabbage no harvest that insects
// make; the covers' exceptions are those of the reference beside the rule. Cucumber set out on 1 June and first picked on 10 July
// flowers from 26 June by the table of days from flower to fruit (14 at most).
func TestCoverAtFlowering(t *testing.T) {
	with := func(crop string, cover plan.Cover, change func(*plan.Planting)) func() *plan.Plan {
		return func() *plan.Plan {
			c := planted(t, crop, "06-01", "09-10")
			c.FirstHarvest = day(t, "07-10")
			if change != nil {
				change(&c)
			}
			p, bed := garden(t, c)
			bed.Cover = &cover
			return p
		}
	}
	to := func(s string) plan.Cover { return plan.Cover{Dates: window(t, "06-01", s)} }
	hive := to("06-26")
	hive.BeesInside = true
	run(t, "cover-at-flowering", []seasonCase{
		{"cucumber, off the day before it flowers", with("cucumber", to("06-25"), nil), "", ""},
		{"cucumber, on the day on which it flowers", with("cucumber", to("06-26"), nil), Warning, "flowers there from about 26 Jun"},
		{"squash", with("squash-summer", to("07-03"), nil), Warning, "90 % or more"},
		{"squash, a day before", with("squash-summer", to("07-01"), nil), "", ""},
		{"eggplant", with("eggplant", to("06-20"), nil), Advice, "10 to 40 %"},
		{"tomato", with("tomato-staked", to("08-01"), nil), Note, "It may stay"},
		{"cabbage", with("cabbage", to("09-10"), nil), "", ""},
		{"cabbage for seed", with("cabbage", to("09-10"), func(c *plan.Planting) { c.ForSeed = true }), Advice, "grown for its seed"},
		{"pea", with("pea", to("09-10"), nil), "", ""},
		{"sweet corn", with("sweet-corn", to("09-10"), nil), Note, "tassels"},
		{"cucumber that needs no pollen", with("cucumber", to("06-26"), func(c *plan.Planting) { c.Parthenocarpic = true }), "", ""},
		{"a hive under the cover", with("cucumber", hive, nil), "", ""},
		{"strawberry at flowering", with("strawberry", plan.Cover{Dates: window(t, "05-20", "06-05")}, nil), Advice, "flowers there from about 5 Jun"},
		{"strawberry under fleece in autumn", with("strawberry", plan.Cover{Dates: window(t, "08-20", "11-30")}, nil), "", ""},
		{"no dates to go by", with("strawberry", plan.Cover{}, func(c *plan.Planting) { c.FirstHarvest, c.Dates = 0, season.Window{} }), Note, "is not known"},
	})
}

// The flies of the first generation come on 19 April in the mild year of the degree-day table (see mildYear).
func TestCoverTooLate(t *testing.T) {
	with := func(from string, edges plan.Edges) func() *plan.Plan {
		return func() *plan.Plan {
			p, bed := garden(t, planted(t, "cabbage", "04-01", "07-31"))
			p.Weather = WeatherOf("Mild", mildYear())
			bed.Cover = &plan.Cover{Dates: window(t, from, "06-01"), Edges: edges}
			return p
		}
	}
	run(t, "cover-too-late", []seasonCase{
		{"on before the flies", with("04-19", ""), "", ""},
		{"on the day after", with("04-20", ""), Warning, "flies, 1st generation about 19 Apr"},
		{"on from planting", with("04-01", ""), "", ""},
	})
	run(t, "cover-edges", []seasonCase{
		{"open", with("04-01", plan.EdgesOpen), Warning, "sandbags 1.5 m apart"},
		{"open, in feet", func() *plan.Plan { p := with("04-01", plan.EdgesOpen)(); p.Units = plan.US; return p }, Warning, "sandbags 4 ft 11 in apart"},
		{"not said", with("04-01", ""), Note, "is not said"},
		{"sealed", with("04-01", plan.EdgesSealed), "", ""},
	})
	run(t, "cover-shuts-out", []seasonCase{{"any", with("04-01", plan.EdgesSealed), Note, "aphids"}})
}

func TestACoverKeepsThePestOut(t *testing.T) {
	p, bed := garden(t, planted(t, "cabbage", "04-01", "07-31"))
	p.Weather = WeatherOf("Mild", mildYear())
	verdict := func() *Verdict {
		s := SeasonOf(Assess(p, catalogue(t), Options{}))
		i := slices.IndexFunc(s.Verdicts, func(v Verdict) bool { return v.Pest.ID == "cabbage-maggot" })
		return &s.Verdicts[i]
	}
	bed.Cover = &plan.Cover{Dates: window(t, "04-01", "05-31"), Edges: plan.EdgesSealed}
	if v := verdict(); v.Standing != CoverKeepsOut || !strings.Contains(v.Line(), "kept out by the cover, and its enemies too.") || len(v.Covered) != 1 {
		t.Errorf("%s: %+v", v.Line(), v)
	}
	bed.Cover.Edges = plan.EdgesOpen
	if v := verdict(); v.Standing == CoverKeepsOut || len(v.Covered) != 0 {
		t.Errorf("open edges: %s", v.Line())
	}
	bed.Cover.Edges = plan.EdgesSealed
	bed.OtherYears = []plan.CropYear{{Year: 2025, Crops: []plan.Planting{{Crop: "kale", Share: 1}}}}
	if v := verdict(); v.Standing == CoverKeepsOut {
		t.Errorf("over last year's pupae: %s", v.Line())
	}
}

func TestCoverOverTheSameFamily(t *testing.T) {
	with := func(before string, year int, covered bool) func() *plan.Plan {
		return func() *plan.Plan {
			p, bed := garden(t, planted(t, "cabbage", "05-10", "08-31"))
			bed.OtherYears = []plan.CropYear{{Year: year, Crops: []plan.Planting{{Crop: before, Share: 1}}}}
			if covered {
				bed.Cover = &plan.Cover{Dates: window(t, "05-10", "06-30"), Edges: plan.EdgesSealed}
			}
			return p
		}
	}
	run(t, "cover-same-family", []seasonCase{
		{"kale last year", with("kale", 2025, true), Warning, "cabbage family"},
		{"kale the year before", with("kale", 2024, true), "", ""},
		{"onions last year", with("onion", 2025, true), "", ""},
		{"no cover", with("kale", 2025, false), "", ""},
		{"radish earlier this year", func() *plan.Plan {
			p, bed := garden(t, planted(t, "radish", "04-10", "05-09"), planted(t, "cabbage", "05-10", "08-31"))
			bed.Cover = &plan.Cover{Dates: window(t, "05-10", "06-30")}
			return p
		}, Warning, "Cabbage follows radish"},
	})
}

// West Virginia University Extension 2025: two to three years without the family.
func TestRotationOfABed(t *testing.T) {
	with := func(crop string, year int) func() *plan.Plan {
		return func() *plan.Plan {
			p, bed := garden(t, planted(t, "cabbage", "05-10", "08-31"))
			bed.OtherYears = []plan.CropYear{{Year: year, Crops: []plan.Planting{{Crop: crop, Share: 1}}}}
			return p
		}
	}
	run(t, "rotation", []seasonCase{
		{"one year between", with("kale", 2024), Warning, "with one year between"},
		{"two years between", with("kale", 2023), Advice, "with two years between"},
		{"three years between", with("kale", 2022), "", ""},
		{"another family", with("onion", 2025), "", ""},
		{"next year", with("kale", 2027), Warning, "again in 2027 (kale), the year after"},
		{"no year given", func() *plan.Plan { p := with("kale", 2025)(); p.Year = 0; return p }, "", ""},
	})
}

func TestWhatABedHolds(t *testing.T) {
	share := func(c plan.Planting, s float64) plan.Planting { c.Share = s; return c }
	run(t, "bed-overfull", []seasonCase{
		{"together", func() *plan.Plan {
			p, _ := garden(t, share(planted(t, "kale", "05-01", "07-31"), 0.6), share(planted(t, "leek", "07-31", "10-31"), 0.5))
			return p
		}, Warning, "110 %"},
		{"one after the other", func() *plan.Plan {
			p, _ := garden(t, share(planted(t, "kale", "05-01", "07-31"), 0.6), share(planted(t, "leek", "08-01", "10-31"), 0.5))
			return p
		}, "", ""},
		{"just full", func() *plan.Plan {
			p, _ := garden(t, share(planted(t, "kale", "05-01", "07-31"), 0.6), share(planted(t, "leek", "05-01", "10-31"), 0.4))
			return p
		}, "", ""},
	})
	// Leaf lettuce takes 40 days from seed by the catalogue.
	run(t, "planting-too-short", []seasonCase{
		{"one day", func() *plan.Plan { p, _ := garden(t, planted(t, "lettuce-leaf", "05-01", "05-02")); return p }, Advice, "stands for 1 day;"},
		{"39 days", func() *plan.Plan { p, _ := garden(t, planted(t, "lettuce-leaf", "05-01", "06-09")); return p }, Advice, "10 Jun or later"},
		{"40 days", func() *plan.Plan { p, _ := garden(t, planted(t, "lettuce-leaf", "05-01", "06-10")); return p }, "", ""},
		{"set out as plants", func() *plan.Plan {
			c := planted(t, "lettuce-leaf", "05-01", "06-01")
			c.Method = plan.Transplant
			p, _ := garden(t, c)
			return p
		}, "", ""},
	})
}

// The practice asks for three species in each of three periods (USDA, CP42 job sheet for Indiana, 2012: April to 15 June, 15 June
// to July, August to October).
func TestThreeSpeciesInEachPeriod(t *testing.T) {
	with := func(n int, latitude float64, from, to string) func() *plan.Plan {
		return func() *plan.Plan {
			p, _ := garden(t)
			p.Place.Latitude = latitude
			for _, w := range [][2]string{{"04-16", "05-31"}, {"06-16", "07-31"}, {"08-01", "09-30"}} {
				if latitude < 0 {
					w = map[string][2]string{"04-16": {"10-16", "11-30"}, "06-16": {"12-16", "01-31"}, "08-01": {"02-01", "03-31"}}[w[0]]
				}
				for i, id := range []string{"yarrow", "golden-alexanders", "canada-anemone"} {
					if w[0] == from && i >= n {
						continue
					}
					g := plan.Growing{Plant: id, Share: 0.1, Bloom: window(t, w[0], w[1])}
					if i == 0 && w[0] == from && to != "" {
						g.Bloom.To = day(t, to)
					}
					h := plan.NewFeature(plan.FlowerStrip, "Strip", box(40, 0, 50, 2))
					h.Plants = []plan.Growing{g}
					p.Features = append(p.Features, h)
				}
			}
			return p
		}
	}
	run(t, "few-species-in-a-period", []seasonCase{
		{"three in each", with(3, 44, "", ""), "", ""},
		{"two in spring", with(2, 44, "04-16", ""), Advice, "In spring, 1 Apr – 15 Jun, two species flower"},
		{"two in summer", with(2, 44, "06-16", ""), Advice, "In summer, 16 Jun – 31 Jul"},
		{"two in autumn", with(2, 44, "08-01", ""), Advice, "In late summer and autumn, 1 Aug – 31 Oct"},
		{"south of the equator", with(2, -44, "10-16", ""), Advice, "In spring, 1 Oct – 15 Dec, two"},
		{"three south of the equator", with(3, -44, "", ""), "", ""},
	})
}

// The verdicts of the trials, by the catalogue's rows: collards beside herbs had more eggs (Latheef), lettuce with alyssum fewer
// aphids (Brennan), mustard at 2.4 to 12 m nothing for squash (Legaspi), borage is untested.
func TestNeighbours(t *testing.T) {
	beside := func(crop, with string, gap float64) func() *plan.Plan {
		return func() *plan.Plan {
			p, _ := garden(t, planted(t, crop, "05-01", "09-30"))
			f := plan.NewFeature(plan.FlowerStrip, "Neighbour", box(0, 2+gap, 20, 4+gap))
			if catalogue(t).Plant(with) != nil {
				f.Plants = []plan.Growing{{Plant: with, Share: 0.5}}
			} else {
				f.Kind = plan.Bed
				f.Crops = []plan.Planting{planted(t, with, "05-01", "09-30")}
			}
			p.Features = append(p.Features, f)
			return p
		}
	}
	run(t, "companion-tested", []seasonCase{
		{"lettuce and alyssum side by side", beside("lettuce-leaf", "sweet-alyssum", 1), Note, "helped where it was tested"},
		{"lettuce and alyssum too far", beside("lettuce-leaf", "sweet-alyssum", 1.1), "", ""},
		{"squash and mustard as tested", beside("squash-summer", "mustard-greens", 12), Note, "did nothing"},
		{"squash and mustard farther", beside("squash-summer", "mustard-greens", 12.1), "", ""},
		{"squash and mustard nearer than tested", beside("squash-summer", "mustard-greens", 2), "", ""},
		{"carrot and onion in one bed", func() *plan.Plan {
			p, _ := garden(t, planted(t, "carrot", "05-01", "08-31"), planted(t, "onion", "05-01", "08-31"))
			return p
		}, Note, "onions are young"},
		{"onion after carrot", func() *plan.Plan {
			p, _ := garden(t, planted(t, "carrot", "05-01", "06-30"), planted(t, "onion", "07-01", "08-31"))
			return p
		}, "", ""},
	})
	run(t, "companion-folklore", []seasonCase{
		{"tomato and borage", beside("tomato-staked", "borage", 0.5), Note, "no good trial was found"},
		{"tomato and borage apart", beside("tomato-staked", "borage", 3), "", ""},
	})
}

// Where a trial gives no distance, how near is near is our judgement, and a finding says so, in the plan's own units.
func TestHowNearANeighbourIsCountedIsSaid(t *testing.T) {
	for _, c := range []struct {
		what, rule, crop, with string
		gap                    float64
		units                  plan.Units
		want                   string
	}{
		{"no distance given", "companion-tested", "lettuce-leaf", "sweet-alyssum", 0.5, "", "; that beside means within 1 m is our judgement"},
		{"in feet", "companion-tested", "lettuce-leaf", "sweet-alyssum", 0.5, plan.US, "; that beside means within 3 ft 3 in is our judgement"},
		{"folklore", "companion-folklore", "tomato-staked", "borage", 0.5, "", "; that beside means within 1 m is our judgement"},
		{"a distance given", "companion-tested", "squash-summer", "mustard-greens", 12, "", ""},
		{"in the bed itself", "companion-tested", "carrot", "onion", 0, "", ""},
	} {
		p, bed := garden(t, planted(t, c.crop, "05-01", "09-30"))
		if c.units != "" {
			p.Units = c.units
		}
		f := plan.NewFeature(plan.FlowerStrip, "Neighbour", box(0, 2+c.gap, 20, 4+c.gap))
		switch {
		case catalogue(t).Plant(c.with) != nil:
			f.Plants = []plan.Growing{{Plant: c.with, Share: 0.5}}
		case c.gap > 0:
			f.Kind, f.Crops = plan.Bed, []plan.Planting{planted(t, c.with, "05-01", "09-30")}
		default:
			bed.Crops = append(bed.Crops, planted(t, c.with, "05-01", "09-30"))
			bed.Crops[0].Share, bed.Crops[1].Share = 0.5, 0.5
		}
		p.Features = append(p.Features, f)
		list := said(t, p, c.rule)
		if len(list) == 0 {
			t.Errorf("%s: it says nothing", c.what)
		}
		for _, f := range list {
			if says := strings.Contains(f.Source, "our judgement"); says != (c.want != "") || !strings.HasSuffix(f.Source, c.want) {
				t.Errorf("%s: source %q, want %q in it", c.what, f.Source, c.want)
			}
		}
	}
}

// Collards beside sage had more eggs of the imported cabbageworm (Latheef and others 1983); tomato and basil, trials differ. The
// catalogue knows these herbs by their names only.
func TestNeighboursThatTheCatalogueDoesNotList(t *testing.T) {
	with := func(crop, herb string, gap float64) func() *plan.Plan {
		return func() *plan.Plan {
			p, _ := garden(t, planted(t, crop, "05-01", "09-30"))
			f := plan.NewFeature(plan.FlowerStrip, "Herbs", box(0, 2+gap, 20, 4+gap))
			f.Plants = []plan.Growing{{Plant: herb, Share: 0.5}}
			p.Features = append(p.Features, f)
			return p
		}
	}
	run(t, "companion-harms", []seasonCase{
		{"collard and sage", with("collard", "sage", 1), Warning, "did harm"},
		{"collard and sage apart", with("collard", "sage", 1.1), "", ""},
		{"kale and sage", with("kale", "sage", 1), "", ""},
	})
	run(t, "companion-tested", []seasonCase{
		{"tomato and basil", with("tomato-staked", "basil", 0.5), Note, "trials differ"},
		{"carrot and marigold", with("carrot", "french-marigold", 0.5), Note, "did nothing"},
	})
}

func TestTraps(t *testing.T) {
	with := func(kind string, at orb.Point, change func(*plan.TrapMark), more ...orb.Point) func() *plan.Plan {
		return func() *plan.Plan {
			p, bed := garden(t, planted(t, "sweet-corn", "05-20", "09-10"))
			bed.Geometry = box(0, 0, 40, 40)
			strip := plan.NewFeature(plan.FlowerStrip, "Strip", box(100, 0, 102, 40))
			p.Features = append(p.Features, strip)
			for i, q := range append([]orb.Point{at}, more...) {
				f := plan.NewFeature(plan.Trap, "Trap", q)
				f.Trap = &plan.TrapMark{Trap: kind, Set: day(t, "06-01"), Until: day(t, "09-01"), RenewDays: 14}
				if change != nil && i == 0 {
					change(f.Trap)
				}
				p.Features = append(p.Features, f)
			}
			return p
		}
	}
	r := plan.MarkRadius
	run(t, "trap-near-habitat", []seasonCase{
		{"card by the flowers", with("yellow-card-outdoors", orb.Point{100 - 9.9 - r, 20}, nil), Warning, "9.9 m from Strip"},
		{"card far enough", with("yellow-card-outdoors", orb.Point{100 - 10.01 - r, 20}, nil), "", ""},
		{"blue card by the flowers", with("blue-card", orb.Point{95, 20}, nil), "", ""},
		{"blue card that is said to be yellow", with("blue-card", orb.Point{95, 20}, func(m *plan.TrapMark) { m.Colour = "Yellow" }), Warning, "yellow draws"},
		{"yellow card that is said to be blue", with("yellow-card-outdoors", orb.Point{95, 20}, func(m *plan.TrapMark) { m.Colour = " Blue" }), "", ""},
		{"card under cover by the flowers", with("yellow-card-whitefly", orb.Point{99, 20}, nil), "", ""},
		{"pheromone trap by the flowers", with("pheromone-practice", orb.Point{99, 20}, nil), "", ""},
	})
	// Penn State Extension: a complete site of sweet corn has four traps, and new lures every two weeks.
	run(t, "traps-too-few", []seasonCase{
		{"three of four", with("sweet-corn-moths", orb.Point{20, 20}, func(m *plan.TrapMark) { m.Number = 3 }), Advice, "four are needed"},
		{"four", with("sweet-corn-moths", orb.Point{20, 20}, func(m *plan.TrapMark) { m.Number = 4 }), "", ""},
		{"four marks", with("sweet-corn-moths", orb.Point{20, 20}, nil, orb.Point{22, 20}, orb.Point{24, 20}, orb.Point{26, 20}), "", ""},
	})
	// UC IPM: one card to 900 m² under cover.
	cards := func(n int, side float64) func() *plan.Plan {
		return func() *plan.Plan {
			p := with("yellow-card-cover", orb.Point{20, 20}, func(m *plan.TrapMark) { m.Number = n; m.Pest = "greenhouse-whitefly" })()
			p.Features[1].Crops = []plan.Planting{planted(t, "tomato-staked", "05-20", "09-10")}
			p.Features[1].Geometry = box(0, 0, side, 30)
			return p
		}
	}
	run(t, "traps-too-few", []seasonCase{
		{"one card on 900 m²", cards(1, 30), "", ""},
		{"one card on 903 m²", cards(1, 30.1), Advice, "two are needed (1 to each 900 m²)"},
		{"two cards on 903 m²", cards(2, 30.1), "", ""},
	})
	run(t, "trap-renewal", []seasonCase{
		{"two weeks", with("sweet-corn-moths", orb.Point{20, 20}, nil), "", ""},
		{"fifteen days", with("sweet-corn-moths", orb.Point{20, 20}, func(m *plan.TrapMark) { m.RenewDays = 15 }), Advice, "every 15 days"},
		{"not said", with("sweet-corn-moths", orb.Point{20, 20}, func(m *plan.TrapMark) { m.RenewDays = 0 }), Advice, "is not said"},
		{"no days", with("squash-vine-borer-trap", orb.Point{20, 20}, func(m *plan.TrapMark) { m.Until = 0 }), Advice, "From when to when"},
	})
	// Clare et al. 2000: red or green delta traps catch fewer bees than white, yellow and blue ones.
	run(t, "trap-colour", []seasonCase{
		{"white", with("delta-trap", orb.Point{20, 20}, func(m *plan.TrapMark) { m.Colour = "White" }), Advice, "red or green"},
		{"green", with("delta-trap", orb.Point{20, 20}, func(m *plan.TrapMark) { m.Colour = "green" }), "", ""},
		{"yellow card", with("yellow-card-outdoors", orb.Point{20, 20}, nil), Note, "hoverflies"},
		{"blue card", with("blue-card", orb.Point{20, 20}, nil), "", ""},
		{"blue card that is said to be yellow", with("blue-card", orb.Point{20, 20}, func(m *plan.TrapMark) { m.Colour = "yellow" }), Note, "hoverflies"},
	})
	run(t, "traps-too-close", []seasonCase{
		{"29.9 m", with("pheromone-practice", orb.Point{0, 50}, nil, orb.Point{29.9 + 2*r, 50}), Advice, "29.9 m apart"},
		{"30 m", with("pheromone-practice", orb.Point{0, 50}, nil, orb.Point{30.01 + 2*r, 50}), "", ""},
		{"a site of sweet corn", with("sweet-corn-moths", orb.Point{0, 50}, nil, orb.Point{3, 50}), "", ""},
	})
	run(t, "trap-says-nothing", []seasonCase{
		{"nothing", func() *plan.Plan {
			p := with("blue-card", orb.Point{20, 20}, nil)()
			p.Features[3].Trap = nil
			return p
		}, Note, "is not said"},
		{"a kind", with("blue-card", orb.Point{20, 20}, nil), "", ""},
	})
}

// No metres are left in what a plan in feet is told of traps, treatments and nurseries: UC IPM's card to 10,000 square feet, which the
// catalogue has as 900 m², and distances that are our judgement.
func TestFindingsOfAPlanInFeet(t *testing.T) {
	metres := regexp.MustCompile(`[0-9] ?m(²|\b)`)
	p, bed := garden(t, planted(t, "tomato-staked", "05-10", "09-10"))
	bed.Geometry = box(0, 0, 40, 40)
	bed.Treatments = []plan.Treatment{{Material: "pyrethrins", On: []season.Day{day(t, "06-10")}}}
	strip := plan.NewFeature(plan.PerennialStrip, "Strip", box(0, 41, 40, 42))
	strip.Plants = []plan.Growing{{Plant: "golden-alexanders", Share: 0.5, Bloom: window(t, "06-01", "06-30")}}
	card := plan.NewFeature(plan.Trap, "Card", orb.Point{20, 20})
	card.Trap = &plan.TrapMark{Trap: "yellow-card-cover", Pest: "greenhouse-whitefly"}
	outdoors := plan.NewFeature(plan.Trap, "Outdoors", orb.Point{20, 43})
	outdoors.Trap = &plan.TrapMark{Trap: "yellow-card-outdoors"}
	corner := plan.NewFeature(plan.WildMargin, "Corner", box(41, 0, 45, 2))
	corner.Nursery = "greenhouse-whitefly"
	p.Features = append(p.Features, strip, card, outdoors, corner)
	for _, c := range []struct{ rule, metric, us string }{
		{"trap-near-habitat", "; 10 m is our judgement", "; 32 ft 10 in is our judgement"},
		{"traps-too-few", "(1 to each 900 m²)", "(1 to each 9688 sq ft)"},
		{"treatment-bees", "; 6 m is our judgement", "; 19 ft 8 in is our judgement"},
		{"nursery-near-beds", "No distance is published; 5 m is our judgement", "No distance is published; 16 ft 5 in is our judgement"},
	} {
		for units, want := range map[plan.Units]string{plan.Metric: c.metric, plan.US: c.us} {
			p.Units = units
			list := said(t, p, c.rule)
			if len(list) == 0 {
				t.Errorf("%s says nothing", c.rule)
			}
			for _, f := range list {
				words := f.Message + " " + f.Mend + " " + f.Source
				if !strings.Contains(words, want) || units == plan.US && metres.MatchString(words) {
					t.Errorf("%s, %s: %q, want %q", c.rule, units, words, want)
				}
			}
		}
	}
}

func TestTreatments(t *testing.T) {
	hours := func(h float64) *float64 { return &h }
	with := func(crop string, x plan.Treatment, gap float64, more ...plan.Treatment) func() *plan.Plan {
		return func() *plan.Plan {
			c := planted(t, crop, "05-10", "09-10")
			c.FirstHarvest = day(t, "07-20")
			p, bed := garden(t, c)
			bed.Treatments = append(more, x)
			strip := plan.NewFeature(plan.PerennialStrip, "Strip", box(0, 2+gap, 20, 4+gap))
			strip.Plants = []plan.Growing{{Plant: "golden-alexanders", Share: 0.5, Bloom: window(t, "06-01", "06-30")}}
			p.Features = append(p.Features, strip)
			return p
		}
	}
	on := func(material, day0, pest string) plan.Treatment {
		return plan.Treatment{Material: material, On: []season.Day{day(t, day0)}, Pest: pest, HarvestHours: hours(24)}
	}
	// UC IPM's table of side-effects, the stricter where they differ: spinosad high for parasitoids, Bt low, soap on contact.
	run(t, "treatment-harms-enemies", []seasonCase{
		{"spinosad", with("cabbage", on("spinosad", "06-10", "diamondback-moth"), 3), Warning, "Bt, Bacillus thuringiensis subsp. kurstaki"},
		{"Bt", with("cabbage", on("bt-kurstaki", "06-10", "diamondback-moth"), 3), "", ""},
		{"soap", with("cabbage", on("insecticidal-soap", "06-10", "cabbage-aphid"), 3), Advice, "kills those that it wets"},
		{"pyrethrins, the worst for bees", with("cabbage", on("pyrethrins", "06-10", "crucifer-flea-beetle"), 3), Warning, "first: diatomaceous earth, azadirachtin and spinosad."},
		{"azadirachtin, against which pyrethrins are none gentler", with("cabbage", on("azadirachtin", "06-10", "mexican-bean-beetle"), 3), Warning,
			"Treat only where"},
		{"spinosad, no enemies in reach", func() *plan.Plan {
			p := with("cabbage", on("spinosad", "06-10", ""), 3)()
			p.Features = p.Features[1:2]
			return p
		}, "", ""},
	})
	for _, rule := range []string{"treatment-harms-enemies", "treatment-not-gentlest"} {
		for _, f := range said(t, with("cabbage", on("spinosad", "06-10", "diamondback-moth"), 3)(), rule) {
			if !strings.Contains(f.Mend, "the gentlest first") || !strings.Contains(f.Source, "is our reading") {
				t.Errorf("%s lists an order and does not call it our reading: %s %s", rule, f.Mend, f.Source)
			}
		}
	}
	// What a finding prints of a material stands under the sources of those words, by the columns of materials.csv.
	for _, c := range []struct{ rule, material, pest, words, source string }{
		{"treatment-harms-enemies", "spinosad", "diamondback-moth", "3–7 days after", "williams-2003"},
		{"treatment-harms-enemies", "pyrethrins", "", "often in under a day", "cornell-organic-guide"},
		{"treatment-label", "pyrethrins", "", "often in under a day", "cornell-organic-guide"},
		{"treatment-label", "bt-kurstaki", "", "reapply after heavy rain", "npic-bt"},
		{"treatment-label", "neem-oil", "", "washed off by rain", "npic-neem"},
		{"treatment-label", "neem-oil", "", "do not spray open flowers", "uc-artichoke"},
		{"treatment-bees", "insecticidal-soap", "", "may burn plants", "cornell-monroe-soap"},
	} {
		list := said(t, with("cabbage", on(c.material, "06-10", c.pest), 3)(), c.rule)
		citation := strings.TrimSuffix(catalogue(t).Source(c.source).Citation, ".")
		if len(list) != 1 || !strings.Contains(list[0].Message, c.words) || strings.Count(list[0].Source, citation) != 1 {
			t.Errorf("%s, %s: %q is not under %s: %+v", c.rule, c.material, c.words, citation, list)
		}
	}
	evening := on("spinosad", "06-10", "")
	evening.Evening = true
	run(t, "treatment-bees", []seasonCase{
		{"class I by flowers", with("cabbage", on("pyrethrins", "06-10", ""), 6), Warning, "Strip, 6 m away"},
		{"class I beyond drift", with("cabbage", on("pyrethrins", "06-10", ""), 6.01), "", ""},
		{"class I after bloom", with("cabbage", on("pyrethrins", "07-10", ""), 6), "", ""},
		{"class II by day", with("cabbage", on("spinosad", "06-10", ""), 6), Warning, "class II"},
		{"class II in the evening", with("cabbage", evening, 6), Note, "evening"},
		{"class III", with("cabbage", on("bt-kurstaki", "06-10", ""), 6), "", ""},
		{"the crop itself in flower", with("squash-summer", on("pyrethrins", "07-13", ""), 50), Warning, "summer squash in the bed itself"},
		{"dust on flowers", with("cabbage", on("diatomaceous-earth", "06-10", ""), 3), Warning, "dust"},
	})
	// Crops in flower beside the bed: summer squash sown on 10 May and picked from 20 July flowers until September; yarrow in a trap crop.
	beside := func(kind plan.Kind, material string, gap float64, change func(*plan.Feature)) func() *plan.Plan {
		return func() *plan.Plan {
			p := with("cabbage", on(material, "07-20", ""), 50)()
			f := plan.NewFeature(kind, "Neighbour", box(0, -2-gap, 20, -gap))
			c := planted(t, "squash-summer", "05-10", "09-10")
			c.FirstHarvest = day(t, "07-20")
			f.Crops = []plan.Planting{c}
			if change != nil {
				change(f)
			}
			p.Features = append(p.Features, f)
			return p
		}
	}
	yarrow := func(from, to string) func(*plan.Feature) {
		return func(f *plan.Feature) {
			f.Crops, f.Plants = nil, []plan.Growing{{Plant: "yarrow", Share: 0.5, Bloom: window(t, from, to)}}
		}
	}
	run(t, "treatment-bees", []seasonCase{
		{"squash in flower in the next bed", beside(plan.Bed, "pyrethrins", 0.4, nil), Warning, "summer squash in Neighbour, 0.4 m away"},
		{"squash just within drift", beside(plan.Bed, "pyrethrins", 6, nil), Warning, "summer squash in Neighbour, 6 m away"},
		{"squash just beyond drift", beside(plan.Bed, "pyrethrins", 6.01, nil), "", ""},
		{"squash not yet in flower", beside(plan.Bed, "pyrethrins", 0.4, func(f *plan.Feature) { f.Crops[0].FirstHarvest = day(t, "08-10") }), "", ""},
		{"squash beside, class III", beside(plan.Bed, "bt-kurstaki", 0.4, nil), "", ""},
		{"squash as a trap crop", beside(plan.TrapCrop, "pyrethrins", 6, nil), Warning, "summer squash in Neighbour, 6 m away"},
		{"squash as a trap crop beyond drift", beside(plan.TrapCrop, "pyrethrins", 6.01, nil), "", ""},
		{"plants of a trap crop", beside(plan.TrapCrop, "pyrethrins", 6, yarrow("07-16", "07-31")), Warning, "Neighbour, 6 m away"},
		{"plants of a trap crop beyond drift", beside(plan.TrapCrop, "pyrethrins", 6.01, yarrow("07-16", "07-31")), "", ""},
		{"plants of a trap crop after bloom", beside(plan.TrapCrop, "pyrethrins", 6, yarrow("06-16", "07-15")), "", ""},
	})
	run(t, "treatment-not-gentlest", []seasonCase{
		{"spinosad at once", with("cabbage", on("spinosad", "06-10", "diamondback-moth"), 3), Advice, "First, the gentlest first: Bt"},
		{"after Bt", with("cabbage", on("spinosad", "06-10", "diamondback-moth"), 3, on("bt-kurstaki", "06-01", "diamondback-moth")), "", ""},
		{"before Bt", with("cabbage", on("spinosad", "05-20", "diamondback-moth"), 3, on("bt-kurstaki", "06-01", "diamondback-moth")), Advice, "gentler"},
		{"the gentlest", with("cabbage", on("bt-kurstaki", "06-10", "diamondback-moth"), 3), "", ""},
		{"not usual against it", with("cabbage", on("bt-kurstaki", "06-10", "cabbage-aphid"), 3), Advice, "is not usual against cabbage aphid"},
	})
	soap := plan.Treatment{Material: "insecticidal-soap", Pest: "cabbage-aphid", HarvestHours: hours(0)}
	listed := func(latitude float64, list ...plan.Treatment) func() *plan.Plan {
		return func() *plan.Plan {
			p, bed := garden(t, planted(t, "cabbage", "05-10", "09-10"))
			p.Place.Latitude, bed.Treatments = latitude, list
			return p
		}
	}
	for _, c := range []struct {
		what  string
		make  func() *plan.Plan
		found bool // that nothing gentler comes before pyrethrins
	}{
		{"soap without days after them", listed(44, on("pyrethrins", "06-01", "cabbage-aphid"), soap), true},
		{"soap without days before them", listed(44, soap, on("pyrethrins", "06-01", "cabbage-aphid")), false},
		{"soap before New Year in the south", listed(-44, on("pyrethrins", "01-05", "cabbage-aphid"), on("insecticidal-soap", "12-20", "cabbage-aphid")), false},
		{"soap after New Year in the south", listed(-44, on("insecticidal-soap", "01-05", "cabbage-aphid"), on("pyrethrins", "12-20", "cabbage-aphid")), true},
		{"soap in the north's December", listed(44, on("pyrethrins", "01-05", "cabbage-aphid"), on("insecticidal-soap", "12-20", "cabbage-aphid")), true},
	} {
		found := slices.ContainsFunc(said(t, c.make(), "treatment-not-gentlest"), func(f Finding) bool { return strings.HasPrefix(f.Message, "Pyrethrins is planned") })
		if found != c.found {
			t.Errorf("treatment-not-gentlest, %s: %v", c.what, found)
		}
	}
	wait := func(d string, h float64) plan.Treatment {
		x := on("bt-kurstaki", d, "")
		x.HarvestHours = hours(h)
		return x
	}
	unknown := on("bt-kurstaki", "06-10", "")
	unknown.HarvestHours = nil
	run(t, "treatment-before-harvest", []seasonCase{
		{"two days before, three asked", with("cabbage", wait("07-18", 72), 3), Warning, "not before 21 Jul"},
		{"three days before, three asked", with("cabbage", wait("07-17", 72), 3), "", ""},
		{"in the harvest", with("cabbage", wait("08-01", 24), 3), Note, "until 2 Aug"},
		{"not noted", with("cabbage", unknown, 3), Advice, "Copy the hours"},
		{"noted as none", with("cabbage", wait("07-17", 0), 3), "", ""},
		{"a bed cleared before anything is ripe", func() *plan.Plan { // carrots sown 1 April take 50 days from seed
			p, bed := garden(t, planted(t, "carrot", "04-01", "05-15"))
			bed.Treatments = []plan.Treatment{wait("04-20", 24)}
			return p
		}, "", ""},
	})
	// Leeks that stand over winter, and kale in the south over New Year.
	winter := func(from, to, first, on string) func() *plan.Plan {
		return func() *plan.Plan {
			c := planted(t, "leek", from, to)
			c.FirstHarvest = day(t, first)
			p, bed := garden(t, c)
			bed.Treatments = []plan.Treatment{wait(on, 72)}
			return p
		}
	}
	run(t, "treatment-before-harvest", []seasonCase{
		{"two days before February's harvest", winter("10-01", "03-31", "02-10", "02-08"), Warning, "not before 11 Feb"},
		{"three days before it", winter("10-01", "03-31", "02-10", "02-07"), "", ""},
		{"in it", winter("10-01", "03-31", "02-10", "03-30"), Note, "until 2 Apr"},
		{"long before it", winter("10-01", "03-31", "02-10", "10-10"), "", ""},
		{"over New Year", winter("10-01", "03-31", "01-02", "12-31"), Warning, "not before 3 Jan"},
		{"in a harvest over New Year, before it", winter("10-01", "03-31", "11-20", "12-31"), Note, "until 3 Jan"},
		{"in a harvest over New Year, after it", winter("10-01", "03-31", "11-20", "02-01"), Note, "until 4 Feb"},
		{"after the last harvest", winter("10-01", "03-31", "11-20", "04-01"), "", ""},
		{"first harvest said to be after the last", winter("04-01", "09-30", "10-10", "09-28"), "", ""},
	})
	run(t, "treatment-label", []seasonCase{
		{"dust", with("cabbage", on("diatomaceous-earth", "06-10", ""), 3), Note, "wear a dust mask"},
		{"label", with("cabbage", on("spinosad", "06-10", ""), 3), Note, "The label is the law"},
		{"none", func() *plan.Plan { p, _ := garden(t, planted(t, "kale", "05-01", "08-01")); return p }, "", ""},
	})
}

func TestNurseries(t *testing.T) {
	with := func(pest string, gap float64) func() *plan.Plan {
		return func() *plan.Plan {
			p, _ := garden(t, planted(t, "cabbage", "05-10", "09-10"))
			f := plan.NewFeature(plan.WildMargin, "Corner", box(20+gap, 0, 25+gap, 2))
			f.Nursery = pest
			p.Features = append(p.Features, f)
			return p
		}
	}
	run(t, "nursery-near-beds", []seasonCase{
		{"4.9 m", with("cabbage-aphid", 4.9), Warning, "4.9 m from Bed"},
		{"5 m", with("cabbage-aphid", 5), "", ""},
		{"an aphid that eats no cabbage", with("pea-aphid", 1), "", ""},
		{"none", with("", 1), "", ""},
	})
	run(t, "nursery", []seasonCase{
		{"aphids", with("cabbage-aphid", 20), Note, "hoverflies"},
		{"none", with("", 20), "", ""},
	})
}

func TestPestsWithoutEnemies(t *testing.T) {
	with := func(gap float64) func() *plan.Plan {
		return func() *plan.Plan {
			p := cabbageBeside(t, gap, 5)
			p.Weather = WeatherOf("Mild", mildYear())
			return p
		}
	}
	has := func(p *plan.Plan, rule string) bool {
		return slices.ContainsFunc(said(t, p, rule), func(f Finding) bool { return strings.Contains(f.Message, "1st generation about 19 Apr") })
	}
	if p := with(60.01)(); !has(p, "pest-without-enemies") || has(p, "pest-enemies-hungry") {
		t.Error("out of reach: not said")
	}
	if p := with(59.99)(); has(p, "pest-without-enemies") || !has(p, "pest-enemies-hungry") {
		t.Error("in reach of part: not said so")
	}
	if p := with(10)(); has(p, "pest-without-enemies") || has(p, "pest-enemies-hungry") {
		t.Error("in reach: said otherwise")
	}
}

func TestAcceptedFindings(t *testing.T) {
	p, bed := garden(t, planted(t, "cabbage", "04-01", "07-31"))
	bed.Cover = &plan.Cover{Dates: window(t, "04-01", "06-01"), Edges: plan.EdgesOpen}
	p.Accepted = []plan.Acceptance{
		{Rule: "cover-edges", Key: "cover-edges " + bed.ID, Reason: "Weighed down every evening", Date: time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)},
		{Rule: "bloom-gap", Key: "bloom-gap 05-16", Reason: "The orchard next door"},
	}
	a := Assess(p, catalogue(t), Options{})
	s := SeasonOf(a)
	all := s.AllFindings()
	open := Open(all)
	var accepted []string
	for _, f := range all {
		if f.Accepted != nil {
			accepted = append(accepted, f.Rule+": "+f.Accepted.Reason)
		}
	}
	want := []string{"cover-edges: Weighed down every evening", "bloom-gap: The orchard next door"}
	slices.Sort(accepted)
	slices.Sort(want)
	if !slices.Equal(accepted, want) || len(open) != len(all)-2 {
		t.Errorf("accepted %q, %d open of %d", accepted, len(open), len(all))
	}
	// The word holds for that finding only.
	bed.ID = plan.NewFeature(plan.Bed, "", nil).ID
	for _, f := range SeasonOf(Assess(p, catalogue(t), Options{})).Findings {
		if f.Rule == "cover-edges" && f.Accepted != nil {
			t.Error("another bed's cover is accepted with it")
		}
	}
}

func TestWeatherGoesIntoThePlanAndBack(t *testing.T) {
	r := &degreeday.Record{Unit: degreeday.Fahrenheit}
	for _, i := range []int{0, 1, 2, 5, 6} {
		r.Readings = append(r.Readings, degreeday.Reading{Date: time.Date(2024, 2, 27+i, 0, 0, 0, 0, time.UTC), Low: float64(i), High: float64(i) + 10})
	}
	w := WeatherOf("Hill", r)
	if len(w.Days) != 7 || !w.Days[3].Missing || w.Unit != "F" || w.Station != "Hill" {
		t.Errorf("%+v", w)
	}
	if got := Record(w); !reflect.DeepEqual(got, r) {
		t.Errorf("%+v", got)
	}
	if Record(nil) != nil {
		t.Error("a record out of nothing")
	}
	long := &degreeday.Record{Unit: degreeday.Celsius}
	for i := range plan.MaxWeatherDays + 10 {
		long.Readings = append(long.Readings, degreeday.Reading{Date: time.Date(1980, 1, 1+i, 0, 0, 0, 0, time.UTC), High: 1})
	}
	p := plan.New("Long")
	p.Weather = WeatherOf("", long)
	if err := p.Check(); err != nil || len(p.Weather.Days) != plan.MaxWeatherDays || p.Weather.Start != time.Date(1980, 1, 11, 0, 0, 0, 0, time.UTC) {
		t.Error(err, len(p.Weather.Days), p.Weather.Start)
	}
}

// What the season finds at once about who is in reach and fed, Assess finds half-month by half-month.
func TestTheSeasonAgreesWithAssess(t *testing.T) {
	p := market(30, 12)
	for i, f := range p.Features {
		if f.Kind == plan.Bed {
			f.Crops = []plan.Planting{{Crop: []string{"cabbage", "carrot", "leek", "squash-summer"}[i%4], Dates: window(t, "04-01", "10-31"), Share: 1}}
		}
	}
	pond := plan.NewFeature(plan.Pond, "Pond", geometry.Disc(orb.Point{15, 15}, 6))
	p.Features = append(p.Features, pond)
	c := catalogue(t)
	a := Assess(p, c, Options{})
	y := newYear(a)
	assessor := NewAssessor(c, Options{})
	n := 0
	for h := range anyTime + 1 {
		o := Options{On: &h}
		if h == anyTime {
			o.On = nil
		}
		assessor.SetOptions(o)
		then := assessor.Assess(p)
		for i, b := range then.Beds {
			for g, r := range b.Guilds {
				if r.Guild.Pollinator {
					continue
				}
				if got := y.status(i, g, h); got != r.Status {
					t.Fatalf("%s, %s, %v: %v, and Assess finds %v", b.Feature.Title(), r.Guild.ID, h, got, r.Status)
				}
				if r.Status == Partly {
					n++
				}
				if h == anyTime || !r.Guild.FedByFlowers || !r.Guild.HasRange() {
					continue
				}
				fed := false
				for _, f := range p.Features {
					if f.IsHabitat() && a.dates().feeds(f, r.Guild, &h) {
						m, _, _ := geometry.Closest(groundOf(b.Feature), groundOf(f))
						fed = fed || m <= r.Guild.TypicalM
					}
				}
				if got := y.fed(i, g, h); got != fed {
					t.Fatalf("%s, %s, %v: fed %v, want %v", b.Feature.Title(), r.Guild.ID, h, got, fed)
				}
			}
		}
	}
	if n < 50 {
		t.Errorf("only %d standings are the hard ones", n)
	}
	s := SeasonOf(a)
	s.Prepare(nil)
	for h := range season.HalfMonth(season.HalfMonths) {
		if got, want := s.At(h), Assess(p, c, Options{On: &h}); !reflect.DeepEqual(got.Findings, want.Findings) || got.Beds[3].Guilds[4].Status != want.Beds[3].Guilds[4].Status {
			t.Errorf("%v: another assessment than Assess's", h)
		}
	}
}

// Who serves whom is worked out twice, for a time asked about and for the whole year at once. Both say the same of every kind, left to
// itself, called a refuge and called none, with and without plants; and both go round the same obstacles.
func TestTheSeasonAgreesWithAssessOnWhoServesWhom(t *testing.T) {
	p, bed := garden(t, planted(t, "cabbage", "04-01", "10-31"))
	p.Features = []*plan.Feature{bed}
	var plants []plan.Growing
	for _, x := range catalogue(t).Plants {
		plants = append(plants, plan.Growing{Plant: x.ID, Share: 0.001})
	}
	plants = append(plants, plan.Growing{Plant: "no-such", Share: 0.1}, plan.Growing{Plant: fedOn(t, "hoverflies"), Bloom: window(t, "01-01", "12-31")})
	for i, k := range plan.Kinds {
		for n, refuge := range []*bool{nil, new(true), new(false)} {
			for m, grows := range [][]plan.Growing{nil, plants, plants[:1]} {
				f := plan.NewFeature(k, string(k), box(float64(10*i), float64(10*n+3*m+5), float64(10*i+5), float64(10*n+3*m+7)))
				f.Refuge, f.Plants = refuge, grows
				p.Features = append(p.Features, f)
			}
		}
	}
	a := Assess(p, catalogue(t), Options{})
	y := newYear(a)
	servants := map[*plan.Feature]*servant{}
	for _, s := range y.servers {
		servants[s.feature] = s
	}
	serving := 0
	for _, f := range p.Features {
		for i, g := range a.Catalogue.Guilds {
			if !g.HasRange() {
				continue // nobody asks the season about it
			}
			for h := range anyTime + 1 {
				on := &h
				if h == anyTime {
					on = nil
				}
				want := a.dates().serves(f, g, on)
				if got := servants[f] != nil && servants[f].serves(i, h); got != want {
					t.Fatalf("%s (refuge %v, %d plants), %s, %v: the season says %v, Assess %v", f.Kind, f.IsRefuge(), len(f.Plants), g.ID, h, got, want)
				}
				if want {
					serving++
				}
			}
		}
		if bars := slices.ContainsFunc(y.bars, func(x *facts) bool { return x.feature == f }); bars != barsWalkers(f) {
			t.Errorf("%s: bars walkers %v", f.Kind, bars)
		}
	}
	if serving < 1000 {
		t.Errorf("only %d servings", serving)
	}
}

func groundOf(f *plan.Feature) orb.Geometry {
	if p, ok := f.Geometry.(orb.Point); ok {
		return geometry.Disc(p, plan.MarkRadius)
	}
	return f.Geometry
}

func TestTheSeasonIsTheSameAgainAndChangesNothing(t *testing.T) {
	p, bed := garden(t, planted(t, "cabbage", "04-01", "07-31"))
	bed.Cover = &plan.Cover{Dates: window(t, "05-01", "06-01")}
	before := p.Clone()
	a := Assess(p, catalogue(t), Options{})
	first, again := SeasonOf(a), SeasonOf(a)
	if !reflect.DeepEqual(first.Verdicts, again.Verdicts) || !reflect.DeepEqual(first.Findings, again.Findings) || !reflect.DeepEqual(p, before) {
		t.Error("asked again it is another")
	}
}

func TestHarvestOf(t *testing.T) {
	c := catalogue(t)
	for _, s := range []struct {
		crop   string
		method plan.Method
		first  string
	}{
		{"carrot", plan.Sow, "06-20"},         // 50 days from seed
		{"cabbage", plan.Transplant, "07-02"}, // 62 from setting out
		{"cabbage", plan.Sow, ""},
		{"carrot", plan.Transplant, ""},
		{"squash-summer", plan.Transplant, "06-10"}, // from either
		{"squash-summer", plan.Sow, "06-10"},
		{"blueberry", plan.Transplant, ""}, // years
	} {
		first, last, known := HarvestOf(c.Crop(s.crop), day(t, "05-01"), s.method)
		if known != (s.first != "") || known && (first.String() != s.first || last <= first) {
			t.Errorf("%s, %s: %v to %v, %v", s.crop, s.method, first, last, known)
		}
	}
}

// The sample garden shows what the season's rules say, and one finding that its grower accepted.
func TestTheSampleShowsTheSeason(t *testing.T) {
	p, err := plan.Read(bytes.NewReader(data.Sample()), data.SampleName)
	if err != nil {
		t.Fatal(err)
	}
	s := SeasonOf(Assess(p, catalogue(t), Options{}))
	found := map[string]int{}
	for _, f := range s.Findings {
		found[f.Rule]++
	}
	for _, rule := range []string{"pest-without-enemies", "pest-enemies-hungry", "cover-at-flowering", "cover-edges", "cover-same-family", "rotation",
		"companion-tested", "trap-crop-study", "trap-crop-share", "trap-crop-open", "traps-too-few", "trap-colour", "trap-renewal",
		"treatment-harms-enemies", "treatment-not-gentlest", "treatment-before-harvest", "treatment-label", "nursery"} {
		if found[rule] == 0 {
			t.Errorf("the sample has nothing for %s", rule)
		}
	}
	if all := s.AllFindings(); len(all)-len(Open(all)) != 1 {
		t.Errorf("%d findings are accepted", len(all)-len(Open(all)))
	}
	var weather, covered int
	for _, v := range s.Verdicts {
		if v.Time != nil && v.Time.Basis == pestwindow.ByWeather {
			weather++
		}
		if v.Standing == CoverKeepsOut {
			covered++
		}
	}
	if weather < 20 || covered < 3 {
		t.Errorf("%d verdicts by degree-days, %d under cover", weather, covered)
	}
}
