package plan

import (
	"bytes"
	"fmt"
	"io"
	"reflect"
	"strings"
	"testing"
)

func TestOwnEntriesTravelInThePlan(t *testing.T) {
	const text = `{"format": "hedgereach plan", "version": 1, "name": "", "units": "metric",
	  "place": {"latitude": 44, "longitude": -72},
	  "catalogue": [
	    {"list": "guild", "id": "hoverflies", "source": "watched, 2025", "low_m": 5, "typical_m": "12.5", "outer_m": 1e2, "seen": [1, 2]},
	    {"list": "soil", "id": "loam", "source": "", "depth": 3}], "features": []}`
	p, err := Read(strings.NewReader(text), "x.hedgereach")
	if err != nil {
		t.Fatal(err)
	}
	want := []Own{{List: "guild", ID: "hoverflies", Source: "watched, 2025",
		Cells: map[string]string{"low_m": "5", "typical_m": "12.5", "outer_m": "1e2"}, Extra: Extra{"seen": []byte("[1,2]")}},
		{List: "soil", ID: "loam", Cells: map[string]string{"depth": "3"}}}
	if !reflect.DeepEqual(p.Own, want) {
		t.Errorf("read %+v", p.Own)
	}
	out, err := Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	again, err := Read(bytes.NewReader(out), "x.hedgereach")
	if err != nil || !reflect.DeepEqual(again.Own, want) {
		t.Errorf("%v; written and read again: %+v", err, again.Own)
	}
	geo, err := MarshalGeoJSON(p)
	if err != nil {
		t.Fatal(err)
	}
	r, _, err := ReadGeoJSON(bytes.NewReader(geo), "x")
	if err != nil || !reflect.DeepEqual(r.Own, want) {
		t.Errorf("%v; through GeoJSON: %s", err, geo)
	}
}

func TestPutAndRemoveOwn(t *testing.T) {
	p := New("")
	e := Own{List: "plant", ID: "dill", Source: "seen"}
	q := p.PutOwn(e)
	e.Source = "seen again"
	r := q.PutOwn(e)
	if len(p.Own) != 0 || q.Own[0].Source != "seen" || len(r.Own) != 1 || r.Own[0].Source != "seen again" {
		t.Errorf("%+v, %+v, %+v", p.Own, q.Own, r.Own)
	}
	if s := r.RemoveOwn("crop", "dill"); len(s.Own) != 1 {
		t.Error("another list's entry was taken out")
	}
	if s := r.RemoveOwn("plant", "dill"); len(s.Own) != 0 || len(r.Own) != 1 || !r.HasOwn("plant", "dill") || s.HasOwn("plant", "dill") {
		t.Errorf("%+v", s.Own)
	}
}

// What another program calls a catalogue, or a damaged list, neither bars the plan nor is lost; limits hold.
func TestOwnEntriesAtTheirLimits(t *testing.T) {
	file := func(catalogue string) io.Reader {
		return strings.NewReader(`{"format": "hedgereach plan", "version": 1, "catalogue": ` + catalogue + `, "features": []}`)
	}
	p, err := Read(file(`{"of": "seeds"}`), "x.hedgereach")
	if err != nil || string(p.Extra["source_catalogue"]) != `{"of":"seeds"}` {
		t.Errorf("%v, %s", err, p.Extra)
	}
	for text, want := range map[string]string{
		`[3]`:           "catalogue[0]",
		`[{"list": 3}]`: "catalogue[0].list",
		`[{"list": "plant", "id": "dill", "note": "` + strings.Repeat("x", MaxOwnText+1) + `"}]`:                     "catalogue[0]: a text is longer than 1000 characters",
		`[` + strings.TrimSuffix(strings.Repeat(`{"list": "plant"},`, MaxOwn+1), ",") + `]`:                          "there are more than 2000 own entries",
		`[{"list": "plant"` + fmt.Sprintf(strings.Repeat(`, "m%d": 1`, mostExtra+1), numbers(mostExtra+1)...) + `}]`: "catalogue[0]: it has more than",
	} {
		if _, err := Read(file(text), "x.hedgereach"); err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%.40s: %v, want %s", text, err, want)
		}
	}
}

func numbers(n int) []any {
	out := make([]any, n)
	for i := range out {
		out[i] = i
	}
	return out
}
