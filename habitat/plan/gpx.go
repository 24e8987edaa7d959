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
	d := xml.NewDecoder(bytes.NewReader(data))
	var (
		walks  []walk
		path   []string
		name   string // of the track or route being read
		kind   string
		text   []byte
		points int
		first  = -1 // the walks of the track being read begin here
		root   bool
	)
	places := cursor{data: data}
	at := func() string { return places.name(int(d.InputOffset())) }
	begin := func() error {
		if walks = append(walks, walk{where: at()}); len(walks) > MaxFeatures {
			return &ReadError{Where: at(), What: fmt.Sprintf("there are more than %d tracks, routes and points", MaxFeatures),
				Mend: "split the file"}
		}
		return nil
	}
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			var se *xml.SyntaxError
			if errors.As(err, &se) {
				return nil, nil, &ReadError{Where: fmt.Sprintf("line %d", se.Line), What: "this is not XML (" + cut(se.Msg, 80) + ")",
					Mend: "get a whole copy of it"}
			}
			return nil, nil, &ReadError{Where: at(), What: "this is not XML (" + cut(err.Error(), 80) + ")", Mend: "save it as GPX in UTF-8"}
		}
		switch t := token.(type) {
		case xml.Directive:
			return nil, nil, &ReadError{Where: at(), What: "it declares a document type, which GPX has not",
				Mend: "take the declaration out"}
		case xml.StartElement:
			tag := t.Name.Local
			if path = append(path, tag); len(path) > MaxDepth {
				return nil, nil, &ReadError{Where: at(), What: fmt.Sprintf("elements nest deeper than %d", MaxDepth),
					Mend: "this is not GPX"}
			}
			text = text[:0]
			if !root {
				if tag != "gpx" {
					return nil, nil, &ReadError{Where: at(), What: fmt.Sprintf("this is %q, not gpx", cut(tag, 40)),
						Mend: "open a plan, GeoJSON, GPX or CSV file"}
				}
				root = true
			}
			switch tag {
			case "trk", "rte":
				first, name, kind = len(walks), "", ""
				if tag == "rte" {
					err = begin()
				}
			case "trkseg":
				err = begin()
			case "wpt":
				first, name, kind = len(walks), "", ""
				err = begin()
			}
			if err != nil {
				return nil, nil, err
			}
			if tag == "wpt" || tag == "rtept" || tag == "trkpt" {
				p, ok := lonLat(t.Attr)
				if !ok {
					return nil, nil, &ReadError{Where: at(), What: "this point has no proper lat and lon", Mend: "give both in degrees"}
				}
				if points++; points > MaxPoints {
					return nil, nil, &ReadError{Where: at(), What: fmt.Sprintf("there are more than %d points", MaxPoints),
						Mend: "thin out the tracks"}
				}
				if len(walks) == 0 {
					return nil, nil, &ReadError{Where: at(), What: "this point belongs to no track or route", Mend: "save it as GPX again"}
				}
				w := &walks[len(walks)-1]
				if w.points = append(w.points, p); len(w.points) > MaxRing {
					return nil, nil, &ReadError{Where: at(), What: fmt.Sprintf("a track has more than %d points", MaxRing),
						Mend: "thin it out"}
				}
			}
		case xml.CharData:
			if len(text)+len(t) <= MaxNote {
				text = append(text, t...)
			}
		case xml.EndElement:
			holder := ""
			if len(path) > 1 {
				holder = path[len(path)-2]
			}
			if named := holder == "trk" || holder == "rte" || holder == "wpt"; named {
				switch t.Name.Local {
				case "name":
					name = string(bytes.TrimSpace(text))
				case "type":
					kind = string(bytes.TrimSpace(text))
				}
			}
			if tag := t.Name.Local; (tag == "trk" || tag == "rte" || tag == "wpt") && first >= 0 {
				for i := first; i < len(walks); i++ {
					walks[i].name, walks[i].kind = name, kind
					if len(walks)-first > 1 && name != "" {
						walks[i].name = fmt.Sprintf("%s %d", name, i-first+1)
					}
				}
				first = -1
			}
			path = path[:len(path)-1]
			text = text[:0]
		}
	}
	if !root {
		return nil, nil, &ReadError{What: "it is empty", Mend: "open another copy"}
	}
	return fromWalks(walks, true, title)
}

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
