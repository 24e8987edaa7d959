package raster

import (
	"encoding/binary"
)

// divide is x/255, rounded, for x up to 255×255.
func divide(x uint32) uint32 {
	x += 128
	return (x + x>>8) >> 8
}

// blend lays the band's colour over the pixels x0 to before x1 of row y, as far as they are covered and the clip lets it.
func (b *band) blend(y, x0, x1 int, cover uint8) {
	row := b.dst.Pix[b.dst.PixOffset(x0, y):][:4*(x1-x0)]
	if b.clip == nil {
		b.over(row, uint32(cover))
		return
	}
	for i, m := range b.clip.Pix[b.clip.PixOffset(x0, y):][:x1-x0] {
		if m > 0 {
			b.over(row[4*i:4*i+4], divide(uint32(m)*uint32(cover)))
		}
	}
}

// over lays the band's colour, weakened to cover/255, over a run of premultiplied pixels.
func (b *band) over(row []byte, cover uint32) {
	alpha := divide(uint32(b.color.A) * cover)
	ink := divide(uint32(b.color.R)*alpha) | divide(uint32(b.color.G)*alpha)<<8 |
		divide(uint32(b.color.B)*alpha)<<16 | alpha<<24
	if alpha == 255 {
		for ; len(row) >= 4; row = row[4:] {
			binary.LittleEndian.PutUint32(row, ink)
		}
		return
	}
	// Red with blue and green with alpha go through one multiplication each: a product and its rounding fit in 16 bits.
	const lanes = 0x00ff00ff
	rest := 255 - alpha
	for ; len(row) >= 4; row = row[4:] {
		p := binary.LittleEndian.Uint32(row)
		rb := (p&lanes)*rest + 0x00800080
		ga := (p>>8&lanes)*rest + 0x00800080
		rb = (rb + rb>>8&lanes) >> 8 & lanes
		ga = (ga + ga>>8&lanes) & (lanes << 8)
		binary.LittleEndian.PutUint32(row, (rb|ga)+ink)
	}
}
