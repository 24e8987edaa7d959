package plan

import (
	"bytes"
	"compress/gzip"
	"encoding/base64"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

// mostBombBytes is how much memory a hostile file may ask for, given back or not, before it is refused.
const mostBombBytes = 1 << 30

// bed is a plan with a single bed of that geometry.
func bed(geometry string) string {
	return `{"format": "hedgereach plan", "version": 1, "features": [{"id": "1a0e8400-0000-4000-8000-000000000001", "kind": "bed", "name": "B", "geometry": ` +
		geometry + `}]}`
}

// star is a proper outline of n corners.
func star(n int) string {
	var b strings.Builder
	b.WriteString("[")
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		fmt.Fprintf(&b, "[%.9f,%.9f],", 900*cos, 900*sin)
	}
	return b.String() + "[900.000000000,0.000000000]]"
}

// square is an outline from x, y with sides of s.
func squareAt(x, y, s float64) string {
	return fmt.Sprintf("[[%g,%g],[%g,%g],[%g,%g],[%g,%g],[%g,%g]]", x, y, x+s, y, x+s, y+s, x, y+s, x, y)
}

// hugePNG says that it is so many pixels wide and high; nothing follows.
func hugePNG(w, h uint32) []byte {
	head := append([]byte("IHDR"), make([]byte, 13)...)
	binary.BigEndian.PutUint32(head[4:], w)
	binary.BigEndian.PutUint32(head[8:], h)
	head[12], head[13] = 8, 6
	b := append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\x0d"), head...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(head))
}

func zipped(data []byte) string {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	_, _ = z.Write(data)
	_ = z.Close()
	return b.String()
}

const laughs = `<?xml version="1.0"?><!DOCTYPE lolz [<!ENTITY lol "lol"><!ENTITY lol2 "&lol;&lol;&lol;&lol;&lol;&lol;&lol;&lol;&lol;&lol;">
<!ENTITY lol3 "&lol2;&lol2;&lol2;&lol2;&lol2;&lol2;&lol2;&lol2;&lol2;&lol2;">]><gpx><wpt lat="1" lon="1"><name>&lol3;</name></wpt></gpx>`

