package plan

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"
)

// Own is an entry of the grower's own catalogue that is kept in the plan, so that the plan is measured alike wherever it goes. In
// the file an entry is one object: list, id, source and the columns of the catalogue's file that it fills, each a text or a number.
// Whether it fits the catalogue is no matter of the plan.
type Own struct {
	List, ID string
	Source   string            // where the grower has it from
	Cells    map[string]string // by column
	Extra    Extra             // members that are neither text nor number
}

// PutOwn is a plan with an entry in the place of the one with its list and id, or at the end. The features are shared.
func (p *Plan) PutOwn(o Own) *Plan {
	q := p.Clone()
	q.Own = slices.Clone(p.Own)
	if i := p.findOwn(o.List, o.ID); i >= 0 {
		q.Own[i] = o
	} else {
		q.Own = append(q.Own, o)
	}
	return q
}

// RemoveOwn is a plan without an entry. The features are shared.
func (p *Plan) RemoveOwn(list, id string) *Plan {
	q := p.Clone()
	if i := p.findOwn(list, id); i >= 0 {
		q.Own = slices.Delete(slices.Clone(p.Own), i, i+1)
	}
	return q
}

// HasOwn tells whether an entry is kept in the plan.
func (p *Plan) HasOwn(list, id string) bool { return p.findOwn(list, id) >= 0 }

func (p *Plan) findOwn(list, id string) int {
	return slices.IndexFunc(p.Own, func(o Own) bool { return o.List == list && o.ID == id })
}

func (o *Own) check(i int) *ReadError {
	where := fmt.Sprintf("catalogue[%d]", i)
	if len(o.Cells) > mostExtra {
		return &ReadError{Where: where, What: fmt.Sprintf("it has more than %d members", mostExtra), Mend: "take out what is not needed"}
	}
	for _, text := range append(slices.Sorted(maps.Values(o.Cells)), o.List, o.ID, o.Source) {
		if utf8.RuneCountInString(text) > MaxOwnText {
			return &ReadError{Where: where, What: fmt.Sprintf("a text is longer than %d characters", MaxOwnText), Mend: "shorten it"}
		}
	}
	if err := o.Extra.check(); err != nil {
		err.Where = where
		return err
	}
	return nil
}

func (d *decoder) ownEntries() (list []Own, err error) {
	err = d.list(func(i int) error {
		if i >= MaxOwn {
			return &fault{what: fmt.Sprintf("there are more than %d own entries", MaxOwn), mend: "take out what the plan does not need"}
		}
		o, err := d.own()
		list = append(list, o)
		return err
	})
	return list, within("catalogue", err)
}

// own reads an entry. Numbers are taken as they are written, since people write such entries by hand.
func (d *decoder) own() (Own, error) {
	o := Own{Cells: map[string]string{}}
	err := d.object(func(name string) (err error) {
		switch name {
		case "list":
			o.List, err = d.text()
		case "id":
			o.ID, err = d.text()
		case "source":
			o.Source, err = d.text()
		default:
			raw := d.raw()
			if cell, ok := cellOf(raw); ok {
				o.Cells[name] = cell
			} else {
				o.Extra.keep(name, raw)
			}
		}
		return err
	})
	return o, err
}

// cellOf is a text or a number as the text of a cell; not ok for anything else, and for nothing.
func cellOf(raw []byte) (cell string, ok bool) {
	var v any
	d := json.NewDecoder(bytes.NewReader(raw))
	d.UseNumber()
	if d.Decode(&v) != nil {
		return "", false
	}
	switch v := v.(type) {
	case string:
		cell = strings.TrimSpace(v)
	case json.Number:
		cell = v.String()
	}
	return cell, cell != ""
}

func (e *encoder) ownEntries(list []Own) {
	for i, o := range list {
		e.item(i)
		e.textMember("{", "list", o.List)
		e.textMember(", ", "id", o.ID)
		e.textMember(", ", "source", o.Source)
		written := []string{"list", "id", "source"}
		for _, name := range slices.Sorted(maps.Keys(o.Cells)) {
			if !slices.Contains(written, name) {
				e.textMember(", ", name, o.Cells[name])
				written = append(written, name)
			}
		}
		e.rest(", ", o.Extra, written)
		e.add("}")
	}
	e.add("]")
}
