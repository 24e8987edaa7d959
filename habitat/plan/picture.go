package plan

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image"
	_ "image/jpeg" // the two formats that a plan keeps
	_ "image/png"
	"math"

	"github.com/paulmach/orb"
)

// A Picture is a photo, scan or aerial view that lies under the plan to be traced. It travels inside the plan file, so that it
// is there on another machine. In the file: "picture": {"at": [x, y], "metres_per_pixel": …, "turn_deg": …, "fade": …,
// "image": base64 of the PNG or JPEG}. A Picture does not change once it is shared.
type Picture struct {
	Image          []byte    // PNG or JPEG
	At             orb.Point // its middle, metres
	MetresPerPixel float64
	TurnDeg        float64 // clockwise
	Fade           float64 // 0 shows it in full, 1 not at all
	Extra          Extra
}

// Size is the picture's width and height in pixels.
func (p *Picture) Size() (w, h int, err error) {
	c, _, err := image.DecodeConfig(bytes.NewReader(p.Image))
	return c.Width, c.Height, err
}

func (d *decoder) picture() (*Picture, error) {
	p := &Picture{}
	err := d.object(func(name string) (err error) {
		if d.null() {
			return nil
		}
		switch name {
		case "at":
			p.At, err = d.point()
		case "metres_per_pixel":
			p.MetresPerPixel, err = d.number()
		case "turn_deg":
			p.TurnDeg, err = d.number()
		case "fade":
			p.Fade, err = d.number()
		case "image":
			var s string
			if s, err = d.text(); err != nil {
				return err
			}
			if p.Image, err = base64.StdEncoding.DecodeString(s); err != nil {
				return &fault{what: "this is not base64", mend: "take the picture out and add it again"}
			}
		default:
			p.Extra.keep(name, d.raw())
		}
		return err
	})
	return p, err
}

func (e *encoder) picture(p *Picture) {
	e.name("{", "at")
	e.add("[") // in metres in GeoJSON, too: it belongs to what the plan says of itself
	e.number(p.At[0], metreDecimals)
	e.add(",")
	e.number(p.At[1], metreDecimals)
	e.add("]")
	e.numberMember(", ", "metres_per_pixel", p.MetresPerPixel, exact)
	e.numberMember(", ", "turn_deg", p.TurnDeg, degreeDecimals)
	e.numberMember(", ", "fade", p.Fade, shareDecimals)
	e.textMember(", ", "image", base64.StdEncoding.EncodeToString(p.Image))
	e.rest(", ", p.Extra, pictureMembers)
	e.add("}")
}

// check finds what a reader would refuse, without unpacking the picture.
func (p *Picture) check() error {
	bad := func(where, what, mend string) error {
		return &ReadError{Where: "picture" + where, What: what, Mend: mend}
	}
	if len(p.Image) > MaxPictureBytes {
		return bad(".image", fmt.Sprintf("it has more than %d MB", MaxPictureBytes>>20), "make it smaller")
	}
	w, h, err := p.Size()
	switch {
	case err != nil:
		return bad(".image", "it is no PNG or JPEG", "take the picture out and add it again")
	case w < 1 || h < 1 || w > MaxPictureSide || h > MaxPictureSide:
		return bad(".image", fmt.Sprintf("it is %d by %d points, more than %d", w, h, MaxPictureSide), "make it smaller")
	case !onGround(p.At):
		return bad(".at", "it lies too far off", "move it back")
	case !(p.MetresPerPixel > 0) || p.MetresPerPixel*float64(max(w, h)) > MaxMetres:
		return bad(".metres_per_pixel", fmt.Sprintf("%g is no size", p.MetresPerPixel), "write metres above 0")
	case !(math.Abs(p.TurnDeg) <= 360):
		return bad(".turn_deg", fmt.Sprintf("%g is not between -360 and 360", p.TurnDeg), "correct it")
	case !(p.Fade >= 0 && p.Fade <= 1):
		return bad(".fade", fmt.Sprintf("%g is not between 0 and 1", p.Fade), "correct it")
	}
	return nil
}
