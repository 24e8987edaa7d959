package style

import (
	"image/color"

	"hedgereach/habitat"
	"hedgereach/habitat/plan"
)

// The eight colours that stay apart for most colour-blind eyes: Okabe, M. & Ito, K. (2008), Color Universal Design (CUD): how
// to make figures and presentations that are friendly to colorblind people, figure 16.
var (
	Black         = rgb(0x000000)
	Orange        = rgb(0xE69F00)
	SkyBlue       = rgb(0x56B4E9)
	BluishGreen   = rgb(0x009E73)
	Yellow        = rgb(0xF0E442)
	Blue          = rgb(0x0072B2)
	Vermillion    = rgb(0xD55E00)
	ReddishPurple = rgb(0xCC79A7)
)

func rgb(v uint32) color.NRGBA { return color.NRGBA{uint8(v >> 16), uint8(v >> 8), uint8(v), 255} }

func tone(fill, line, sign uint32) Tone { return Tone{rgb(fill), rgb(line), rgb(sign)} }

// marks are the statuses: the worse, the denser the hatch, so that they rank in grey as well. Tint is the strength of the wash.
func marks(tint float64, within, partly, beyond, unknown color.NRGBA) (m [4]Mark) {
	m[habitat.Within] = Mark{Color: within, Angle: 45, Gap: 9, Width: 0.72}
	m[habitat.Partly] = Mark{Color: partly, Angle: 135, Gap: 6, Width: 1.0}
	m[habitat.Beyond] = Mark{Color: beyond, Angle: 45, Gap: 6, Width: 0.9, Cross: true}
	m[habitat.Unknown] = Mark{Color: unknown, Angle: 0, Gap: 7, Width: 1.2, Dots: true}
	for i := range m {
		m[i].Tint = Fade(m[i].Color, tint)
	}
	m[habitat.Within].Solid, m[habitat.Partly].Solid = Fade(within, 0.35), Fade(partly, 0.8)
	m[habitat.Beyond].Solid = Fade(beyond, 0.85)
	m[habitat.Unknown].Tint.A = 0 // nothing is known of it: no wash
	return m
}

// zones are washes under the ground, with a ruling where no wash is printed: bare where things are well, dots, lines.
func zones(tint float64, near, far, off color.NRGBA) (m [3]Mark) {
	m[Near] = Mark{Color: near, Tint: Fade(near, tint)}
	m[Far] = Mark{Color: far, Tint: Fade(far, tint*0.9), Gap: 7, Width: 1.1, Dots: true}
	m[Off] = Mark{Color: Fade(off, 0.45), Gap: 8, Width: 0.52, Angle: 0}
	return m
}

// bloom are steps of one colour, each darker than the last by so much that grey and colour-blind eyes rank them, too; and each with
// its own ruling.
func bloom(solid [BloomClasses]color.NRGBA, dark, pale color.NRGBA) (m [BloomClasses]Mark) {
	m[1] = Mark{Color: dark, Gap: 7, Width: 1.2, Dots: true}
	m[2] = Mark{Color: dark, Gap: 8, Width: 0.72, Angle: 45}
	m[3] = Mark{Color: pale, Gap: 6, Width: 0.9, Angle: 135}
	m[4] = Mark{Color: pale, Gap: 6, Width: 0.9, Angle: 45, Cross: true}
	for i := range m {
		m[i].Solid = solid[i]
	}
	return m
}

// purples are the classes' grounds on light paper.
var purples = [BloomClasses]color.NRGBA{{}, rgb(0xEACCDF), rgb(0xD79ABF), rgb(0xB2679A), rgb(0x6E2A5E)}

// Light is ink on warm paper.
var Light = &Palette{
	Name:  "light",
	Paper: rgb(0xECE5D5), Ground: rgb(0xF8F3E7), Panel: rgb(0xF3EDE0), Raised: rgb(0xFCF9F1), Rule: rgb(0xCFC5B0),
	Grid: rgb(0xD9D0BC),
	Ink:  rgb(0x2B2723), Soft: rgb(0x5C5448), Accent: rgb(0x1B5A7D), OnAccent: rgb(0xFFFFFF), Caution: rgb(0x8F3A00),
	Halo: rgb(0xFBF7EE),
	kinds: map[plan.Kind]Tone{
		plan.Boundary:       tone(0xF8F3E7, 0x3A332B, 0x3A332B),
		plan.Bed:            tone(0xEFE4CD, 0x4B3F33, 0xCDBB99),
		plan.Hedgerow:       tone(0xBFCBA6, 0x41532F, 0x6C7F55),
		plan.PerennialStrip: tone(0xE3E6C6, 0x6A7340, 0x9A4A72),
		plan.FlowerStrip:    tone(0xF2E8C6, 0x85702F, 0xB0682A),
		plan.BeetleBank:     tone(0xDFD6B2, 0x6E6234, 0x6E6234),
		plan.WildMargin:     tone(0xD8DDBF, 0x5C6B44, 0x5C6B44),
		plan.Tree:           tone(0xB3C4A0, 0x3A4F31, 0x5B7350),
		plan.CoverCrop:      tone(0xE6E8CB, 0x707D3E, 0x707D3E),
		plan.TrapCrop:       tone(0xF0E1C6, 0x83522F, 0xB58A63),
		plan.Pond:           tone(0xCFE1E4, 0x3F7081, 0x6E9AA8),
		plan.Path:           tone(0xEBE3D2, 0xA2977F, 0xC5BAA2),
		plan.Building:       tone(0xD2C8B8, 0x37312B, 0x93887A),
		plan.Fence:          tone(0xD9CFBC, 0x544A3F, 0x544A3F),
		plan.Trap:           tone(0xFBF7EE, 0x6F4322, 0x6F4322),
		plan.Stake:          tone(0xFBF7EE, 0x2B2723, 0x2B2723),
	},
	statuses: marks(0.17, BluishGreen, Orange, Vermillion, Black),
	zones:    zones(0.17, BluishGreen, Orange, Vermillion),
	bloom:    bloom(purples, rgb(0x6E2A5E), rgb(0xFBF7EE)),
}