// Files that are made to fill the memory or to keep the program busy for ever are refused soon, in one line that says what and
// where.
func TestBombs(t *testing.T) {
	repeated := func(head, item string, n int, tail string) string { return head + strings.Repeat(item, n) + tail }
	points := func(n int) string { return repeated("[", "[0,0],", n, "[0,0]]") } // counted before anybody asks how they lie
	id := func(i int) string { return fmt.Sprintf("1a0e8400-0000-4000-8000-%012d", i) }
	stakes := func(n int, id func(int) string) string {
		var b strings.Builder
		for i := range n {
			if i > 0 {
				b.WriteByte(',')
			}
			fmt.Fprintf(&b, `{"id": "%s", "kind": "stake", "geometry": {"type": "Point", "coordinates": [1,2]}}`, id(i))
		}
		return `{"format": "hedgereach plan", "version": 1, "features": [` + b.String() + `]}`
	}
	members := func() string {
		var b strings.Builder
		for i := range MaxMembers + 1 {
			fmt.Fprintf(&b, `"m%d": 0, `, i)
		}
		return b.String()
	}
	for name, c := range map[string]struct {
		file string
		text func() string
		want string // in the message
	}{
		"a file of spaces beyond the limit": {"a.hedgereach", func() string { return strings.Repeat(" ", MaxFileBytes+1) }, "it is larger than 64 MB; a plan is far smaller"},
		"a packed file, which is not unpacked": {"a.hedgereach", func() string { return zipped(make([]byte, 1<<20)) },
			"this is neither a plan nor GeoJSON"},
		"1 000 lists in one another":     {"a.hedgereach", func() string { return bed(repeated("", "[", 1000, repeated("", "]", 1000, ""))) }, "line 1, column 206: lists and objects nest deeper than 64"},
		"a million lists that never end": {"a.hedgereach", func() string { return repeated("", "[", 1e6, "") }, "nest deeper than 64"},
		"1 000 collections in one another": {"a.geojson", func() string {
			return repeated("", `{"type":"GeometryCollection","geometries":[`, 1000, repeated("", "]}", 1000, ""))
		}, "nest deeper than 64"},
		"a thousand and one members": {"a.hedgereach", func() string { return `{"format": "hedgereach plan", ` + members() + `"version": 1}` }, "more than 1000 members"},
		"a member twice":             {"a.hedgereach", func() string { return `{"format": "hedgereach plan", "version": 1, "name": "a", "name": "b"}` }, "name: this member stands here twice"},
		"a name of a million letters": {"a.hedgereach", func() string {
			return `{"format": "hedgereach plan", "version": 1, "name": "` + strings.Repeat("x", 1e6) + `"}`
		}, "name: it is longer than 200 characters"},
		"not a number":                    {"a.hedgereach", func() string { return bed(`{"type": "Polygon", "coordinates": [[[NaN,0],[1,0],[1,1],[NaN,0]]]}`) }, "NaN is not a number that JSON knows"},
		"1e308 metres":                    {"a.hedgereach", func() string { return bed(`{"type": "Polygon", "coordinates": [[[1e308,0],[1,0],[1,1],[1e308,0]]]}`) }, `features[0] "B": the point (1e+308, 0) lies more than 1000 km`},
		"-1e308 degrees":                  {"a.geojson", func() string { return `{"type": "Point", "coordinates": [0,-1e308]}` }, "is not a longitude and latitude"},
		"1e999":                           {"a.hedgereach", func() string { return bed(`{"type": "Polygon", "coordinates": [[[1e999,0],[1,0],[1,1],[0,0]]]}`) }, `features[0] "B", geometry.coordinates[0][0][0]: 1e999 is too large a number`},
		"an outline of a million corners": {"a.hedgereach", func() string { return bed(`{"type": "Polygon", "coordinates": [` + points(1e6) + `]}`) }, `features[0] "B", geometry.coordinates[0][100000]: an outline has more than 100000 points`},
		"corners by the million altogether": {"a.hedgereach", func() string {
			return bed(repeated(`{"type": "MultiPolygon", "coordinates": [`, "["+points(99_999)+"],", 21, "["+points(5)+"]]}"))
		}, "the file has more than 2000000 points"},
		"features beyond the limit": {"a.hedgereach", func() string { return stakes(MaxFeatures+1, id) }, "features[50000]: there are more than 50000 features"},
		"two features of one id":    {"a.hedgereach", func() string { return stakes(2, func(int) string { return id(7) }) }, "features[1]: its id is that of features[0], too; give one of them another UUID"},
		"50 000 features of one id": {"a.hedgereach", func() string { return stakes(MaxFeatures, func(int) string { return id(7) }) }, "features[1]: its id is that of features[0], too"},
		"holes that overlap": {"a.hedgereach", func() string {
			return bed(`{"type": "Polygon", "coordinates": [` + squareAt(0, 0, 9) + `,` + squareAt(1, 1, 3) + `,` + squareAt(2, 2, 3) + `]}`)
		}, `features[0] "B": `},
		"ten thousand holes in one place": {"a.hedgereach", func() string {
			return bed(repeated(`{"type": "Polygon", "coordinates": [`+squareAt(0, 0, 9), ","+squareAt(1, 1, 3), 10_000, "]}"))
		}, `features[0] "B": `},
		"a picture of 50 000 by 50 000 points": {"a.hedgereach", func() string {
			return `{"format": "hedgereach plan", "version": 1, "picture": {"at": [0,0], "metres_per_pixel": 0.01, "image": "` +
				base64.StdEncoding.EncodeToString(hugePNG(50_000, 50_000)) + `"}}`
		}, "picture.image: it is 50000 by 50000 points, more than 4096; make it smaller"},
		"a billion laughs":              {"a.gpx", func() string { return laughs }, "it declares a document type, which GPX has not"},
		"an entity that names a file":   {"a.gpx", func() string { return `<!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/passwd">]><gpx>&x;</gpx>` }, "it declares a document type"},
		"an entity that nobody knows":   {"a.gpx", func() string { return `<gpx><wpt lat="1" lon="1"><name>&x;</name></wpt></gpx>` }, "line 1: this is not XML (invalid character entity &x;)"},
		"1 000 elements in one another": {"a.gpx", func() string { return repeated("<gpx>", "<a>", 1000, "") }, "elements nest deeper than 64"},
		"millions of empty tracks":      {"a.gpx", func() string { return repeated("<gpx><trk>", "<trkseg/>", 6e6, "</trk></gpx>") }, "there are more than 50000 tracks, routes and points; split the file"},
		"a track of a million points": {"a.gpx", func() string {
			return repeated("<gpx><trk><trkseg>", `<trkpt lat="1" lon="1"/>`, 1e6, "</trkseg></trk></gpx>")
		}, "a track has more than 100000 points; thin it out"},
		"a row of a million points": {"a.csv", func() string { return repeated("x,y\n", "1,2\n", 1e6, "") }, "there are too many points or names"},
		"a million names": {"a.csv", func() string {
			var b strings.Builder
			b.WriteString("x,y,name\n")
			for i := range int(1e6) {
				fmt.Fprintf(&b, "1,2,%d\n", i)
			}
			return b.String()
		}, "line 50002: there are too many points or names"},
		"a quote that never ends": {"a.csv", func() string { return "x,y\n\"" + strings.Repeat("1,2\n", 1e7) }, "this row cannot be read"},
		"1e308 in a row":          {"a.csv", func() string { return "x,y\n1e308,2\n" }, "lies more than 1000 km"},
		"not a number in a row":   {"a.csv", func() string { return "x,y\nNaN,2\n" }, `line 2, column x: "NaN" is not a number`},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), c.file)
			if err := os.WriteFile(path, []byte(c.text()), 0o600); err != nil {
				t.Fatal(err)
			}
			err := costs(t, func() error { _, err := Open(path); return err })
			var re *ReadError
			if !errors.As(err, &re) || !strings.Contains(err.Error(), c.want) || re.Mend == "" || strings.ContainsFunc(err.Error(), unseen) ||
				len(err.Error()) > 600 {
				t.Errorf("says %.700v\nwant %s", err, c.want)
			}
		})
	}
	if err := costs(t, func() error { _, err := ReadFeatures(bytes.Repeat([]byte(" "), MaxFileBytes+1)); return err }); err == nil ||
		!strings.Contains(err.Error(), "larger than 64 MB") {
		t.Errorf("a clipboard beyond the limit: %v", err)
	}
}

