package data

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// Merge gives a catalogue with a grower's own entries over it. Entries with a new id are added at the end of their list; the
// others replace the filled columns. Each replaced fact is marked as the grower's own, with the source note, and its evidence
// is low, since nobody else has seen it. Bloom times of one's own hold at the plan's place. The base is not changed. The error
// is one line that names the file, the line of the entry in it, its id and the mend.
func Merge(base *Catalogue, own *Personal) (*Catalogue, error) {
	c, errs := merge(base, own, true)
	if len(errs) > 0 {
		return nil, errs[0]
	}
	return c, nil
}

// MergeFitting is Merge that leaves out the entries that do not fit the base, and says why of each.
func MergeFitting(base *Catalogue, own *Personal) (*Catalogue, []error) {
	return merge(base, own, false)
}

// merge stops at the first error where asked to.
func merge(base *Catalogue, own *Personal, stop bool) (*Catalogue, []error) {
	c := base.copy()
	c.ownEntries = c.ownEntries || len(own.Entries) > 0
	first := map[[2]string]int{}
	var errs []error
	for i, e := range own.Entries {
		line := own.line(i)
		key := [2]string{e.List, e.ID}
		err := e.check(own.at(i))
		if other, twice := first[key]; twice && err == nil {
			err = fmt.Errorf("%s: %s, id: the same id stands in line %d: take one out", own.at(i), e.ID, other)
		}
		if err == nil {
			first[key] = line
			err = c.lay(&e, own, i)
		}
		if err != nil {
			if errs = append(errs, err); stop {
				break
			}
		}
	}
	return c, errs
}

// lay lays one entry over the catalogue; on an error the catalogue is as it was.
func (c *Catalogue) lay(e *OwnEntryRow, own *Personal, i int) (err error) {
	id := ownSource(e.List, e.ID)
	before := c.source[id]
	defer func() {
		switch now := c.source[id]; {
		case err == nil || now == nil || now == before:
		case before != nil:
			c.Sources, c.source[id] = put(c.Sources, now, before), before
		default:
			c.Sources = slices.DeleteFunc(c.Sources, func(s *Source) bool { return s == now })
			delete(c.source, id)
		}
	}()
	r, err := c.ownRow(e, own, i)
	if err != nil {
		return fmt.Errorf("%s: %s, %w", own.at(i), e.ID, err)
	}
	switch e.List {
	case "plant":
		p := plantOf(r, c)
		if r.err != nil {
			return r.err
		}
		if err := c.keepOut(p); err != nil {
			return fmt.Errorf("%s: %s, scientific: %w", own.at(i), e.ID, err)
		}
		c.Plants, c.plant[p.ID] = put(c.Plants, c.plant[p.ID], p), p
	case "crop":
		p := cropOf(r, c)
		if r.err != nil {
			return r.err
		}
		c.Crops, c.crop[p.ID] = put(c.Crops, c.crop[p.ID], p), p
		c.rehost(p)
	case "guild":
		g := guildOf(r, c)
		if r.err != nil {
			return r.err
		}
		c.Guilds, c.guild[g.ID] = put(c.Guilds, c.guild[g.ID], g), g
	}
	return nil
}

// ownSource is the id of the source note of an own entry.
func ownSource(list, id string) string { return "own-" + list + "-" + id }

// IsOwn tells whether an entry of a list ("plant", "crop", "guild") holds words of the grower's own.
func (c *Catalogue) IsOwn(list, id string) bool { return c.source[ownSource(list, id)] != nil }

// HasOwn tells whether any entry does.
func (c *Catalogue) HasOwn() bool { return c.ownEntries }

// copy is a catalogue whose lists can be changed without changing those of the original. The entries are shared.
func (c *Catalogue) copy() *Catalogue {
	d := *c
	d.Guilds, d.Plants, d.Crops, d.Pests, d.Sources = slices.Clone(c.Guilds), slices.Clone(c.Plants), slices.Clone(c.Crops),
		slices.Clone(c.Pests), slices.Clone(c.Sources)
	d.guild, d.plant, d.crop, d.pest, d.source = maps.Clone(c.guild), maps.Clone(c.plant), maps.Clone(c.crop), maps.Clone(c.pest),
		maps.Clone(c.source)
	return &d
}

