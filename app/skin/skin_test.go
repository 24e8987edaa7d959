package skin

import (
	"image/color"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/theme"

	"hedgereach/app/style"
)

func nrgba(c color.Color) color.NRGBA { return color.NRGBAModel.Convert(c).(color.NRGBA) }

func TestLightChoosesThePalette(t *testing.T) {
	for _, c := range []struct {
		light   Light
		variant fyne.ThemeVariant
		want    *style.Palette
	}{{AsSystem, theme.VariantLight, style.Light}, {AsSystem, theme.VariantDark, style.Dark},
		{Day, theme.VariantDark, style.Light},
		{Lamp, theme.VariantLight, style.Dark}} {
		if got := (&Theme{c.light}).Palette(c.variant); got != c.want {
			t.Errorf("%s on a desktop of variant %d: %s", c.light, c.variant, got.Name)
		}
	}
}

func TestPaletteInUse(t *testing.T) {
	a := test.NewTempApp(t)
	if Palette() != style.Light {
		t.Error("another theme than ours is not taken for paper by day")
	}
	a.Settings().SetTheme(&Theme{Light: Lamp})
	if Palette() != style.Dark {
		t.Error("the palette does not follow the theme")
	}
}

// Text of the toolkit's widgets keeps the contrast that WCAG 2.2 asks (1.4.3: 4.5 to 1) on each of the grounds it stands on.
func TestContrast(t *testing.T) {
	for _, l := range []Light{Day, Lamp} {
		th := &Theme{l}
		for _, text := range []fyne.ThemeColorName{theme.ColorNameForeground, theme.ColorNamePlaceHolder, theme.ColorNameHyperlink,
			theme.ColorNameDisabled, theme.ColorNameError} {
			for _, back := range []fyne.ThemeColorName{theme.ColorNameBackground, theme.ColorNameInputBackground,
				theme.ColorNameMenuBackground, theme.ColorNameOverlayBackground} {
				a, b := nrgba(th.Color(text, 0)), nrgba(th.Color(back, 0))
				if k := style.Contrast(a, b); k < 4.5 {
					t.Errorf("%s: %s on %s has a contrast of %.1f", l, text, back, k)
				}
			}
		}
	}
}

// The keys in menus are drawn with the low byte of 95 % of the text's alpha: see ink.
func TestMenuKeysAreSeen(t *testing.T) {
	for _, l := range []Light{Day, Lamp} {
		c := (&Theme{l}).Color(theme.ColorNameForeground, 0)
		_, _, _, a := c.RGBA()
		if got := uint8(uint32(float32(a) * 0.95)); got < 240 {
			t.Errorf("%s: keys in menus get an alpha of %d", l, got)
		}
		if n := nrgba(c); n.A != 255 {
			t.Errorf("%s: text has an alpha of %d", l, n.A)
		}
	}
}
