package habitat

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"hedgereach/data"
	"hedgereach/data/season"
	"hedgereach/geometry"
	"hedgereach/habitat/plan"
)

// A TrapCropSeason is a trap crop beside the trial that it is most like.
type TrapCropSeason struct {
	Feature  *plan.Feature
	Protects []*plan.Feature // the beds
	Pest     *data.Pest      // nil where it is not said or not known
	Study    *data.TrapCrop  // nil where no trial in the catalogue is like it

	// OtherPest tells whether there is a trial of such a trap for such a crop, but with other pests.
	OtherPest bool

	Share     float64 // of the trap's and the protected ground together that all traps about the same beds take
	GapM      float64 // from the trap to the nearest of the beds; NaN without any
	Closed    float64 // the part of the outline about the beds that has a trap before it, 0 to 1; see closed
	LeadWeeks float64 // from the trap's beginning to the crop's; NaN where a day is not given

	// Short is what keeps it from being as it was tested: any of "share", "gap", "ring", "lead", "removal".
	Short []string
	// Verdict is what the trial came to; Untested where there is no trial, or where it is not laid out as tested.
	Verdict data.Verdict
}

// The catalogue's general rules for trap crops, by their ids. A finding says less where a catalogue lacks one.
const (
	trapCropUsual    = "trap-defaults" // share, gap and lead
	trapCropSuccess  = "trap-sink"     // how often trap crops work in practice
	trapCropMobility = "trap-mobility" // which pests they suit
)

// trapCrops puts every trap crop beside its trial.
func (v *seasonView) trapCrops() (list []TrapCropSeason) {
	var traps []*facts
	for _, x := range v.now.good {
		if x.feature.Kind == plan.TrapCrop {
			traps = append(traps, x)
		}
	}
	type task struct{ protects, pest string }
	type shared struct { // of all trap crops with a task
		beds          []*facts
		share, closed float64
	}
	tasks := map[task]*shared{}
	of := func(x *facts) *shared {
		w := x.feature.Trapping
		if w == nil {
			return &shared{}
		}
		key := task{w.Protects, w.Pest}
		if tasks[key] == nil {
			sh := &shared{beds: v.protected(x)}
			tasks[key] = sh
			var ground, taken float64
			var shapes, rings []orb.Geometry
			for _, b := range sh.beds {
				ground += b.area
				shapes = append(shapes, b.shape)
			}
			for _, other := range traps {
				if sameTask(other.feature, x.feature) {
					taken += other.area
					rings = append(rings, other.shape)
				}
			}
			if len(sh.beds) > 0 {
				sh.share, sh.closed = share(taken, taken+ground), closed(geometry.Hull(shapes...), rings)
			}
		}
		return tasks[key]
	}
	for _, x := range traps {
		f, all := x.feature, of(x)
		t := TrapCropSeason{Feature: f, GapM: math.NaN(), LeadWeeks: math.NaN(), Verdict: data.Untested, Share: all.share, Closed: all.closed}
		if f.Trapping != nil {
			t.Pest = v.Catalogue.Pest(f.Trapping.Pest)
		}
		for _, b := range all.beds {
			t.Protects = append(t.Protects, b.feature)
			if !math.IsNaN(t.GapM) && apart(x.bound, b.bound) >= t.GapM {
				continue
			}
			if m := x.distance(b); math.IsNaN(t.GapM) || m < t.GapM {
				t.GapM = m
			}
		}
		if len(all.beds) > 0 {
			t.LeadWeeks = v.lead(f, all.beds)
		}
		v.study(&t)
		list = append(list, t)
	}
	return list
}

// sameTask tells whether two trap crops protect the same from the same pest.
func sameTask(a, b *plan.Feature) bool {
	return a.Trapping != nil && b.Trapping != nil && a.Trapping.Protects == b.Trapping.Protects && a.Trapping.Pest == b.Trapping.Pest
}

// protected are the beds that a trap crop is for: the one that it names, or those that grow the crop that it names.
func (v *seasonView) protected(x *facts) (beds []*facts) {
	if x.feature.Trapping == nil {
		return nil
	}
	name := x.feature.Trapping.Protects
	for _, b := range v.beds {
		if strings.EqualFold(b.feature.ID, name) || name != "" && slices.Contains(cropIDs(b.feature.Crops), name) {
			beds = append(beds, b)
		}
	}
	return beds
}

