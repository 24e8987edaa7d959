// Package skin is the toolkit's theme made from the style table: warm paper and ink by day, the same by lamplight, one
// accent, quiet sizes. It tells whatever draws itself which palette is in use.
package skin

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"

	"hedgereach/app/style"
)

// A Light says which palette is wanted.
type Light string

// The choices, as kept in the preferences.
const (
	AsSystem Light = "system" // light or dark as the desktop is
	Day      Light = "light"
	Lamp     Light = "dark"
)

// A Theme is the toolkit's theme in a light.
type Theme struct{ Light Light }

// Palette is the palette for a desktop that is light or dark.
func (t *Theme) Palette(v fyne.ThemeVariant) *style.Palette {
	if t.Light == Lamp || t.Light != Day && v == theme.VariantDark {
		return style.Dark
	}
	return style.Light
}

// Palette is the palette that the running program uses: the theme's, or paper by day where another theme is set.
func Palette() *style.Palette {
	if a := fyne.CurrentApp(); a != nil {
		if t, ok := a.Settings().Theme().(*Theme); ok {
			return t.Palette(a.Settings().ThemeVariant())
		}
	}
	return style.Light
}

// Color gives the toolkit's colours from the palette.
func (t *Theme) Color(n fyne.ThemeColorName, v fyne.ThemeVariant) color.Color {
	p := t.Palette(v)
	switch n {
	case theme.ColorNameBackground, theme.ColorNameOverlayBackground:
		return p.Panel
	case theme.ColorNameForeground:
		return ink(p.Ink)
	case theme.ColorNamePlaceHolder, theme.ColorNameDisabled:
		return p.Soft
	case theme.ColorNamePrimary, theme.ColorNameHyperlink:
		return p.Accent
	case theme.ColorNameForegroundOnPrimary:
		return p.OnAccent
	case theme.ColorNameFocus:
		return style.Fade(p.Accent, 0.35)
	case theme.ColorNameSelection:
		return style.Fade(p.Accent, 0.18)
	case theme.ColorNameHover:
		return style.Fade(p.Ink, 0.06)
	case theme.ColorNamePressed:
		return style.Fade(p.Ink, 0.12)
	case theme.ColorNameInputBackground, theme.ColorNameMenuBackground:
		return p.Raised
	case theme.ColorNameButton, theme.ColorNameDisabledButton:
		return style.Fade(p.Ink, 0.07)
	case theme.ColorNameHeaderBackground:
		return p.Panel
	case theme.ColorNameInputBorder, theme.ColorNameSeparator:
		return p.Rule
	case theme.ColorNameScrollBar:
		return style.Fade(p.Ink, 0.35)
	case theme.ColorNameScrollBarBackground:
		return color.Transparent
	case theme.ColorNameError, theme.ColorNameWarning:
		return p.Caution
	case theme.ColorNameForegroundOnError, theme.ColorNameForegroundOnWarning:
		return p.Raised
	case theme.ColorNameSuccess:
		return p.Accent
	case theme.ColorNameForegroundOnSuccess:
		return p.OnAccent
	case theme.ColorNameShadow:
		return style.Fade(style.Black, 0.12)
	}
	if p.Dark {
		return theme.DefaultTheme().Color(n, theme.VariantDark)
	}
	return theme.DefaultTheme().Color(n, theme.VariantLight)
}

// ink is an opaque colour that answers an alpha a hair below full. The toolkit takes the low byte of 95 % of the 16-bit alpha
// for the keys shown in menus; of full alpha that leaves them all but invisible, of this one all but opaque.
type ink color.NRGBA

// RGBA is the colour as the toolkit reads it.
func (c ink) RGBA() (r, g, b, a uint32) {
	const alpha = 65481 // 95 % of it is 0xF2FE; its upper byte is 0xFF
	return uint32(c.R) * 0x101, uint32(c.G) * 0x101, uint32(c.B) * 0x101, alpha
}

// Font is the toolkit's own.
func (t *Theme) Font(s fyne.TextStyle) fyne.Resource { return theme.DefaultTheme().Font(s) }

// Icon is the toolkit's own.
func (t *Theme) Icon(n fyne.ThemeIconName) fyne.Resource { return theme.DefaultTheme().Icon(n) }

// Size gives the quiet sizes.
func (t *Theme) Size(n fyne.ThemeSizeName) float32 {
	switch n {
	case theme.SizeNameText:
		return style.Body + 1
	case theme.SizeNameCaptionText:
		return style.Label
	case theme.SizeNameSubHeadingText:
		return style.Heading - 1
	case theme.SizeNameHeadingText:
		return style.Heading + 2
	case theme.SizeNamePadding:
		return style.Space
	case theme.SizeNameInnerPadding:
		return style.Space + 2
	case theme.SizeNameInlineIcon:
		return style.Heading
	case theme.SizeNameInputRadius, theme.SizeNameSelectionRadius:
		return 3
	case theme.SizeNameScrollBar:
		return 10
	case theme.SizeNameScrollBarSmall:
		return 4
	}
	return theme.DefaultTheme().Size(n)
}

var _ fyne.Theme = (*Theme)(nil)
