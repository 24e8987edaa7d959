package main

import (
	"os"
	"strings"
	"testing"
)

// TestVersion holds the version in FyneApp.toml, which packaging tools read, against the program's.
func TestVersion(t *testing.T) {
	toml, err := os.ReadFile("FyneApp.toml")
	if err != nil {
		t.Fatal(err)
	}
	if want := "\nVersion = \"" + version + "\"\n"; !strings.Contains(string(toml), want) {
		t.Errorf("FyneApp.toml lacks %q", strings.TrimSpace(want))
	}
}