// lead is the weeks from the trap's sowing or setting out to that of the crop that it protects, the first of the growing year.
func (v *seasonView) lead(f *plan.Feature, beds []*facts) float64 {
	newYear := v.Plan.NewYear()
	earlier := func(d, than season.Day) bool { return than == 0 || newYear.DaysTo(d) < newYear.DaysTo(than) }
	sown := f.Trapping.Sown
	for _, p := range f.Crops {
		if f.Trapping.Sown == 0 && p.Dates.From != 0 && earlier(p.Dates.From, sown) {
			sown = p.Dates.From
		}
	}
	pest := v.Catalogue.Pest(f.Trapping.Pest)
	var crop, any season.Day // the first that the pest harms, and the first of all
	for _, b := range beds {
		for _, p := range b.feature.Crops {
			if p.Dates.From == 0 {
				continue
			}
			if earlier(p.Dates.From, any) {
				any = p.Dates.From
			}
			if pest != nil && slices.Contains(pest.Hosts, p.Crop) && earlier(p.Dates.From, crop) {
				crop = p.Dates.From
			}
		}
	}
	if crop == 0 {
		crop = any
	}
	if sown == 0 || crop == 0 {
		return math.NaN()
	}
	days := sown.DaysTo(crop)
	if days > season.HalfYear { // sown after it
		days -= 365
	}
	return float64(days) / 7
}

// closed is the part of the outline of some ground from which a look straight outwards, square to the outline, meets any of the traps
// within ringLookM.
func closed(ground orb.Polygon, traps []orb.Geometry) float64 {
	if len(ground) == 0 || len(ground[0]) < 4 {
		return 0
	}
	var sides [][2]orb.Point
	bound := ground.Bound()
	for _, g := range traps {
		if apart(bound, g.Bound()) > ringLookM {
			continue
		}
		for _, p := range geometry.Polygons(g) {
			for _, r := range p {
				for i := 1; i < len(r); i++ {
					sides = append(sides, [2]orb.Point{r[i-1], r[i]})
				}
			}
		}
	}
	const step = 0.25 // metres between looks; each side has 20 of them at least and 400 at most
	met, all := 0.0, 0.0
	ring := ground[0]
	outward := 1.0
	if ring.Orientation() == orb.CW {
		outward = -1
	}
	for i := 1; i < len(ring); i++ {
		a, b := ring[i-1], ring[i]
		dx, dy := b[0]-a[0], b[1]-a[1]
		long := math.Hypot(dx, dy)
		if long == 0 {
			continue
		}
		n := int(min(400, max(20, long/step)))
		for k := range n {
			at := (float64(k) + 0.5) / float64(n)
			p := orb.Point{a[0] + at*dx, a[1] + at*dy}
			q := orb.Point{p[0] + outward*dy/long*ringLookM, p[1] - outward*dx/long*ringLookM}
			all += long / float64(n)
			for _, s := range sides {
				if cross(p, q, s[0], s[1]) {
					met += long / float64(n)
					break
				}
			}
		}
	}
	return share(met, all)
}

// cross tells whether two straight lines meet, ends included.
func cross(a, b, c, d orb.Point) bool {
	side := func(p, q, r orb.Point) float64 { return (q[0]-p[0])*(r[1]-p[1]) - (q[1]-p[1])*(r[0]-p[0]) }
	return side(a, b, c)*side(a, b, d) <= 0 && side(c, d, a)*side(c, d, b) <= 0
}

// study finds the trial that a trap crop is most like: of the trials for a protected crop, the pest and the trap, the one from
// which least is missing.
func (v *seasonView) study(t *TrapCropSeason) {
	var crops []string
	for _, b := range t.Protects {
		crops = append(crops, cropIDs(b.Crops)...)
	}
	for _, x := range v.Catalogue.TrapCrops {
		if x.Verdict == data.GeneralRule || !slices.ContainsFunc(x.MainCrops, func(id string) bool { return slices.Contains(crops, id) }) ||
			!isTrapOf(t.Feature, x) {
			continue
		}
		if !triedOn(x, t.Pest) {
			t.OtherPest = true
			continue
		}
		short := t.short(x)
		if t.Study == nil || len(short) < len(t.Short) {
			t.Study, t.Short = x, short
		}
	}
	if t.Study != nil && (len(t.Short) == 0 || t.Study.Verdict != data.Helps) { // what failed as tested is no better otherwise
		t.Verdict = t.Study.Verdict
	}
}