// put sets an entry in the old one's place, or at the end.
func put[T any](list []*T, old, entry *T) []*T {
	if i := slices.Index(list, old); old != nil && i >= 0 {
		list[i] = entry
		return list
	}
	return append(list, entry)
}

// rehost makes the pests of a crop, and only they, name it as a host.
func (c *Catalogue) rehost(crop *Crop) {
	for i, p := range c.Pests {
		has, should := slices.Contains(p.Hosts, crop.ID), slices.Contains(crop.Pests, p.ID)
		if has == should {
			continue
		}
		q := *p
		if should {
			q.Hosts = with(p.Hosts, crop.ID)
		} else {
			q.Hosts = slices.DeleteFunc(slices.Clone(p.Hosts), func(id string) bool { return id == crop.ID })
		}
		c.Pests[i], c.pest[q.ID] = &q, &q
	}
}

// ownRow is the row that an embedded file would have for an own entry: what the catalogue says, with the filled columns over
// it. It adds the entry's source to the catalogue. The error begins with the column.
func (c *Catalogue) ownRow(e *OwnEntryRow, own *Personal, i int) (*row, error) {
	cells := c.cells(e.List, e.ID)
	added := cells == nil
	if added {
		if e.List == "guild" {
			return nil, fmt.Errorf("id: there is no such guild: only the ranges of the catalogue's guilds can be your own")
		}
		cells = newCells(e.List)
	}
	s := &Source{ID: ownSource(e.List, e.ID), Citation: own.note(e.Source)}
	c.Sources, c.source[s.ID] = put(c.Sources, c.source[s.ID], s), s
	for _, col := range ownColumns[e.List] {
		cell := e.Cells[col.name]
		if cell != "" {
			cells[col.name] = cell
		}
		if col.origin != "" && (cell != "" || added) {
			putOrigin(cells, col.origin, Origin{Sources: []string{s.ID}, Checked: OwnEntry, Evidence: Low})
		}
		if cell != "" && strings.HasPrefix(col.name, "bloom_") {
			cells["bloom_place"], cells["bloom_where"] = "", "your own observation"
		}
	}
	cells["id"] = e.ID
	if e.List == "guild" && cells["typical_m"] == "" {
		return nil, fmt.Errorf("typical_m: empty: the catalogue has no range for this guild, so give all three")
	}
	t := &table{file: own.name(), column: map[string]int{}, used: map[string]bool{}, ids: map[string]int{}, own: true}
	r := &row{table: t, line: own.line(i)}
	for name, cell := range cells {
		t.column[name] = len(r.cells)
		r.cells = append(r.cells, cell)
	}
	return r, nil
}

// newCells are the cells of an entry that the catalogue does not have. What a grower need not know is called not given.
func newCells(list string) map[string]string {
	cells := map[string]string{}
	for _, col := range ownColumns[list] {
		cells[col.name] = ""
	}
	missing := []string{"scientific", "family", "life_cycle"}
	switch list {
	case "plant":
		missing = append(missing, "form", "native")
		cells["not_offered_in"], cells["bloom_place"], cells["bloom_where"], cells["listed_checked"] = "", "", "", string(OwnEntry)
	case "crop":
		missing = append(missing, "season", "days_from")
	}
	for _, name := range missing {
		cells[name] = "not given"
	}
	return cells
}

