package plan

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
)

// A decoder walks over JSON that checkJSON found well formed, so it never meets a syntax error: only wrong types and
// values. It reads straight into the plan, without a tree between, so that a large file needs little more than its own size.
type decoder struct {
	buf    []byte
	pos    int
	points int // read so far, against MaxPoints
	spaced int // texts in which unseen signs became spaces
}

// A fault is a wrong value. The path to it is put together while the calls return, so that reading well costs nothing.
type fault struct {
	path       string
	what, mend string
}

func (f *fault) Error() string { return f.what }

// within puts a member's name or an item's index in front of a fault's path.
func within(step string, err error) error {
	f, ok := err.(*fault)
	if !ok {
		return err
	}
	switch {
	case f.path == "":
		f.path = step
	case f.path[0] == '[':
		f.path = step + f.path
	default:
		f.path = step + "." + f.path
	}
	return f
}

// space moves to the next byte that matters and answers it.
func (d *decoder) space() byte {
	for d.pos < len(d.buf) {
		switch c := d.buf[d.pos]; c {
		case ' ', '\t', '\n', '\r':
			d.pos++
		default:
			return c
		}
	}
	return 0
}

// null steps over a null and tells whether there was one: an absent member and null mean the same.
func (d *decoder) null() bool {
	if d.space() != 'n' {
		return false
	}
	d.pos += len("null")
	return true
}

// found names what stands where something else should.
func (d *decoder) found() string {
	switch c := d.space(); c {
	case '{':
		return "an object"
	case '[':
		return "a list"
	case '"':
		return "a text"
	case 't', 'f':
		return "true or false"
	case 'n':
		return "null"
	default:
		return "a number"
	}
}

func (d *decoder) wrong(want, example string) error {
	return &fault{what: "this is " + d.found() + " and should be " + want, mend: "write " + example}
}

// object calls member for each member's name, with the decoder before its value; member must step over the value.
func (d *decoder) object(member func(name string) error) error {
	if d.space() != '{' {
		return d.wrong("an object", `it as {"name": value}`)
	}
	d.pos++
	var names []string
	for d.space() != '}' {
		if d.buf[d.pos] == ',' {
			d.pos++
			continue
		}
		name, err := d.quoted()
		if err != nil {
			return err
		}
		for _, n := range names {
			if n == name {
				return &fault{path: cut(name, 40), what: "this member stands here twice", mend: "take one of them out"}
			}
		}
		if names = append(names, name); len(names) > MaxMembers {
			return &fault{what: fmt.Sprintf("this object has more than %d members", MaxMembers), mend: "take out what is not needed"}
		}
		d.space() // the colon
		d.pos++
		if err := member(name); err != nil {
			return within(cut(name, 40), err)
		}
	}
	d.pos++
	return nil
}

// list calls item for each item, with the decoder before it; item must step over it.
func (d *decoder) list(item func(i int) error) error {
	if d.space() != '[' {
		return d.wrong("a list", "it as [first, second]")
	}
	d.pos++
	for i := 0; d.space() != ']'; {
		if d.buf[d.pos] == ',' {
			d.pos++
			continue
		}
		if err := item(i); err != nil {
			return within("["+strconv.Itoa(i)+"]", err)
		}
		i++
	}
	d.pos++
	return nil
}

// raw steps over a value and answers its bytes.
func (d *decoder) raw() []byte {
	d.space()
	start, depth := d.pos, 0
	for d.pos < len(d.buf) {
		switch d.buf[d.pos] {
		case '"':
			d.stepOverText()
		case '{', '[':
			depth++
			d.pos++
		case '}', ']':
			if depth == 0 { // the end of what holds a bare number or word
				return bytes.TrimRight(d.buf[start:d.pos], " \t\r\n")
			}
			depth--
			d.pos++
		case ',':
			if depth == 0 {
				return bytes.TrimRight(d.buf[start:d.pos], " \t\r\n")
			}
			d.pos++
		default:
			d.pos++
			continue
		}
		if depth == 0 {
			return d.buf[start:d.pos]
		}
	}
	return bytes.TrimRight(d.buf[start:d.pos], " \t\r\n")
}

func (d *decoder) stepOverText() {
	for d.pos++; d.buf[d.pos] != '"'; d.pos++ {
		if d.buf[d.pos] == '\\' {
			d.pos++
		}
	}
	d.pos++
}

// text reads a text, with spaces in place of what cannot be seen. A plan is not refused for that, since files that were read before
// may have brought such signs; they are counted for a note.
func (d *decoder) text() (string, error) {
	s, err := d.quoted()
	return d.without(s, unseen), err
}

// note is text for what may have lines.
func (d *decoder) note() (string, error) {
	s, err := d.quoted()
	return d.without(s, unseenInNote), err
}

// quoted reads a text as it is.
func (d *decoder) quoted() (string, error) {
	if d.space() != '"' {
		return "", d.wrong("a text", "it in quotes")
	}
	start := d.pos
	d.stepOverText()
	quoted := d.buf[start:d.pos]
	if bytes.IndexByte(quoted, '\\') < 0 {
		return string(quoted[1 : len(quoted)-1]), nil
	}
	var s string
	if err := json.Unmarshal(quoted, &s); err != nil {
		return "", &fault{what: "this is not a text", mend: "write it in quotes"}
	}
	return s, nil
}

func (d *decoder) truth() (bool, error) {
	switch d.space() {
	case 't':
		d.pos += len("true")
		return true, nil
	case 'f':
		d.pos += len("false")
		return false, nil
	}
	return false, d.wrong("true or false", "true or false")
}