// triedOn tells whether a trial was with a pest, nil for one that nobody knows: by its ids, or where the catalogue gives the trial's
// pests in words only, "leaffooted bugs and stink bugs", by a name that has one of these in it. What names no pest at all is of any.
func triedOn(x *data.TrapCrop, pest *data.Pest) bool {
	if len(x.Pests) == 0 && x.PestsWords == "" {
		return true
	}
	if pest == nil {
		return false
	}
	if len(x.Pests) > 0 {
		return slices.Contains(x.Pests, pest.ID)
	}
	name := " " + strings.ToLower(pest.Name) + " "
	return slices.ContainsFunc(idsLike(x.PestsWords), func(id string) bool {
		one := strings.TrimSuffix(strings.ReplaceAll(id, "-", " "), "s")
		return strings.Contains(name, " "+one+" ") || strings.Contains(name, " "+one+"s ")
	})
}

// isTrapOf tells whether a feature grows what a trial took for a trap: by the ids of its crops and plants, or where the catalogue
// knows that plant by its name only, by the feature's name or an id like that name.
func isTrapOf(f *plan.Feature, x *data.TrapCrop) bool {
	for _, p := range f.Crops {
		if slices.Contains(x.TrapCrops, p.Crop) {
			return true
		}
	}
	for _, g := range f.Plants {
		if slices.Contains(x.TrapPlants, g.Plant) {
			return true
		}
	}
	name := strings.ToLower(f.Name)
	for _, id := range idsLike(x.Trap) {
		if strings.Contains(name, strings.ReplaceAll(id, "-", " ")) || slices.Contains(cropIDs(f.Crops), id) ||
			slices.ContainsFunc(f.Plants, func(g plan.Growing) bool { return g.Plant == id }) {
			return true
		}
	}
	return false
}

// wantsRing tells whether a trial was of a closed ring.
func wantsRing(x *data.TrapCrop) bool { return strings.Contains(x.Layout, "perimeter") }

// short is what keeps a trap crop from being as in a trial. What the trial does not give is not asked.
func (t *TrapCropSeason) short(x *data.TrapCrop) (short []string) {
	if x.ShareMin > 0 && (t.Share < x.ShareMin-shareSlack || t.Share > x.ShareMax+shareSlack) {
		short = append(short, "share")
	}
	if x.GapMinM > 0 && (math.IsNaN(t.GapM) || t.GapM < x.GapMinM-shareSlack || t.GapM > x.GapMaxM+shareSlack) {
		short = append(short, "gap")
	}
	if wantsRing(x) && t.Closed < ringClosed {
		short = append(short, "ring")
	}
	if x.LeadMinWeeks > 0 && !(t.LeadWeeks >= x.LeadMinWeeks) {
		short = append(short, "lead")
	}
	if x.Kill != "" && (t.Feature.Trapping == nil || strings.TrimSpace(t.Feature.Trapping.Removal) == "") {
		short = append(short, "removal")
	}
	return short
}

var shortWords = map[string]string{"share": "its share of the ground", "gap": "its gap to the crop", "ring": "the closed ring about the crop",
	"lead": "the weeks ahead of the crop", "removal": "how the pest is removed from it"}

// trapSources cites a trial, or the general rule, and how sure it is.
func (v *seasonView) trapSources(fd *Finding, x *data.TrapCrop) {
	if x != nil {
		practice := ""
		if x.From.Checked == data.Judgement {
			practice = "the figures are our reading of these"
		}
		fd.Source, fd.Evidence = v.cite(x.From.Sources, practice), x.From.Evidence
	}
	if fd.Source == "" {
		fd.Source = "Our reading of the trials of trap crops in the catalogue"
	}
}

