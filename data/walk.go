package data

import "slices"

// The links of the catalogue: crop → pests → guilds that hold them → kinds of habitat that shelter and plants that feed those
// guilds. An unknown id has no links.

// PestsOf are the pests of a crop.
func (c *Catalogue) PestsOf(crop string) []*Pest {
	if x := c.crop[crop]; x != nil {
		return all(x.Pests, c.pest)
	}
	return nil
}

// HostsOf are the crops that a pest harms.
func (c *Catalogue) HostsOf(pest string) []*Crop {
	if x := c.pest[pest]; x != nil {
		return all(x.Hosts, c.crop)
	}
	return nil
}

// GuildsOf are the guilds that hold a pest.
func (c *Catalogue) GuildsOf(pest string) []*Guild {
	if x := c.pest[pest]; x != nil {
		return all(x.Guilds, c.guild)
	}
	return nil
}

// GuildsFor are the guilds that hold any pest of a crop, in the order of the guilds' file.
func (c *Catalogue) GuildsFor(crop string) []*Guild {
	return filter(c.Guilds, func(g *Guild) bool {
		return slices.ContainsFunc(c.PestsOf(crop), func(p *Pest) bool { return slices.Contains(p.Guilds, g.ID) })
	})
}

// PestsHeldBy are the pests that a guild holds.
func (c *Catalogue) PestsHeldBy(guild string) []*Pest {
	return filter(c.Pests, func(p *Pest) bool { return slices.Contains(p.Guilds, guild) })
}

// FeedersOf are the plants whose flowers feed a guild; none where the guild does not eat from flowers.
func (c *Catalogue) FeedersOf(guild string) []*Plant {
	return filter(c.Plants, func(p *Plant) bool { return c.feeds(p, guild) })
}

// SheltersOf are the plants that a guild lives on without eating from their flowers: their leaves and tussocks shelter it.
func (c *Catalogue) SheltersOf(guild string) []*Plant {
	return filter(c.Plants, func(p *Plant) bool { return slices.Contains(p.Guilds, guild) && !c.feeds(p, guild) })
}

func (c *Catalogue) feeds(p *Plant, guild string) bool {
	g := c.guild[guild]
	return g != nil && g.FedByFlowers && p.Bloom.Given() && slices.Contains(p.Guilds, guild)
}

// CompanionsOf are the pairings that were tested with a crop, those that failed or harmed too.
func (c *Catalogue) CompanionsOf(crop string) []*Companion {
	return filter(c.Companions, func(x *Companion) bool { return slices.Contains(x.Crops, crop) })
}

// TrapCropsOf are the trap crops that were tested for a crop, those that failed too.
func (c *Catalogue) TrapCropsOf(crop string) []*TrapCrop {
	return filter(c.TrapCrops, func(x *TrapCrop) bool { return slices.Contains(x.MainCrops, crop) })
}

// CompanionsAgainst are the pairings that were tested against a pest.
func (c *Catalogue) CompanionsAgainst(pest string) []*Companion {
	return filter(c.Companions, func(x *Companion) bool { return slices.Contains(x.Pests, pest) })
}

// TrapCropsAgainst are the trap crops that were tested against a pest.
func (c *Catalogue) TrapCropsAgainst(pest string) []*TrapCrop {
	return filter(c.TrapCrops, func(x *TrapCrop) bool { return slices.Contains(x.Pests, pest) })
}

// TrapsFor are the traps that count a pest.
func (c *Catalogue) TrapsFor(pest string) []*Trap {
	return filter(c.Traps, func(x *Trap) bool { return slices.Contains(x.Pests, pest) })
}

// StudiesOf are the published findings on how far a guild works.
func (c *Catalogue) StudiesOf(guild string) []*Study {
	return filter(c.Studies, func(s *Study) bool { return slices.Contains(s.Guilds, guild) })
}

// Origins gives every statement of origin in the catalogue to see, with the list and id of its entry and a name for it.
func (c *Catalogue) Origins(see func(list, id, what string, o Origin)) {
	for _, g := range c.Guilds {
		see("guild", g.ID, "range", g.Origin)
		see("guild", g.ID, "food and shelter", g.BiologyFrom)
	}
	for _, s := range c.Studies {
		see("study", s.ID, "distance", s.From)
	}
	for _, p := range c.Plants {
		see("plant", p.ID, "guilds", p.GuildsFrom)
		see("plant", p.ID, "bloom, height, spacing, zone", p.TraitsFrom)
		see("plant", p.ID, "cautions", p.CautionsFrom)
	}
	for _, n := range c.Never {
		see("never", n.ID, "why", n.From)
	}
	for _, p := range c.Crops {
		see("crop", p.ID, "spacing", p.SpacingFrom)
		see("crop", p.ID, "days to harvest", p.DaysOrigin)
		see("crop", p.ID, "pollination", p.PollenFrom)
		see("crop", p.ID, "cautions", p.CautionsFrom)
		if d := c.depth[p.ID]; d != nil {
			see("crop", p.ID, "depth of sowing", d.From)
		}
		if f := c.flowering[p.ID]; f != nil {
			see("crop", p.ID, "from flower to fruit", f.From)
		}
	}
	for _, p := range c.Pests {
		see("pest", p.ID, "enemies", p.EnemiesFrom)
		see("pest", p.ID, "action threshold", p.ThresholdFrom)
		see("pest", p.ID, "degree-days", p.DegreeDaysFrom)
	}
	for _, e := range c.Events {
		see("event", e.ID, "degree-days", e.From)
	}
	for _, t := range c.Times {
		see("time", t.ID, "time of year", t.From)
	}
	for _, x := range c.Companions {
		see("companion", x.ID, "effect", x.From)
	}
	for _, x := range c.TrapCrops {
		see("trap-crop", x.ID, "result", x.From)
	}
	for _, x := range c.Traps {
		see("trap", x.ID, "number", x.NumberFrom)
		see("trap", x.ID, "placing, renewal", x.PlacingFrom)
		see("trap", x.ID, "by-catch", x.ByCatchFrom)
	}
	for _, x := range c.Materials {
		see("material", x.ID, "harm", x.HarmFrom)
		see("material", x.ID, "duration, rain", x.LastingFrom)
		see("material", x.ID, "cautions", x.CautionsFrom)
		see("material", x.ID, "usual targets", x.PestsFrom)
	}
}

// all looks ids up; the checks on load hold that each is there.
func all[T any](ids []string, in map[string]*T) []*T {
	list := make([]*T, 0, len(ids))
	for _, id := range ids {
		if x := in[id]; x != nil {
			list = append(list, x)
		}
	}
	return list
}

func filter[T any](list []*T, keep func(*T) bool) (kept []*T) {
	for _, x := range list {
		if keep(x) {
			kept = append(kept, x)
		}
	}
	return kept
}