func (d *decoder) number() (float64, error) {
	c := d.space()
	if c != '-' && (c < '0' || c > '9') {
		return 0, d.wrong("a number", "a plain number like 12.5")
	}
	start := d.pos
	for d.pos < len(d.buf) && strings.IndexByte("+-.0123456789eE", d.buf[d.pos]) >= 0 {
		d.pos++
	}
	v, err := strconv.ParseFloat(string(d.buf[start:d.pos]), 64)
	if err != nil {
		return 0, &fault{what: cut(string(d.buf[start:d.pos]), 20) + " is too large a number",
			mend: "write a plain number like 12.5"}
	}
	return v, nil
}

// point reads [x, y]; further numbers (heights) are stepped over.
func (d *decoder) point() (p orb.Point, err error) {
	n := 0
	err = d.list(func(i int) error {
		v, err := d.number()
		if i < 2 {
			p[i] = v
		}
		n++
		return err
	})
	if err == nil && n < 2 {
		err = &fault{what: "a point needs two numbers", mend: "write [east, north]"}
	}
	if d.points++; d.points > MaxPoints {
		err = &fault{what: fmt.Sprintf("the file has more than %d points", MaxPoints), mend: "thin out its outlines"}
	}
	return p, err
}

func (d *decoder) pointList() (ps []orb.Point, err error) {
	err = d.list(func(i int) error {
		if i >= MaxRing {
			return &fault{what: fmt.Sprintf("an outline has more than %d points", MaxRing), mend: "thin it out"}
		}
		p, err := d.point()
		ps = append(ps, p)
		return err
	})
	return ps, err
}

// ring reads an outline. An outline that was left open is closed: nothing else can be meant.
func (d *decoder) ring() (orb.Ring, error) {
	ps, err := d.pointList()
	if err != nil {
		return nil, err
	}
	if len(ps) > 0 && ps[0] != ps[len(ps)-1] {
		ps = append(ps, ps[0])
	}
	if len(ps) < 4 {
		return nil, &fault{what: "an outline needs three corners or more", mend: "redraw it"}
	}
	return ps, nil
}

func (d *decoder) polygon() (pg orb.Polygon, err error) {
	err = d.list(func(int) error {
		r, err := d.ring()
		pg = append(pg, r)
		return err
	})
	if err == nil && len(pg) == 0 {
		err = &fault{what: "this polygon has no outline", mend: "redraw it"}
	}
	return pg, err
}

// geometry reads a GeoJSON geometry object and its members that are not type and coordinates (nil where there are none). A
// box is dropped: it would be wrong after the first edit. null gives nil.
func (d *decoder) geometry() (g orb.Geometry, rest Extra, err error) {
	if d.null() {
		return nil, nil, nil
	}
	var kind string
	at := -1 // of the coordinates, which may stand before the type
	err = d.object(func(name string) (err error) {
		switch name {
		case "type":
			kind, err = d.text()
		case "coordinates":
			d.space()
			at = d.pos
			d.raw()
		case "bbox":
			d.raw()
		default:
			rest.keep(name, d.raw())
		}
		return err
	})
	if err != nil {
		return nil, nil, err
	}
	if at < 0 && kind != "GeometryCollection" {
		return nil, nil, &fault{what: "this geometry has no coordinates", mend: "give it type and coordinates"}
	}
	end := d.pos
	d.pos = at
	switch kind {
	case "Polygon":
		g, err = d.polygon()
	case "MultiPolygon":
		var m orb.MultiPolygon
		err = d.list(func(int) error {
			p, err := d.polygon()
			m = append(m, p)
			return err
		})
		if err == nil && len(m) == 0 {
			err = &fault{what: "this geometry is empty", mend: "redraw it"}
		}
		g = m
	case "Point":
		g, err = d.point()
	case "LineString":
		var l orb.LineString
		l, err = d.pointList()
		if err == nil && len(l) < 2 {
			err = &fault{what: "a line needs two points or more", mend: "redraw it"}
		}
		g = l
	case "MultiPoint", "MultiLineString", "GeometryCollection":
		d.pos = end
		return nil, rest, unused(kind)
	case "":
		return nil, nil, &fault{path: "type", what: "this geometry has no type", mend: "give it type and coordinates"}
	default:
		return nil, nil, &fault{path: "type", what: fmt.Sprintf("%q is no geometry", cut(kind, 40)),
			mend: "use Polygon or MultiPolygon"}
	}
	if err != nil {
		return nil, nil, within("coordinates", err)
	}
	d.pos = end
	return g, rest, nil
}

// unused is a geometry type that GeoJSON knows and plans do not use.
type unused string

func (u unused) Error() string { return string(u) + " is not used in plans" }

// keep stores a member that this version does not know, white space taken out so that it is written the same every time.
func (e *Extra) keep(name string, raw []byte) {
	if *e == nil {
		*e = Extra{}
	}
	var b bytes.Buffer
	if json.Compact(&b, raw) != nil {
		return // cannot be: the file was found well formed
	}
	(*e)[name] = b.Bytes()
}

// keepBeside keeps a member under a name that it was not read under, and so takes the next free one.
func (e *Extra) keepBeside(name string, raw []byte) {
	free := name
	for i := 2; (*e)[free] != nil; i++ {
		free = fmt.Sprintf("%s_%d", name, i)
	}
	e.keep(free, raw)
}
