package geometry

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/encoding/wkt"
)

// The check of a site of 2 000 beds and 600 habitats at three ranges, beside testdata/geos/bench.c, the same work by GEOS
// in C, in the same run on one core each. Ours does more: it also finds each bed's deepest point, which GEOS cannot.
// geos/ours says how many times as long GEOS takes.
func BenchmarkBesideGEOS(b *testing.B) {
	program := filepath.Join(b.TempDir(), "bench")
	if out, err := exec.Command("cc", "-O2", "-o", program, "testdata/geos/bench.c", "-lgeos_c").CombinedOutput(); err != nil {
		b.Skipf("GEOS for C is not here (apt-get install gcc libgeos-dev): %v %s", err, out)
	}
	ranges := []float64{3, 10, 30}
	for _, size := range [][2]int{{2000, 600}, {10_000, 3000}} {
		b.Run(fmt.Sprintf("%d beds", size[0]), func(b *testing.B) {
			beds, habitats := benchSite(size[0], size[1])
			var site bytes.Buffer
			for kind, shapes := range map[string][]orb.Geometry{"B ": beds, "H ": habitats} {
				for _, g := range shapes {
					site.WriteString(kind + wkt.MarshalString(g) + "\n")
				}
			}
			path := filepath.Join(b.TempDir(), "site.txt")
			if err := os.WriteFile(path, site.Bytes(), 0o600); err != nil {
				b.Fatal(err)
			}
			args := []string{path}
			for _, r := range ranges {
				args = append(args, fmt.Sprint(r))
			}
			out, err := exec.Command(program, args...).Output()
			if err != nil {
				b.Fatal(err)
			}
			var seconds float64
			var want, got [4]float64
			if _, err := fmt.Sscan(string(out), &seconds, &want[0], &want[1], &want[2], &want[3]); err != nil {
				b.Fatalf("%q: %v", out, err)
			}
			b.ReportAllocs()
			start := time.Now()
			for b.Loop() {
				got = [4]float64{}
				s := NewSites(habitats)
				for _, bed := range beds {
					got[0] += s.Nearest(bed).Metres
					s.Farthest(bed)
					for k, r := range ranges {
						got[k+1] += s.AreaWithin(bed, r)
					}
				}
			}
			ours := time.Since(start).Seconds() / float64(b.N)
			for k := range want {
				if math.Abs(got[k]-want[k]) > 0.001*want[k] {
					b.Errorf("measure %d: %v, GEOS has %v", k, got[k], want[k])
				}
			}
			b.ReportMetric(seconds*1000, "geos-ms")
			b.ReportMetric(ours*1000, "ours-ms")
			b.ReportMetric(seconds/ours, "geos/ours")
		})
	}
}

// A field of a million cells beside scipy's exact distance transform of the same raster (testdata/geos/edt.py), in the
// same run. The transform measures to the centres of the cells that habitats cover, ours to the habitats themselves, so
// the two differ by up to most of a cell. scipy uses one core, Field all; edt/ours says how many times as long scipy
// takes.
func BenchmarkFieldBesideTransform(b *testing.B) {
	const python, side = "/usr/bin/python3", 1000
	if exec.Command(python, "-c", "import scipy.ndimage").Run() != nil {
		b.Skip("scipy is not here: apt-get install python3-scipy")
	}
	_, habitats := benchSite(2000, 600)
	s := NewSites(habitats)
	out, mask := make([]float32, side*side), make([]byte, side*side)
	box := orb.Bound{Max: orb.Point{500, 500}}
	b.ReportAllocs()
	start := time.Now()
	for b.Loop() {
		if err := s.Field(context.Background(), box, side, side, out); err != nil {
			b.Fatal(err)
		}
	}
	ours := time.Since(start).Seconds() / float64(b.N)
	most := 0.0
	for i, d := range out {
		if d > 0 {
			mask[i] = 1
		}
		most = max(most, float64(d))
	}
	run := exec.Command(python, "testdata/geos/edt.py", fmt.Sprint(side))
	run.Stdin = bytes.NewReader(mask)
	answer, err := run.Output()
	if err != nil {
		b.Fatal(err)
	}
	var seconds, cells float64
	if _, err := fmt.Sscan(string(answer), &seconds, &cells); err != nil {
		b.Fatalf("%q: %v", answer, err)
	}
	if cell := 500.0 / side; math.Abs(cells*cell-most) > cell {
		b.Errorf("the farthest cell is %v m away, by scipy %v m", most, cells*cell)
	}
	b.ReportMetric(seconds*1000, "edt-ms")
	b.ReportMetric(ours*1000, "ours-ms")
	b.ReportMetric(seconds/ours, "edt/ours")
}
