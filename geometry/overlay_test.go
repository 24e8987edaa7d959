package geometry

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// Coordinates that are all but 0, as turning a shape leaves them, made the overlay lose some of the ground. GEOS 3.11 has the area.
func TestOverlayOfTracesOfRounding(t *testing.T) {
	shapes := []orb.Geometry{
		orb.Polygon{{{2.0197039212144487e-46, 0.8951070312999359}, {1.7754706649571175, 1.4443244680896745},
			{1.616496467543985, 1.9582448301996929}, {-0.15897419741313257, 1.4090273934099542},
			{2.0197039212144487e-46, 0.8951070312999359}}},
		box(3.235277135309703e-190, 0.7396758076183687, 0.7922467860264567, 10.90084309395479),
		orb.Polygon{{{0.4588623046875, 2.3005149094035282e-07}, {0.6856603654002886, 0.4456039100822087},
			{0.09187314144602376, 0.7478226683733747}, {-0.13492491926676486, 0.30221898834265704},
			{0.4588623046875, 2.3005149094035282e-07}},
			{{0.36711501387713097, 0.18695583963196188}, {0.21866820788856473, 0.2625105292047534},
				{0.2753677230667619, 0.3739114492124328}, {0.4238145290553281, 0.2983567596396413},
				{0.36711501387713097, 0.18695583963196188}}},
		box(1.1125369292536007e-308, 3.578355758499853e-41, 1.3977890399394954, 0.9326667785644531),
	}
	all, err := Union(shapes...)
	if want := 9.77709409045114; err != nil || math.Abs(Area(all)-want) > 1e-9 {
		t.Errorf("%v m², %v; want %v", Area(all), err, want)
	}
}

// A hedge in a bed, two of whose sides run along the bed's but for rounding: the overlay's algorithm loses their common ground, GEOS
// 3.11's difference likewise. The hedge is 0.25 m², the bed with its hole 2.8125 m².
func TestOverlayOfSidesThatRunAlongEachOther(t *testing.T) {
	bed := orb.Polygon{{{0.21178673207759857, -1.8909430410712957}, {2.4734934951075123, 0.08001675508507147},
		{1.8165068963887232, 0.833919009428376}, {-0.4451998666411905, -1.137040786727991}, {0.21178673207759857, -1.8909430410712957}},
		{{0.6129667731553797, -1.2097275284463778}, {0.44872012347568246, -1.0212519648605516},
			{1.0141468142331609, -0.5285120158214598}, {1.1783934639128582, -0.716987579407286},
			{0.6129667731553797, -1.2097275284463778}}}
	hedge := orb.Polygon{{{0.2117868107157317, -1.8909429725422533}, {0.588737937887384, -1.5624496731828588},
		{0.2602446385279895, -1.1854985460112064}, {-0.11670648864366284, -1.513991845370601}, {0.2117868107157317, -1.8909429725422533}}}
	tell := func(what string, m orb.MultiPolygon, err error, want float64) {
		t.Helper()
		if err != nil || math.Abs(Area(m)-want) > 1e-6 {
			t.Errorf("%s: %v m², %v; want %v", what, Area(m), err, want)
		}
	}
	both, err := Intersection(bed, hedge)
	tell("both", both, err, 0.25)
	all, err := Union(bed, hedge)
	tell("all", all, err, 2.8125)
	rest, err := Difference(bed, hedge)
	tell("the bed without the hedge", rest, err, 2.8125-0.25)
	none, err := Difference(hedge, bed)
	tell("the hedge without the bed", none, err, 0)
}

// Whatever the shapes, what both cover, what one covers alone and what any covers add up; far from the origin too.
func TestOverlaysAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawShape(t, "a"), drawShape(t, "b")
		angle := rapid.SampledFrom([]float64{0, 90, 17.3, 45}).Draw(t, "angle")
		far := rapid.SampledFrom([]float64{0, 5e5}).Draw(t, "far")
		a, b = Translate(Rotate(a, orb.Point{}, angle), far, far), Translate(Rotate(b, orb.Point{}, angle), far, far)
		both, err1 := Intersection(a, b)
		all, err2 := Union(a, b)
		rest, err3 := Difference(a, b)
		if err1 != nil || err2 != nil || err3 != nil {
			t.Fatal(err1, err2, err3)
		}
		slack := 1e-5 * (Perimeter(a) + Perimeter(b))
		if d := Area(a) + Area(b) - Area(both) - Area(all); math.Abs(d) > slack {
			t.Errorf("%v and %v m²: both cover %v, any %v", Area(a), Area(b), Area(both), Area(all))
		}
		if d := Area(a) - Area(both) - Area(rest); math.Abs(d) > slack {
			t.Errorf("%v m², of which %v are common, but %v are not", Area(a), Area(both), Area(rest))
		}
	})
}