// cells renders an entry as a row of its embedded file, by column; nil for an unknown one.
func (c *Catalogue) cells(list, id string) map[string]string {
	var cells map[string]string
	switch list {
	case "plant":
		p := c.plant[id]
		if p == nil {
			return nil
		}
		cells = map[string]string{"name": p.Name, "scientific": p.Scientific, "family": p.Family, "form": p.Form, "life_cycle": p.LifeCycle,
			"bloom_from": p.Bloom.From.String(), "bloom_to": p.Bloom.To.String(), "bloom_place": p.BloomPlace.ID, "bloom_where": p.BloomWhere,
			"height_min_cm": num(p.HeightMinCM), "height_max_cm": num(p.HeightMaxCM), "spacing_cm": num(p.SpacingCM),
			"zone_min": num(float64(p.ZoneMin)), "native": p.Native, "not_offered_in": semis(p.NotOfferedIn), "caution": p.Caution,
			"dangers": semis(p.Dangers), "invasive_in": semis(p.InvasiveIn), "guilds": semis(p.Guilds), "note": p.Note,
			"listed_checked": mark(p.Listed, p.ListedRecall)}
		putOrigin(cells, "guilds", p.GuildsFrom)
		putOrigin(cells, "traits", p.TraitsFrom)
		putOrigin(cells, "cautions", p.CautionsFrom)
	case "crop":
		p := c.crop[id]
		if p == nil {
			return nil
		}
		cells = map[string]string{"name": p.Name, "scientific": p.Scientific, "family": p.Family, "life_cycle": p.LifeCycle, "season": p.Season,
			"in_row_min_cm": num(p.InRowMinCM), "in_row_max_cm": num(p.InRowMaxCM), "between_row_min_cm": num(p.BetweenRowMinCM),
			"between_row_max_cm": num(p.BetweenRowMaxCM), "days_min": num(float64(p.DaysMin)), "days_max": num(float64(p.DaysMax)),
			"days_from": p.DaysFrom, "pollination": p.Pollination, "pollination_note": p.PollinationNote, "pests": semis(p.Pests), "caution": p.Caution,
			"dangers": semis(p.Dangers)}
		putOrigin(cells, "spacing", p.SpacingFrom)
		putOrigin(cells, "days", p.DaysOrigin)
		putOrigin(cells, "pollination", p.PollenFrom)
		putOrigin(cells, "cautions", p.CautionsFrom)
	case "guild":
		g := c.guild[id]
		if g == nil {
			return nil
		}
		cells = map[string]string{"name": g.Name, "examples": g.Examples, "pollinator": yesNo(g.Pollinator), "travel": string(g.Travel),
			"low_m": num(g.LowM), "typical_m": num(g.TypicalM), "outer_m": num(g.OuterM), "shelter": semis(g.Shelter),
			"fed_by_flowers": yesNo(g.FedByFlowers), "eats": g.Eats, "other_food": g.OtherFood, "winter": g.Winter, "provide": g.Provide,
			"disagrees": g.Disagrees, "note": g.Note}
		putOrigin(cells, "range", g.Origin)
		putOrigin(cells, "biology", g.BiologyFrom)
	}
	if cells != nil {
		cells["id"] = id
	}
	return cells
}

// Own is an own entry filled with what the catalogue says now, to begin from; false for an unknown list or id. Its source is
// for the grower to fill in.
func (c *Catalogue) Own(list, id string) (OwnEntryRow, bool) {
	cells := c.cells(list, id)
	if cells == nil {
		return OwnEntryRow{}, false
	}
	e := OwnEntryRow{List: list, ID: id, Cells: map[string]string{}}
	for _, name := range OwnColumns(list) {
		e.Cells[name] = cells[name]
	}
	return e, true
}

func putOrigin(cells map[string]string, prefix string, o Origin) {
	cells[prefix+"_sources"], cells[prefix+"_detail"] = semis(o.Sources), o.Detail
	cells[prefix+"_checked"], cells[prefix+"_evidence"] = mark(o.Checked, o.Recall), string(o.Evidence)
}

func mark(m Checked, recall string) string {
	if recall != "" {
		return string(m) + " (" + recall + ")"
	}
	return string(m)
}

func semis[T ~string](list []T) string {
	words := make([]string, len(list))
	for i, x := range list {
		words[i] = string(x)
	}
	return strings.Join(words, ";")
}

// num writes a number whose 0 means not given.
func num(v float64) string {
	if v == 0 {
		return ""
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}
