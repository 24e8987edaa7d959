package rotation

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"hedgereach/data"
)

func catalogue(t *testing.T) *data.Catalogue {
	t.Helper()
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// history reads "2024 cabbage kale; 2025 carrot".
func history(t *testing.T, s string) (years []Year) {
	t.Helper()
	for part := range strings.SplitSeq(s, ";") {
		words := strings.Fields(part)
		y := Year{Crops: words[1:]}
		if _, err := fmt.Sscan(words[0], &y.Year); err != nil {
			t.Fatal(err)
		}
		years = append(years, y)
	}
	return years
}

// West Virginia University Extension 2025: not the same family in the same place for two to three years.
func TestClashes(t *testing.T) {
	c := catalogue(t)
	for _, s := range []struct{ grown, want string }{
		{"2024 cabbage; 2025 kale", "Brassicaceae 2024–2025 without 0, too soon"},
		{"2024 cabbage; 2025 carrot; 2026 kale", "Brassicaceae 2024–2026 without 1, too soon"},
		{"2024 cabbage; 2025 carrot; 2027 kale", "Brassicaceae 2024–2027 without 2"}, // only just not too soon
		{"2024 cabbage; 2028 kale", ""}, // only just far enough
		{"2026 tomato-staked; 2025 potato", "Solanaceae 2025–2026 without 0, too soon"}, // in any order
		{"2025 onion; 2026 leek; 2027 garlic", "Amaryllidaceae 2025–2026 without 0, too soon | Amaryllidaceae 2026–2027 without 0, too soon"},
		{"2025 lettuce-leaf lettuce-head; 2026 carrot", ""}, // one year, one family
		{"2025 lettuce-leaf; 2025 endive", ""},
		{"2025 lettuce-leaf; 2026 endive", "Asteraceae 2025–2026 without 0, too soon"},
		{"2025 no-such; 2026 no-such", ""},
		{"2024 strawberry; 2025 strawberry; 2026 strawberry", ""}, // it stands on
		{"2024 strawberry; 2025 raspberry", "Rosaceae 2024–2025 without 0, too soon"},
		{"2024 strawberry; 2026 strawberry", "Rosaceae 2024–2026 without 1, too soon"}, // planted anew
	} {
		var got []string
		for _, x := range Clashes(c, history(t, s.grown)) {
			words := fmt.Sprintf("%s %d–%d without %d", x.Family, x.Earlier, x.Later, x.Without)
			if x.TooSoon {
				words += ", too soon"
			}
			got = append(got, words)
		}
		if strings.Join(got, " | ") != s.want {
			t.Errorf("%s: got  %s\nwant %s", s.grown, strings.Join(got, " | "), s.want)
		}
	}
}

// Where the source does not name the family, that is said in its place.
func TestClashSaysWhereItComesFrom(t *testing.T) {
	c := catalogue(t)
	x := Clashes(c, history(t, "2025 cabbage kale; 2026 radish"))[0]
	if !reflect.DeepEqual(x.Sources, []string{"wvu-rotation-2025"}) || c.Source(x.Sources[0]) == nil || x.Practice != "" ||
		!reflect.DeepEqual(x.Before, []string{"cabbage", "kale"}) || !reflect.DeepEqual(x.After, []string{"radish"}) {
		t.Errorf("%+v", x)
	}
	x = Clashes(c, history(t, "2025 carrot; 2026 parsnip"))[0]
	if x.Sources != nil || !strings.Contains(x.Practice, "no source") || x.Evidence != data.Low {
		t.Errorf("%+v", x)
	}
}

func TestEveryFamilyHasAName(t *testing.T) {
	for _, crop := range catalogue(t).Crops {
		if !strings.HasSuffix(FamilyName(crop.Family), " family") {
			t.Errorf("%s of %s has no common name", crop.Family, crop.ID)
		}
	}
	if FamilyName("Musaceae") != "Musaceae" {
		t.Error("an unknown family must keep its name")
	}
}
