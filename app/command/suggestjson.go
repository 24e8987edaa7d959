package command

import (
	"encoding/json"
	"fmt"
	"io"

	"hedgereach/habitat/plan"
	"hedgereach/habitat/suggest"
)

// A mixJSON is what is said of a mix beyond what is said of any proposal.
type mixJSON struct {
	Plants   []mixPlantJSON `json:"plants"`
	Cost     *float64       `json:"cost"` // null without prices
	InFlower []mixTimeJSON  `json:"in_flower"`
	Unfed    []string       `json:"unfed"`
	Bounds   []mixBoundJSON `json:"bounds"`
	Cautions []string       `json:"cautions"`
}

type mixPlantJSON struct {
	ID    string   `json:"id"`
	Name  string   `json:"name"`
	Price *float64 `json:"price"`
}

type mixTimeJSON struct {
	HalfMonth string `json:"half_month"`
	Before    int    `json:"before"`
	After     int    `json:"after"`
	Short     bool   `json:"short"`
}

type mixBoundJSON struct {
	Bound   string   `json:"bound"`
	Species int      `json:"species_without"`
	Short   int      `json:"short_without"`
	Unfed   int      `json:"unfed_without"`
	Cost    *float64 `json:"cost_without"`
}

func mixOf(q *suggest.Mix, prices map[string]float64) *mixJSON {
	known := func(v float64, known bool) *float64 {
		if v = milli(v); known {
			return &v
		}
		return nil
	}
	j := &mixJSON{Cost: known(q.Cost, q.Priced), Plants: []mixPlantJSON{}, InFlower: []mixTimeJSON{}, Unfed: []string{},
		Bounds: []mixBoundJSON{}, Cautions: append([]string{}, q.Cautions...)}
	for _, p := range q.Plants {
		v, has := prices[p.ID]
		j.Plants = append(j.Plants, mixPlantJSON{p.ID, p.Name, known(v, has)})
	}
	for _, h := range q.InFlower {
		j.InFlower = append(j.InFlower, mixTimeJSON{h.HalfMonth.String(), h.Before, h.After, h.Short})
	}
	for _, g := range q.Unfed {
		j.Unfed = append(j.Unfed, g.ID)
	}
	for _, b := range q.WithoutEach {
		j.Bounds = append(j.Bounds, mixBoundJSON{b.Words, b.Species, b.Short, b.Unfed, known(b.Cost, b.Priced)})
	}
	return j
}

// proposalsJSON writes proposals for scripts: lengths in metres, areas in m², features as in a plan file. Mix is nil where they are of
// strips and edits.
func proposalsJSON(w io.Writer, p *plan.Plan, list []*suggest.Proposal, mix *mixJSON) error {
	type changeJSON struct {
		Before  string          `json:"before"` // id; "" for a new feature
		Feature json.RawMessage `json:"feature"`
		Why     string          `json:"why"`
	}
	type proposalJSON struct {
		Title   string       `json:"title"`
		Effect  string       `json:"effect"`
		How     string       `json:"how"`
		Proven  bool         `json:"proven"`
		Bound   float64      `json:"bound"`
		Gap     float64      `json:"gap"`
		Out     int          `json:"beds_out"`
		Beds    []string     `json:"beds"`
		Lacking []string     `json:"lacking"`
		Lost    []string     `json:"lost"`
		AreaM2  float64      `json:"area_m2"`
		LengthM float64      `json:"length_m"`
		Patches int          `json:"patches"`
		TakenM2 float64      `json:"taken_m2"` // ground that an edit takes
		Changes []changeJSON `json:"changes"`
		Mix     *mixJSON     `json:"mix,omitempty"`
	}
	out := struct {
		Plan      string         `json:"plan"`
		Proposals []proposalJSON `json:"proposals"`
	}{Plan: p.Name, Proposals: []proposalJSON{}}
	ids := func(list []string) []string { return append([]string{}, list...) }
	for _, q := range list {
		j := proposalJSON{Title: q.Title, Effect: q.Effect, How: q.How, Proven: q.Proven, Bound: milli(q.BoundCost),
			Gap: millionth(q.Gap), Out: q.Out, Beds: ids(q.Beds), Lacking: ids(q.Lacking), Lost: ids(q.Lost),
			AreaM2: milli(q.AreaM2), LengthM: milli(q.LengthM), Patches: q.Patches, TakenM2: milli(q.TakenM2), Changes: []changeJSON{}, Mix: mix}
		for _, c := range q.Changes {
			d := changeJSON{Why: c.Why}
			if c.Before != nil {
				d.Before = c.Before.ID
			}
			if c.After != nil {
				all, err := plan.MarshalFeatures([]*plan.Feature{c.After})
				if err != nil {
					return err
				}
				var one struct {
					Features []json.RawMessage `json:"features"`
				}
				if err := json.Unmarshal(all, &one); err != nil || len(one.Features) != 1 {
					return fmt.Errorf("a feature could not be written: %w", err)
				}
				d.Feature = one.Features[0]
			}
			j.Changes = append(j.Changes, d)
		}
		out.Proposals = append(out.Proposals, j)
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(out)
}
