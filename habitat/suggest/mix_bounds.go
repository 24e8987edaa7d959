package suggest

import (
	"fmt"

	geolength "hedgereach/geometry/length"
	"hedgereach/habitat"
)

// A bound is a limit of the ask that can be lifted.
type bound struct {
	words string
	lift  func(k *MixAsk)
}

func (m *mixer) bounds() (list []bound) {
	k := m.ask
	add := func(asked bool, words string, lift func(k *MixAsk)) {
		if asked {
			list = append(list, bound{words, lift})
		}
	}
	add(k.HeightCM > 0, "no taller than "+geolength.Format(k.HeightCM/100, m.units), func(k *MixAsk) { k.HeightCM = 0 })
	add(k.SpacingCM > 0, "needing no more room than "+geolength.Format(k.SpacingCM/100, m.units), func(k *MixAsk) { k.SpacingCM = 0 })
	add(k.NativeOnly, "native only", func(k *MixAsk) { k.NativeOnly = false })
	add(k.Harmless, "without cautions", func(k *MixAsk) { k.Harmless = false })
	add(!k.AnyZone && habitat.RegionOf(m.plan.Place).Zone != 0, "hardy here", func(k *MixAsk) { k.AnyZone = true })
	add(k.MostPrice > 0, "no dearer than "+FormatPrice(k.MostPrice), func(k *MixAsk) { k.MostPrice = 0 })
	m.feeding(add)
	add(len(k.Prices) > 0, "with a price", func(k *MixAsk) { k.Prices, k.MostPrice, k.LeastCost = nil, 0, false })
	return list
}

// feeding adds whom to feed as bounds: those that the crops need together, those that were named one by one, where they are few.
func (m *mixer) feeding(add func(asked bool, words string, lift func(k *MixAsk))) {
	const few = 4
	var all []string
	for _, g := range m.guilds {
		all = append(all, g.ID)
	}
	n := len(m.guilds)
	switch {
	case len(m.ask.Guilds) == 0:
		add(n > 0, "feeding all that the crops need", func(k *MixAsk) { k.hungry = all })
	case n > few:
		add(true, fmt.Sprintf("feeding all %d guilds", n), func(k *MixAsk) { k.hungry = all })
	default:
		for _, g := range m.guilds {
			add(true, "feeding "+habitat.InText(g.Name), func(k *MixAsk) { k.hungry = []string{g.ID} })
		}
	}
}
