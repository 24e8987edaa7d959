package plan

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// seed adds the files that match, and a whole plan in both formats.
func seed(f *testing.F, patterns ...string) {
	f.Helper()
	for _, p := range patterns {
		names, err := filepath.Glob(p)
		if err != nil {
			f.Fatal(err)
		}
		for _, n := range names {
			if data, err := os.ReadFile(n); err == nil && len(data) < 100_000 {
				f.Add(data)
			}
		}
	}
}

// survives checks what holds for every input: no panic, an error of the right type on one line, and a plan that is read
// writes and reads again to the same bytes.
func survives(t *testing.T, p *Plan, err error) {
	t.Helper()
	if err != nil {
		var re *ReadError
		if !errors.As(err, &re) {
			t.Fatalf("%T: %v", err, err)
		}
		if strings.ContainsFunc(err.Error(), unseen) {
			t.Fatalf("more than one line: %q", err)
		}
		return
	}
	if p.Place != nil {
		comesBack(t, p)
	}
	first, err := Marshal(p)
	if err != nil {
		t.Fatalf("a plan that was read cannot be written: %v", err)
	}
	again, err := Read(bytes.NewReader(first), "again")
	if err != nil {
		t.Fatalf("a plan that was written cannot be read: %v\n%s", err, first)
	}
	if second, err := Marshal(again); err != nil || !bytes.Equal(first, second) {
		t.Fatalf("written again it differs: %v\n%s\n%s", err, first, second)
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(whole))
	f.Add([]byte(`{"format": "hedgereach plan", "version": 1, "catalogue": [{"list": "guild", "id": "hoverflies", "source": "seen", "low_m": 5, "seen": [1]}]}`))
	seed(f, "testdata/bad/*.hedgereach", "testdata/versions/*.hedgereach")
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Read(bytes.NewReader(data), "fuzz")
		survives(t, p, err)
	})
}

func FuzzReadGeoJSON(f *testing.F) {
	seed(f, "testdata/bad/*.geojson", "testdata/gdal/*.geojson")
	f.Fuzz(func(t *testing.T, data []byte) {
		p, _, err := ReadGeoJSON(bytes.NewReader(data), "fuzz")
		survives(t, p, err)
	})
}

func FuzzReadFeatures(f *testing.F) {
	f.Add([]byte(whole))
	f.Fuzz(func(t *testing.T, data []byte) {
		features, err := ReadFeatures(data)
		survives(t, &Plan{Units: Metric, Features: features}, err)
	})
}

func FuzzReadGPX(f *testing.F) {
	seed(f, "testdata/bad/*.gpx", "testdata/walked/*.gpx")
	f.Fuzz(func(t *testing.T, data []byte) {
		p, _, err := readGPX(data, "fuzz")
		survives(t, p, err)
	})
}

func FuzzReadCSV(f *testing.F) {
	seed(f, "testdata/bad/*.csv", "testdata/walked/*.csv")
	f.Fuzz(func(t *testing.T, data []byte) {
		p, _, err := readCSV(data, "fuzz")
		survives(t, p, err)
	})
}