// trapCropStudy says of each trap crop what its trial found, or that there is none.
func trapCropStudy(v *seasonView) (found []Finding) {
	for i := range v.s.TrapCrops {
		t := &v.s.TrapCrops[i]
		f := t.Feature
		fd := Finding{Key: f.ID, Features: append([]string{f.ID}, idsOf(t.Protects)...)}
		switch {
		case len(t.Protects) == 0:
			fd.Severity = Advice
			fd.Message = f.Title() + " does not name a bed or crop of this plan that it protects."
			fd.Mend = "Name the bed or the crop, and the pest."
			fd.Source, fd.Evidence = "Common practice, no source", data.None
		case t.Study == nil:
			fd.Message = fmt.Sprintf("No trial in the catalogue is of a trap like %s for what it protects.", f.Title())
			fd.Mend = "Count the pest in trap and crop; keep the trap small until you know."
			switch {
			case t.OtherPest && t.Pest != nil:
				fd.Message = fmt.Sprintf("Traps like %s were tried, but no trial in the catalogue is with %s.", f.Title(), t.Pest.Name)
			case t.OtherPest:
				fd.Message = fmt.Sprintf("Traps like %s were tried; with which pest this one is to be compared is not known.", f.Title())
				fd.Mend = "Name a pest of the catalogue that it is to draw. " + fd.Mend
			}
			fd.Message += fmt.Sprintf(" Of about %d trap crops reviewed, %s worked in practice.", trapCropsReviewed, number(trapCropsWorked))
			v.trapSources(&fd, v.Catalogue.TrapCrop(trapCropSuccess))
		default:
			x := t.Study
			v.trapSources(&fd, x)
			fd.Message = fmt.Sprintf("%s as a trap for %s: %s.", capital(x.Trap), x.Main, x.Result)
			fd.Mend = "Nothing to mend."
			switch {
			case x.Failed():
				fd.Severity, fd.Message = Warning, fmt.Sprintf("%s was tested and did not protect: %s.", f.Title(), x.Result)
				fd.Mend = "Do without it, or use a cover."
			case x.Verdict == data.Mixed:
				fd.Severity, fd.Message = Advice, fmt.Sprintf("Trials of a trap like %s differ: %s.", f.Title(), x.Result)
				fd.Mend = "Count the pest in trap and crop before you rely on it."
			case len(t.Short) > 0:
				fd.Severity = Advice
				var words []string
				for _, s := range t.Short {
					words = append(words, shortWords[s])
				}
				fd.Message += fmt.Sprintf(" %s is not as in that trial: %s.", f.Title(), join(words))
				fd.Mend = "Lay it out as tested"
				if x.Layout != "" {
					fd.Mend += ": " + x.Layout
				}
				if x.Kill != "" {
					fd.Mend += "; " + x.Kill
				}
				fd.Mend += "."
			}
		}
		if t.Pest != nil && t.Pest.Family == aphids {
			if rule := v.Catalogue.TrapCrop(trapCropMobility); rule != nil {
				unsuited := Finding{Key: f.ID + " mobility", Severity: Advice, Features: []string{f.ID},
					Message: fmt.Sprintf("%s is to draw %s: trap crops suit %s.", f.Title(), t.Pest.Name, strings.TrimSuffix(rule.Result, ".")),
					Mend:    "Rely on enemies, flowers and covers against aphids."}
				v.trapSources(&unsuited, rule)
				found = append(found, unsuited)
			}
		}
		found = append(found, fd)
	}
	return found
}

// eachTrapCrop is what one rule asks of every trap crop that protects something, by its trial's own figures or else the general rule's.
func (v *seasonView) eachTrapCrop(ask func(t *TrapCropSeason, by *data.TrapCrop) (message, mend string), own func(x *data.TrapCrop) bool) (found []Finding) {
	for i := range v.s.TrapCrops {
		t := &v.s.TrapCrops[i]
		if len(t.Protects) == 0 || t.Study != nil && t.Study.Failed() { // which no other layout mends
			continue
		}
		by := v.Catalogue.TrapCrop(trapCropUsual)
		if t.Study != nil && own(t.Study) {
			by = t.Study
		}
		if by == nil {
			continue
		}
		if message, mend := ask(t, by); message != "" {
			fd := Finding{Key: t.Feature.ID, Features: append([]string{t.Feature.ID}, idsOf(t.Protects)...), Message: message, Mend: mend}
			v.trapSources(&fd, by)
			found = append(found, fd)
		}
	}
	return found
}

// percents is "5–20 %", or "10 %" where both are the same.
func percents(lo, hi float64) string {
	if lo == hi {
		return whole(lo)
	}
	return fmt.Sprintf("%.0f–%s", 100*lo, whole(hi))
}

// asTested says what a figure is: of a trial, or of the general rule, which is our reading of the trials.
func asTested(by *data.TrapCrop) string {
	if by.From.Checked == data.Judgement {
		return "is usual (our reading)"
	}
	return "was tested"
}

