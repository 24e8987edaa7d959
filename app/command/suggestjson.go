package command

import (
	"encoding/json"
	"fmt"
	"io"

	"hedgereach/habitat/plan"
	"hedgereach/habitat/suggest"
)

// proposalsJSON writes proposals for scripts: lengths in metres, areas in m², features as in a plan file.
func proposalsJSON(w io.Writer, p *plan.Plan, list []*suggest.Proposal) error {
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
		Changes []changeJSON `json:"changes"`
	}
	out := struct {
		Plan      string         `json:"plan"`
		Proposals []proposalJSON `json:"proposals"`
	}{Plan: p.Name, Proposals: []proposalJSON{}}
	ids := func(list []string) []string { return append([]string{}, list...) }
	for _, q := range list {
		j := proposalJSON{Title: q.Title, Effect: q.Effect, How: q.How, Proven: q.Proven, Bound: milli(q.BoundCost),
			Gap: millionth(q.Gap), Out: q.Out, Beds: ids(q.Beds), Lacking: ids(q.Lacking), Lost: ids(q.Lost),
			AreaM2: milli(q.AreaM2), LengthM: milli(q.LengthM), Patches: q.Patches, Changes: []changeJSON{}}
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
