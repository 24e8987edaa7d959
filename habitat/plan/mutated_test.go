package plan

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

// mutations spoil a file, each in its way.
var mutations = []func(r *rand.Rand, data []byte) []byte{
	func(r *rand.Rand, data []byte) []byte { // a bit falls over
		data[r.IntN(len(data))] ^= 1 << r.IntN(8)
		return data
	},
	func(r *rand.Rand, data []byte) []byte { // it breaks off
		return data[:r.IntN(len(data))]
	},
	func(r *rand.Rand, data []byte) []byte { // a piece is lost
		from, to := piece(r, data)
		return slices.Delete(data, from, to)
	},
	func(r *rand.Rand, data []byte) []byte { // a piece stands there twice
		from, to := piece(r, data)
		return slices.Insert(data, from, bytes.Clone(data[from:to])...)
	},
	func(r *rand.Rand, data []byte) []byte { // a block of the disk is empty
		from, to := piece(r, data)
		clear(data[from:to])
		return data
	},
	func(r *rand.Rand, data []byte) []byte { // a number is another
		return instead(r, data, number, "NaN", "-Infinity", "1e308", "-1e308", "1e999", "1e-400", "-0", "0", "1000000.1", "007",
			"9999999999999999999999", "null", `"12"`, "[]", "{}", "true", "1e", ".5", "-")
	},
	func(r *rand.Rand, data []byte) []byte { // a text is another
		return instead(r, data, text, `""`, `"\u0000"`, `"\ud800"`, `"\u202e"`, `"`+strings.Repeat("x", 20_000)+`"`, `"\x"`, "null", "3",
			"[]", `"bed"`, `"pond"`, `"../../../etc/passwd"`, `"Polygon"`, `"LineString"`, `"02-30"`)
	},
	func(r *rand.Rand, data []byte) []byte { // a thousand lists in one another
		return instead(r, data, number, strings.Repeat("[", 1000)+strings.Repeat("]", 1000))
	},
	func(r *rand.Rand, data []byte) []byte { // two lines change places
		lines := bytes.SplitAfter(data, []byte("\n"))
		i, j := r.IntN(len(lines)), r.IntN(len(lines))
		lines[i], lines[j] = lines[j], lines[i]
		return bytes.Join(lines, nil)
	},
}

var number, text = regexp.MustCompile(`-?\d+(\.\d+)?`), regexp.MustCompile(`"[^"\\]*"`)

func piece(r *rand.Rand, data []byte) (from, to int) {
	from = r.IntN(len(data))
	return from, min(len(data), from+1+r.IntN(600))
}

// instead puts one of some words in place of one of what an expression finds.
func instead(r *rand.Rand, data []byte, what *regexp.Regexp, words ...string) []byte {
	found := what.FindAllIndex(data, -1)
	if len(found) == 0 {
		return data
	}
	at := found[r.IntN(len(found))]
	return slices.Concat(data[:at[0]], []byte(words[r.IntN(len(words))]), data[at[1]:])
}

// The sample garden spoilt in many ways is read and written again as it is, or refused in one line that names the place.
func TestSpoiltPlans(t *testing.T) {
	sample, err := os.ReadFile("../../data/sample/community-garden.hedgereach")
	if err != nil {
		t.Fatal(err)
	}
	count := 500
	if os.Getenv("HEDGEREACH_LONG") != "" {
		count = 10_000
	}
	refused := 0
	for i := range count {
		r := rand.New(rand.NewPCG(2026, uint64(i)))
		data := bytes.Clone(sample)
		for range 1 + i%3 {
			if len(data) > 0 {
				data = mutations[r.IntN(len(mutations))](r, data)
			}
		}
		began := time.Now()
		var p *Plan
		err := costs(t, func() (err error) { p, err = Read(bytes.NewReader(data), "spoilt"); return err })
		if took := time.Since(began); took > 2*time.Second {
			t.Errorf("plan %d: it takes %v", i, took)
		}
		if err == nil {
			first := marshal(t, p)
			if marshal(t, read(t, first)) != first {
				t.Errorf("plan %d: written again it differs", i)
			}
			continue
		}
		refused++
		var re *ReadError
		if !errors.As(err, &re) {
			t.Fatalf("plan %d: %v", i, err)
		}
		if strings.ContainsAny(err.Error(), "\n\r\x00") || len(err.Error()) > 500 || re.Mend == "" {
			t.Errorf("plan %d: says %q", i, err)
		}
		if re.Where == "" && !aboutTheWhole(re) {
			t.Errorf("plan %d: %q names no place", i, err)
		}
	}
	if refused < count/4 || refused == count {
		t.Errorf("%d of %d are refused: they are not spoilt as they should be", refused, count)
	}
}

// aboutTheWhole tells whether an error is of the file as a whole, which has no place in it.
func aboutTheWhole(e *ReadError) bool {
	return slices.Contains([]string{"it is empty", "this is neither a plan nor GeoJSON", "it does not say what it is"}, e.What)
}
