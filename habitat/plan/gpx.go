package plan

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/paulmach/orb"
)

// readGPX reads GPX, the format of GPS receivers: each track segment or route is an outline, each way point a mark. The kind
// is that in the track's type, or at the start of its name ("hedgerow north"). Entities beyond XML's own five are refused, so
// that a small file cannot unfold into a large one.
func readGPX(data []byte, title string) (*Plan, []string, error) {
	r := &gpxReader{decoder: xml.NewDecoder(bytes.NewReader(data)), places: cursor{data: data}, first: -1}
	for {
		token, err := r.decoder.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, nil, r.notXML(err)
		}
		switch t := token.(type) {
		case xml.Directive:
			err = r.wrong("it declares a document type, which GPX has not", "take the declaration out")
		case xml.StartElement:
			err = r.open(t)
		case xml.CharData:
			if len(r.text)+len(t) <= MaxNote {
				r.text = append(r.text, t...)
			}
		case xml.EndElement:
			r.close(t.Name.Local)
		}
		if err != nil {
			return nil, nil, err
		}
	}
	if !r.root {
		return nil, nil, &ReadError{What: "it is empty", Mend: "open another copy"}
	}
	return fromWalks(r.walks, true, title)
}

// A gpxReader is what has been read of a GPX file.
type gpxReader struct {
	decoder *xml.Decoder
	places  cursor
	root    bool // seen
	path    []string
	text    []byte // of the element being read
	walks   []walk
	points  int

	first      int // the walks of the track, route or way point being read begin here; -1 while none is
	name, kind string
}

func (r *gpxReader) at() string { return r.places.name(int(r.decoder.InputOffset())) }

// wrong is an error at the place that has been reached.
func (r *gpxReader) wrong(what, mend string) error {
	return &ReadError{Where: r.at(), What: what, Mend: mend}
}

func (r *gpxReader) notXML(err error) error {
	var se *xml.SyntaxError
	if errors.As(err, &se) {
		return &ReadError{Where: fmt.Sprintf("line %d", se.Line), What: "this is not XML (" + cut(se.Msg, 80) + ")",
			Mend: "get a whole copy of it"}
	}
	return r.wrong("this is not XML ("+cut(err.Error(), 80)+")", "save it as GPX in UTF-8")
}

// open takes the start of an element.
func (r *gpxReader) open(t xml.StartElement) error {
	tag := t.Name.Local
	if r.path = append(r.path, tag); len(r.path) > MaxDepth {
		return r.wrong(fmt.Sprintf("elements nest deeper than %d", MaxDepth), "this is not GPX")
	}
	r.text = r.text[:0]
	if !r.root {
		if tag != "gpx" {
			return r.wrong(fmt.Sprintf("this is %q, not gpx", cut(tag, 40)), "open a plan, GeoJSON, GPX or CSV file")
		}
		r.root = true
	}
	switch tag {
	case "trk", "rte", "wpt":
		r.first, r.name, r.kind = len(r.walks), "", ""
	}
	switch tag {
	case "trkseg", "rte", "wpt":
		if err := r.walk(); err != nil {
			return err
		}
	}
	switch tag {
	case "trkpt", "rtept", "wpt":
		return r.point(t.Attr)
	}
	return nil
}

// walk begins a walk.
func (r *gpxReader) walk() error {
	if r.walks = append(r.walks, walk{where: r.at()}); len(r.walks) > MaxFeatures {
		return r.wrong(fmt.Sprintf("there are more than %d tracks, routes and points", MaxFeatures), "split the file")
	}
	return nil
}

// point adds a point to the walk begun last.
func (r *gpxReader) point(attrs []xml.Attr) error {
	p, ok := lonLat(attrs)
	if !ok {
		return r.wrong("this point has no proper lat and lon", "give both in degrees")
	}
	if r.points++; r.points > MaxPoints {
		return r.wrong(fmt.Sprintf("there are more than %d points", MaxPoints), "thin out the tracks")
	}
	if len(r.walks) == 0 {
		return r.wrong("this point belongs to no track or route", "save it as GPX again")
	}
	w := &r.walks[len(r.walks)-1]
	if w.points = append(w.points, p); len(w.points) > MaxRing {
		return r.wrong(fmt.Sprintf("a track has more than %d points", MaxRing), "thin it out")
	}
	return nil
}

// close takes the end of an element: of a name or type, or of what bears them.
func (r *gpxReader) close(tag string) {
	holder := ""
	if len(r.path) > 1 {
		holder = r.path[len(r.path)-2]
	}
	if bearsName(holder) {
		switch tag {
		case "name":
			r.name = string(bytes.TrimSpace(r.text))
		case "type":
			r.kind = string(bytes.TrimSpace(r.text))
		}
	}
	if bearsName(tag) && r.first >= 0 {
		for i := r.first; i < len(r.walks); i++ {
			r.walks[i].name, r.walks[i].kind = r.name, r.kind
			if len(r.walks)-r.first > 1 && r.name != "" {
				r.walks[i].name = fmt.Sprintf("%s %d", r.name, i-r.first+1)
			}
		}
		r.first = -1
	}
	r.path = r.path[:len(r.path)-1]
	r.text = r.text[:0]
}

// bearsName tells whether a tag's element has a name and a type of its own.
func bearsName(tag string) bool { return tag == "trk" || tag == "rte" || tag == "wpt" }

func lonLat(attrs []xml.Attr) (p orb.Point, ok bool) {
	var got [2]bool
	for _, a := range attrs {
		i := map[string]int{"lon": 0, "lat": 1}
		k, known := i[a.Name.Local]
		if !known {
			continue
		}
		v, err := strconv.ParseFloat(a.Value, 64)
		if err != nil || math.IsNaN(v) || math.Abs(v) > 180 {
			return p, false
		}
		p[k], got[k] = v, true
	}
	return p, got[0] && got[1]
}
