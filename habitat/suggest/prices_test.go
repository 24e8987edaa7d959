package suggest

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"hedgereach/data"
)

func TestReadPrices(t *testing.T) {
	c, err := data.Load()
	if err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]map[string]float64{
		"plant,price\ngolden-alexanders,2.5\n":                                   {"golden-alexanders": 2.5},
		"\ufeffPrice;size; PLANT\n2,505;9 cm;Golden Alexanders\n;;wild bergamot": {"golden-alexanders": 2.51},
		"plant\tprice\nzizia aurea\t0\nbuckwheat\t1,2":                           {"golden-alexanders": 0, "buckwheat": 1.2},
		"plant,price\n\"buckwheat\",3\nmoon daisy,4\n\n":                         {"buckwheat": 3},
	} {
		p, err := ReadPrices(strings.NewReader(text), "list.csv", c)
		if err != nil || !maps.Equal(p.Of, want) {
			t.Errorf("%q: %v, %v", text, p, err)
		}
		if n := strings.Count(text, "moon"); err == nil && (len(p.Unknown) != n || n > 0 && p.Unknown[0] != `line 3 "moon daisy"`) {
			t.Errorf("%q: unknown %q", text, p.Unknown)
		}
	}
	for text, says := range map[string]string{
		"":                                                 "list.csv: empty: give a file whose first line",
		"name,cost\nbuckwheat,3":                           "list.csv:1: the first line names no columns plant and price",
		"plant,price\nbuckwheat,€3":                        `list.csv:2: "€3" is not a price: write a number`,
		"plant,price\nbuckwheat,-1":                        "list.csv:2: \"-1\" is not a price",
		"plant,price\nbuckwheat,NaN":                       "is not a price",
		"plant,price\nbuckwheat,1e7":                       "from 0 to 1000000",
		"plant,price\n,3":                                  "list.csv:2: a price without a plant",
		"plant,price\nmoon,3":                              `list.csv: no plant of the catalogue: line 2 "moon" is none`,
		"plant,price\nbuckwheat,":                          "list.csv: no plant with a price",
		"plant,price\n\"buckwheat,3":                       "list.csv:2: ",
		"plant,price\nbuckwheat,3\xff":                     "not UTF-8",
		"plant,price\nbuckwheat,3\nFagopyrum esculentum,4": "list.csv:3: buckwheat has a price in line 2 already: keep one",
		"plant,price\n" + strings.Repeat("moon,3\n", MaxPriceRows+1):                "10002: more than 10000 plants",
		"plant,price\n" + strings.Repeat(" ", MaxPriceBytes):                        "larger than 1 MB",
		"plant,price\nbuckwheat,3\n" + strings.Repeat("x", 50) + "\n" + "\"x\"y,3,": "list.csv:4: ",
	} {
		p, err := ReadPrices(strings.NewReader(text), "list.csv", c)
		if err == nil || !strings.Contains(err.Error(), says) || strings.ContainsAny(err.Error(), "\n\r") {
			t.Errorf("%.40q: %v, %v", text, p, err)
		}
	}
}

func TestPricesSay(t *testing.T) {
	for _, c := range []struct {
		p    Prices
		want string
	}{
		{Prices{Of: map[string]float64{"a": 1}}, "1 plant has a price."},
		{Prices{Of: map[string]float64{"a": 1, "b": 1}, Unknown: []string{"c", "d", "e", "f"}}, "2 plants have a price. The catalogue lacks c, d, e, f."},
		{Prices{Unknown: []string{"c", "d", "e", "f", "g"}}, "0 plants have a price. The catalogue lacks c, d, e and 2 more."},
	} {
		if got := c.p.Says(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	for v, want := range map[float64]string{0: "0", 4: "4", 4.5: "4.50", 12.345: "12.35", 0.1 + 0.2: "0.30", 2.9999: "3"} {
		if got := FormatPrice(v); got != want {
			t.Errorf("%v is %q, want %q", v, got, want)
		}
	}
}

func FuzzReadPrices(f *testing.F) {
	c, err := data.Load()
	if err != nil {
		f.Fatal(err)
	}
	for _, s := range []string{"plant,price\nbuckwheat,3\n", "price;plant\n2,5;golden alexanders\n", "\ufeffplant\tprice\nx\t1e300\n",
		"plant,price\n\"\n\",0x1p-2\n", "plant,price\n,3"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := ReadPrices(strings.NewReader(text), "f", c)
		if err != nil {
			if strings.ContainsAny(err.Error(), "\n\r") {
				t.Fatalf("more than one line: %q", err)
			}
			return
		}
		for id, v := range p.Of {
			if !(v >= 0 && v <= MaxPrice) || !slices.ContainsFunc(c.Plants, func(p *data.Plant) bool { return p.ID == id }) {
				t.Fatalf("%s costs %v", id, v)
			}
		}
	})
}