// costs does something and holds its time and all the memory that it asks for, given back or not, against what may be.
func costs(t *testing.T, do func() error) error {
	t.Helper()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	began := time.Now()
	err := do()
	took := time.Since(began)
	runtime.ReadMemStats(&after)
	if bytes := after.TotalAlloc - before.TotalAlloc; took > mostBombTime || bytes > mostBombBytes {
		t.Errorf("it took %v and %d MB", took, bytes>>20)
	}
	return err
}

// What is as large as the limits let it be is read in a bearable time.
func TestTheLargestThatIsReadIsReadInTime(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	points := func() string { // on one line: to name a place must not cost a pass over all that is before
		var b strings.Builder
		b.WriteString("<gpx>")
		for i := range MaxFeatures - 1 {
			fmt.Fprintf(&b, `<wpt lat="44.%05d" lon="-72.5"><name>%d</name></wpt>`, i%1000, i)
		}
		return b.String() + "</gpx>"
	}
	nested := func() string { // outlines without a kind, each in the next
		var b strings.Builder
		b.WriteString("x,y,name\n")
		for i := range 20_000 {
			s := 1 + float64(i)/100
			fmt.Fprintf(&b, "%g,%g,%d\n%g,%g,%d\n%g,%g,%d\n%g,%g,%d\n", -s, -s, i, s, -s, i, s, s, i, -s, s, i)
		}
		return b.String()
	}
	for _, c := range []struct {
		file, text string
		features   int
	}{
		{"points.gpx", points(), MaxFeatures - 1},
		{"nested.csv", nested(), 20_000},
		{"outline.hedgereach", bed(`{"type": "Polygon", "coordinates": [` + star(MaxRing-1) + `]}`), 1},
	} {
		path := filepath.Join(t.TempDir(), c.file)
		if err := os.WriteFile(path, []byte(c.text), 0o600); err != nil {
			t.Fatal(err)
		}
		err := costs(t, func() error {
			r, err := Open(path)
			if err == nil && len(r.Plan.Features) != c.features {
				err = fmt.Errorf("%d features", len(r.Plan.Features))
			}
			return err
		})
		if err != nil {
			t.Errorf("%s: %v", c.file, err)
		}
	}
}
