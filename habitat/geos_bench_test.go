package habitat

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"github.com/paulmach/orb/encoding/wkt"

	"hedgereach/habitat/plan"
)

// The whole assessment of 2 000 beds and 600 refuges at three ranges beside GEOS in C (geometry/testdata/geos/bench.c), on the same
// site in the same run. GEOS finds the least distance to any refuge and the area within each range; ours finds these and
// the deepest point, for any refuge and for every guild at both ends of its band, flowering cover about each bed and on the site,
// and the findings. GEOS runs on one core, so ours does too in the first run; in the second it uses all that are there. geos/ours
// says how many times as long GEOS takes.
func BenchmarkAssessBesideGEOS(b *testing.B) {
	program := filepath.Join(b.TempDir(), "bench")
	source := filepath.Join("..", "geometry", "testdata", "geos", "bench.c")
	if out, err := exec.Command("cc", "-O2", "-o", program, source, "-lgeos_c").CombinedOutput(); err != nil {
		b.Skipf("GEOS for C is not here (apt-get install gcc libgeos-dev): %v %s", err, out)
	}
	c := catalogue(b)
	p := market(2000, 600)
	var site bytes.Buffer
	yes := true
	for _, f := range p.Features {
		switch {
		case f.Kind == plan.Bed:
			site.WriteString("B " + wkt.MarshalString(f.Geometry) + "\n")
		case f.IsHabitat():
			f.Refuge = &yes
			site.WriteString("H " + wkt.MarshalString(f.Geometry) + "\n")
		}
	}
	path := filepath.Join(b.TempDir(), "site.txt")
	if err := os.WriteFile(path, site.Bytes(), 0o600); err != nil {
		b.Fatal(err)
	}
	ranges := []float64{10, 30, 60}
	args := []string{path}
	for _, r := range ranges {
		args = append(args, fmt.Sprint(r))
	}
	for _, cores := range []int{1, runtime.NumCPU()} {
		b.Run(fmt.Sprintf("%d cores", cores), func(b *testing.B) {
			out, err := exec.Command(program, args...).Output()
			if err != nil {
				b.Fatal(err)
			}
			var seconds float64
			var want, got [4]float64
			if _, err := fmt.Sscan(string(out), &seconds, &want[0], &want[1], &want[2], &want[3]); err != nil {
				b.Fatalf("%q: %v", out, err)
			}
			defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
			b.ReportAllocs()
			start := time.Now()
			var a *Assessment
			for b.Loop() {
				a = Assess(p, c, Options{RangesM: ranges})
			}
			ours := time.Since(start).Seconds() / float64(b.N)
			for _, bed := range a.Beds {
				got[0] += bed.Refuge.NearestM
				for k, r := range bed.Reach {
					got[k+1] += r.WithinFraction * bed.AreaM2
				}
			}
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
