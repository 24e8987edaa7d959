package raster

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/draw"
	"image/png"
	"io"
	"math"

	"github.com/paulmach/orb"

	"hedgereach/app/drawing"
)

// most is the most pixels of a picture written to a file: A0 at 300 dots per inch, which takes about 560 MB to paint.
const most = 140e6

// Picture paints a list in millimetres on white at a number of dots per inch.
func Picture(l drawing.List, dpi float64) (*image.RGBA, error) {
	if err := drawing.Check(l); err != nil {
		return nil, fmt.Errorf("raster: %w", err)
	}
	scale := dpi / 25.4
	w, h := math.Ceil(l.Width*scale-0.01), math.Ceil(l.Height*scale-0.01)
	if !(w >= 1) || !(h >= 1) || w*h > most {
		return nil, fmt.Errorf("raster: %g mm by %g mm at %g dots per inch cannot be painted; "+
			"between 1 and %.0f million pixels can, so choose another resolution or size", l.Width, l.Height, dpi, most/1e6)
	}
	m := image.NewRGBA(image.Rect(0, 0, int(w), int(h)))
	draw.Draw(m, m.Rect, image.White, image.Point{}, draw.Src)
	Draw(m, l, scale, orb.Point{})
	return m, nil
}

// WritePNG writes a list in millimetres as a PNG file that says its resolution, so that it prints to scale.
func WritePNG(w io.Writer, l drawing.List, dpi float64) error {
	m, err := Picture(l, dpi)
	if err != nil {
		return err
	}
	var data bytes.Buffer
	if err := png.Encode(&data, m); err != nil {
		return fmt.Errorf("raster: %w", err)
	}
	// The standard library leaves out the resolution. It is a pHYs chunk, in dots per metre, and stands after the header
	// chunk (PNG specification, third edition, 11.3.4.3): 8 bytes of signature, then 25 of header.
	const head = 8 + 25
	perMetre := uint32(math.Round(dpi / 0.0254))
	chunk := append(binary.BigEndian.AppendUint32(nil, 9), "pHYs"...)
	chunk = binary.BigEndian.AppendUint32(chunk, perMetre)
	chunk = binary.BigEndian.AppendUint32(chunk, perMetre)
	chunk = append(chunk, 1)
	chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk[4:]))
	for _, part := range [][]byte{data.Bytes()[:head], chunk, data.Bytes()[head:]} {
		if _, err := w.Write(part); err != nil {
			return fmt.Errorf("raster: %w", err)
		}
	}
	return nil
}
