package habitat

import (
	"maps"
	"reflect"
	"slices"

	"hedgereach/data"
	"hedgereach/habitat/plan"
)

// CatalogueOf is the catalogue that a plan is measured by: the own entries that the plan keeps go before the base, which may
// hold further ones of the grower's. Entries that do not fit are left out, and the errors say why.
func CatalogueOf(p *plan.Plan, base *data.Catalogue) (*data.Catalogue, []error) {
	if len(p.Own) == 0 {
		return base, nil
	}
	return data.MergeFitting(base, data.InPlan(OwnEntries(p)))
}

// OwnEntries are the entries that a plan keeps of its own, without what this version's catalogue has no columns for.
func OwnEntries(p *plan.Plan) []data.OwnEntryRow {
	rows := make([]data.OwnEntryRow, len(p.Own))
	for i, o := range p.Own {
		rows[i] = data.OwnEntryRow{List: o.List, ID: o.ID, Source: o.Source, Cells: map[string]string{}}
		for _, name := range data.OwnColumns(o.List) {
			if cell := o.Cells[name]; cell != "" {
				rows[i].Cells[name] = cell
			}
		}
	}
	return rows
}

// PutOwn is a plan that keeps an own entry, in the place of the one with its list and id. What an entry in its place had besides
// the catalogue's columns stays.
func PutOwn(p *plan.Plan, e data.OwnEntryRow) *plan.Plan {
	o := plan.Own{List: e.List, ID: e.ID, Source: e.Source, Cells: maps.Clone(e.Cells)}
	for _, was := range p.Own {
		if was.List != e.List || was.ID != e.ID {
			continue
		}
		o.Extra = was.Extra
		columns := data.OwnColumns(e.List)
		for name, cell := range was.Cells {
			if !slices.Contains(columns, name) {
				o.Cells[name] = cell
			}
		}
	}
	return p.PutOwn(o)
}

// adopt brings the catalogue up to the plan's own entries. What was measured by another is forgotten.
func (a *Assessor) adopt(p *plan.Plan) {
	if sameOwn(a.own, p.Own) {
		a.own = p.Own
		return
	}
	c, unfit := CatalogueOf(p, a.base)
	b := NewAssessor(c, a.options)
	b.base, b.own, b.unfit, b.overlay = a.base, p.Own, unfit, a.overlay
	*a = *b
}

// sameOwn compares by place first: mostly nothing was done to the entries, and their list is the same.
func sameOwn(a, b []plan.Own) bool {
	return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0] || reflect.DeepEqual(a, b))
}

// An OwnUse is an entry of the grower's own that a plan is measured by and does not keep: elsewhere it would be measured without.
type OwnUse struct {
	List, ID string
	Name     string
	Features []string // ids of the features that use it; none for a range, which counts for all
}

// OwnElsewhere are those uses: what the base holds of the grower's own and the plan does not.
func OwnElsewhere(p *plan.Plan, base *data.Catalogue) (uses []OwnUse) {
	if !base.HasOwn() {
		return nil
	}
	miss := func(list, id, name string, f *plan.Feature) {
		if !base.IsOwn(list, id) || p.HasOwn(list, id) {
			return
		}
		i := slices.IndexFunc(uses, func(u OwnUse) bool { return u.List == list && u.ID == id })
		if i < 0 {
			i = len(uses)
			uses = append(uses, OwnUse{List: list, ID: id, Name: name})
		}
		if f != nil && !slices.Contains(uses[i].Features, f.ID) {
			uses[i].Features = append(uses[i].Features, f.ID)
		}
	}
	for _, f := range p.Features {
		for _, g := range f.Plants {
			if x := base.Plant(g.Plant); x != nil {
				miss("plant", x.ID, x.Name, f)
			}
		}
		for _, g := range f.Crops {
			if x := base.Crop(g.Crop); x != nil {
				miss("crop", x.ID, x.Name, f)
			}
		}
	}
	for _, g := range base.Guilds {
		miss("guild", g.ID, "the range of "+InText(g.Name), nil)
	}
	return uses
}
