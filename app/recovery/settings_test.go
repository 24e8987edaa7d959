package recovery

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestDamagedSettingsAreSetAside(t *testing.T) {
	for text, whole := range map[string]bool{
		`{"light":"day","width":1360.5,"on":true,"list":["a","b"],"none":[]}`: true,
		"":                         false, // what a power cut leaves of a file that was being written
		`{"light":"day","wid`:      false,
		`{"light":"day"} more`:     false,
		`{"light":null}`:           false,
		`{"list":["a",1]}`:         false,
		`["light"]`:                false,
		"\x00\x00\x00\x00":         false,
		strings.Repeat(" ", 2<<20): false,
	} {
		path := filepath.Join(t.TempDir(), "preferences.json")
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		says := SetAside(path)
		if (says == "") != whole {
			t.Errorf("%.40q: says %q", text, says)
		}
		kept, _ := filepath.Glob(path + "*")
		if len(kept) != 1 {
			t.Fatalf("%.40q: %d files", text, len(kept))
		}
		if data, err := os.ReadFile(kept[0]); err != nil || string(data) != text || (kept[0] == path) != whole {
			t.Errorf("%.40q: kept as %s, %v", text, kept[0], err)
		}
	}
	if says := SetAside(filepath.Join(t.TempDir(), "preferences.json")); says != "" {
		t.Errorf("of no settings at all it says %q", says)
	}
}
