package recovery

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
)

func TestOnePlanIsClaimedOnce(t *testing.T) {
	folder, garden := t.TempDir(), t.TempDir()
	file, link := filepath.Join(garden, "a.hedgereach"), filepath.Join(garden, "b.hedgereach")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(file, link); err != nil {
		t.Skip(err)
	}
	l, err := Claim(folder, file)
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{file, link, filepath.Join(garden, ".", "a.hedgereach")} {
		if _, err := Claim(folder, path); !errors.Is(err, ErrHeld) {
			t.Errorf("%s is claimed twice: %v", path, err)
		}
		if !l.On(folder, path) {
			t.Errorf("the claim is not on %s", path)
		}
	}
	other, err := Claim(folder, filepath.Join(garden, "c.hedgereach")) // not there yet
	if err != nil || other.On(folder, file) {
		t.Error("another plan cannot be claimed", err)
	}
	l.Release()
	if l, err = Claim(folder, link); err != nil {
		t.Error("a claim that was given back cannot be taken", err)
	}
	l.Release()
	other.Release()
	if left, _ := os.ReadDir(folder); len(left) != 0 {
		t.Errorf("%d locks are left behind", len(left))
	}
}