// Dark is the same drawing by lamplight.
var Dark = &Palette{
	Name: "dark", Dark: true,
	Paper: rgb(0x1B1A17), Ground: rgb(0x25231F), Panel: rgb(0x211F1B), Raised: rgb(0x2E2B26), Rule: rgb(0x48433A),
	Grid: rgb(0x39352E),
	Ink:  rgb(0xECE4D3), Soft: rgb(0xB9AF9C), Accent: rgb(0x7FBFE3), OnAccent: rgb(0x10202A), Caution: rgb(0xF2A36B),
	Halo: rgb(0x1F1D19),
	kinds: map[plan.Kind]Tone{
		plan.Boundary:       tone(0x25231F, 0xCFC5B2, 0xCFC5B2),
		plan.Bed:            tone(0x3A342B, 0xBDAE93, 0x564D3F),
		plan.Hedgerow:       tone(0x39452F, 0xA6BA8B, 0x70845A),
		plan.PerennialStrip: tone(0x383B2A, 0xAEB682, 0xD58FB4),
		plan.FlowerStrip:    tone(0x413A26, 0xCBB36B, 0xE0A364),
		plan.BeetleBank:     tone(0x3B3727, 0xB6A877, 0xB6A877),
		plan.WildMargin:     tone(0x343A2B, 0xA3B088, 0xA3B088),
		plan.Tree:           tone(0x35432F, 0x9FB88F, 0x6F8863),
		plan.CoverCrop:      tone(0x393C29, 0xADB87A, 0xADB87A),
		plan.TrapCrop:       tone(0x40352A, 0xCB9C74, 0x86664B),
		plan.Pond:           tone(0x263B42, 0x86B7C7, 0x55808E),
		plan.Path:           tone(0x302D27, 0x78705F, 0x544E43),
		plan.Building:       tone(0x45403A, 0xD6CCBD, 0x837A6D),
		plan.Fence:          tone(0x3A362F, 0xB3A895, 0xB3A895),
		plan.Trap:           tone(0x25231F, 0xD9A77C, 0xD9A77C),
		plan.Stake:          tone(0x25231F, 0xECE4D3, 0xECE4D3),
	},
	statuses: marks(0.20, BluishGreen, Orange, Vermillion, rgb(0xECE4D3)), // black would be lost here
	zones:    zones(0.20, BluishGreen, Orange, Vermillion),
	bloom:    bloom([BloomClasses]color.NRGBA{{}, rgb(0x54304A), rgb(0x7F456E), rgb(0xB2679A), rgb(0xE3B3D0)}, rgb(0xE3B3D0), rgb(0x25231F)),
}

// Paper is Light on white stock: little ink is laid where the sheet itself can be the ground.
var Paper = onPaper()

func onPaper() *Palette {
	p := *Light
	p.Name = "paper"
	p.Paper, p.Panel, p.Raised = rgb(0xFFFFFF), rgb(0xFFFFFF), rgb(0xF6F2E8)
	p.Ground = over(Fade(Light.Ground, 0.85), p.Paper)
	p.Halo = p.Ground
	p.kinds = map[plan.Kind]Tone{}
	for k, t := range Light.kinds {
		t.Fill = over(Fade(t.Fill, 0.85), p.Paper)
		p.kinds[k] = t
	}
	return &p
}

// Grey is Paper for a printer that has only black: the same steps of lightness, the hatches and letters carry the rest.
var Grey = inGrey()

func inGrey() *Palette {
	p := *Paper
	p.Name, p.Grey = "grey", true
	for _, c := range []*color.NRGBA{&p.Paper, &p.Ground, &p.Panel, &p.Raised, &p.Rule, &p.Grid, &p.Ink, &p.Soft, &p.Accent,
		&p.OnAccent, &p.Caution, &p.Halo} {
		*c = greyed(*c)
	}
	p.kinds = map[plan.Kind]Tone{}
	for k, t := range Paper.kinds {
		p.kinds[k] = Tone{greyed(t.Fill), greyed(t.Line), greyed(t.Sign)}
	}
	// A wash of grey would say nothing: the hatch alone ranks the statuses, in one dark ink.
	p.statuses = marks(0, rgb(0x4A4A4A), rgb(0x3A3A3A), rgb(0x2A2A2A), rgb(0x4A4A4A))
	p.zones = zones(0, rgb(0x4A4A4A), rgb(0x5A5A5A), rgb(0x3A3A3A))
	for i, m := range p.bloom {
		p.bloom[i].Solid, p.bloom[i].Color = greyed(m.Solid), greyed(m.Color)
	}
	// Thin beds have no room for a hatch: white, grey and dark.
	p.statuses[habitat.Within].Solid.A, p.statuses[habitat.Partly].Solid.A = 0, 80
	return &p
}

// greyed keeps the colour's relative luminance.
func greyed(c color.NRGBA) color.NRGBA {
	v := uint8(fromLinear(Luminance(c))*255 + 0.5)
	return color.NRGBA{v, v, v, c.A}
}
