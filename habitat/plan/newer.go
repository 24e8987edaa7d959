package plan

import (
	"bytes"
	"encoding/json"
	"fmt"
	"iter"
	"maps"
	"slices"
	"strings"
)

// version is that of the files that are written. A change that an older program would misread, and not only miss, raises it.
const version = 1

// An Unknown is a feature of a plan that a newer version of the program wrote and this one cannot read: another kind of thing, or
// a known one described in another way. It is kept as it stood and written back at its place, so that nothing of it is lost.
type Unknown struct {
	At  int // its index among all features of the file
	Raw []byte
}

// Newer tells whether a newer version of the program wrote the plan.
func (p *Plan) Newer() bool { _, newer := p.Extra["version"]; return newer }

// Partial tells whether the plan's file holds what this version of the program cannot show, though it keeps it. Such a plan should
// not be saved over its file unasked: what is seen is not all that there is.
func (p *Plan) Partial() bool { return len(p.Unknown) > 0 || len(p.unreadMembers()) > 0 }

// unreadMembers are the members that a plan of this version has, too, and that a newer one wrote in another way.
func (p *Plan) unreadMembers() (names []string) {
	for _, name := range planMembers[2:] { // not the format and the version
		if _, kept := p.Extra[name]; kept {
			names = append(names, name)
		}
	}
	return names
}

// newerMember reads a member of a newer plan; one that cannot be read is kept as it stands.
func (d *decoder) newerMember(p *Plan, name string) error {
	if !slices.Contains(planMembers, name) {
		return d.planMember(p, name)
	}
	start, was := d.pos, *p
	was.Extra = maps.Clone(p.Extra)
	err := d.planMember(p, name)
	if err == nil && len(p.Extra) == len(was.Extra) { // and not put aside under another name
		probe := *p
		probe.Features, probe.Unknown, probe.Extra = nil, nil, nil
		if err = probe.Check(); err == nil {
			return nil
		}
	}
	*p = was
	d.pos = start
	p.Extra.keep(name, d.raw())
	return nil
}

// newerFeature reads a feature of a newer plan; one that cannot be read is kept as it stands.
func (d *decoder) newerFeature(p *Plan, i int) error {
	start, points := d.pos, d.points
	f, err := d.feature()
	if err == nil {
		if bad := f.check(); bad == nil {
			p.Features = append(p.Features, f)
			return nil
		}
	}
	if d.points > MaxPoints { // this stays a limit
		return d.inFeature(i, start, err)
	}
	d.pos, d.points = start, points
	var b bytes.Buffer
	if err := json.Compact(&b, d.raw()); err != nil {
		return err // cannot be: the file was found well formed
	}
	p.Unknown = append(p.Unknown, Unknown{i, b.Bytes()})
	return nil
}

// newerNotes says what of a newer plan is kept without being shown.
func (p *Plan) newerNotes() (notes []string) {
	if !p.Newer() {
		return nil
	}
	was := fmt.Sprintf("a newer version of Hedgereach wrote this plan (version %s of the file, this program knows %d)", p.Extra["version"], version)
	if !p.Partial() {
		return []string{was + ": it could all be read, and what is not known here is kept"}
	}
	notes = append(notes, was+": what could not be read is kept, but not shown or counted")
	if n := len(p.Unknown); n == 1 {
		notes = append(notes, "1 feature could not be read")
	} else if n > 1 {
		notes = append(notes, fmt.Sprintf("%d features could not be read", n))
	}
	if names := p.unreadMembers(); len(names) > 0 {
		notes = append(notes, "what could not be read of the plan itself: "+strings.Join(names, ", "))
	}
	return notes
}

// nothing yields the members that a plan may lack, in the order of the file, and whether it lacks them.
func (p *Plan) nothing() iter.Seq2[string, bool] {
	return func(yield func(string, bool) bool) {
		_ = yield("place", p.Place == nil) && yield("picture", p.Picture == nil) && yield("year", p.Year == 0) &&
			yield("accepted", len(p.Accepted) == 0) && yield("weather", p.Weather == nil) && yield("catalogue", len(p.Own) == 0)
	}
}

// merged gives the features in the order in which they are written: each call is of a known feature, or of an unknown one's words.
func (p *Plan) merged(known func(*Feature), unknown func(raw []byte)) {
	left := p.Unknown
	n := 0
	for _, f := range p.Features {
		for ; len(left) > 0 && left[0].At <= n; n++ {
			unknown(left[0].Raw)
			left = left[1:]
		}
		known(f)
		n++
	}
	for _, u := range left {
		unknown(u.Raw)
	}
}