// noGain is in what a trial found that went beyond its largest share.
const noGain = "no gain"

func trapCropShare(v *seasonView) []Finding {
	return v.eachTrapCrop(func(t *TrapCropSeason, by *data.TrapCrop) (string, string) {
		takes := fmt.Sprintf("%s takes %s of the ground that it and %s cover", t.Feature.Title(), Percent(t.Share), namesOf(t.Protects))
		span := percents(by.ShareMin, by.ShareMax)
		switch {
		case t.Share < by.ShareMin-shareSlack:
			return fmt.Sprintf("%s; less than the %s that %s, so the pest may fill it and move on.", takes, span, asTested(by)), "Make it larger."
		case t.Share > by.ShareMax+shareSlack && strings.Contains(by.Result, noGain):
			return fmt.Sprintf("%s; more than %s brought no gain.", takes, whole(by.ShareMax)),
				"A smaller one does as well, if the pest is removed from it."
		case t.Share > by.ShareMax+shareSlack:
			return fmt.Sprintf("%s; more than the %s that %s.", takes, span, asTested(by)), "A smaller one may do, if the pest is removed from it."
		}
		return "", ""
	}, func(x *data.TrapCrop) bool { return x.ShareMin > 0 })
}

// trapCropGap asks nothing of rings that were tested close about the crop.
func trapCropGap(v *seasonView) []Finding {
	return v.eachTrapCrop(func(t *TrapCropSeason, by *data.TrapCrop) (string, string) {
		if by.GapMinM == 0 || t.Study != nil && by != t.Study && wantsRing(t.Study) {
			return "", ""
		}
		lies := fmt.Sprintf("%s lies %s from %s", t.Feature.Title(), v.length(t.GapM), namesOf(t.Protects))
		span := fmt.Sprintf("%s to %s", v.length(by.GapMinM), v.length(by.GapMaxM))
		switch {
		case t.GapM < by.GapMinM-shareSlack:
			return fmt.Sprintf("%s; %s of ground between them %s, so that the pest does not walk across.", lies, span, asTested(by)),
				"Move one of them."
		case t.GapM > by.GapMaxM+shareSlack:
			return fmt.Sprintf("%s; %s %s.", lies, span, asTested(by)), "Bring it nearer."
		}
		return "", ""
	}, func(x *data.TrapCrop) bool { return x.GapMinM > 0 })
}

func trapCropOpen(v *seasonView) []Finding {
	return v.eachTrapCrop(func(t *TrapCropSeason, by *data.TrapCrop) (string, string) {
		if !wantsRing(by) || t.Closed >= ringClosed {
			return "", ""
		}
		return fmt.Sprintf("%s stands on %s of the sides of %s; it was tested as an unbroken ring, and through gaps pests pour in.", t.Feature.Title(),
			whole(t.Closed), namesOf(t.Protects)), "Close the ring, or lay it on the side that the pest comes from and look at the rest."
	}, wantsRing)
}

func trapCropLate(v *seasonView) []Finding {
	return v.eachTrapCrop(func(t *TrapCropSeason, by *data.TrapCrop) (string, string) {
		if by.LeadMinWeeks == 0 || t.LeadWeeks >= by.LeadMinWeeks {
			return "", ""
		}
		asked := fmt.Sprintf("a lead of %s %s, so that it draws before the crop does", weeks(by.LeadMinWeeks, by.LeadMaxWeeks), asTested(by))
		if math.IsNaN(t.LeadWeeks) {
			return fmt.Sprintf("When %s or what it protects is sown or set out is not given; %s.", t.Feature.Title(), asked), "Give both days."
		}
		ahead := fmt.Sprintf("%.1f weeks ahead of", t.LeadWeeks)
		if t.LeadWeeks <= 0 {
			ahead = "no earlier than"
		}
		return fmt.Sprintf("%s begins %s what it protects; %s.", t.Feature.Title(), ahead, asked), "Sow it earlier, or set it out as plants."
	}, func(x *data.TrapCrop) bool { return x.LeadMinWeeks > 0 })
}

// weeks is "2 to 3 weeks", "2 weeks" where both are the same, "1 week".
func weeks(lo, hi float64) string {
	switch {
	case lo != hi:
		return fmt.Sprintf("%g to %g weeks", lo, hi)
	case lo == 1:
		return "1 week"
	}
	return fmt.Sprintf("%g weeks", lo)
}
