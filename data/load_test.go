package data

import "testing"

func TestLoad(t *testing.T) {
	c, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Plants) < 100 || len(c.Crops) < 50 || len(c.Pests) < 45 {
		t.Errorf("%d plants, %d crops, %d pests", len(c.Plants), len(c.Crops), len(c.Pests))
	}
}
