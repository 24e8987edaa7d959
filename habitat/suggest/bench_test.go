package suggest

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"
)

// The sample garden is to be proven within a second.
func BenchmarkSampleRefuge(b *testing.B)  { benchSample(b, "") }
func BenchmarkSampleBeetles(b *testing.B) { benchSample(b, "ground-beetles") }
func BenchmarkSampleWasps(b *testing.B)   { benchSample(b, "aphid-parasitoids") }

func benchSample(b *testing.B, guild string) {
	p, c := sample(b)
	k := Ask{}
	if guild != "" {
		k.Guilds = []string{guild}
	}
	for b.Loop() {
		q, err := Where(context.Background(), p, c, k, nil)
		if err != nil || !q.Proven {
			b.Fatal(err, q)
		}
	}
}

// BenchmarkHundredBeds asks for a gap of 2 % with 100 beds and about 400 cells, within 5 s, the first proposal within 0.3 s.
func BenchmarkHundredBeds(b *testing.B) {
	_, c := sample(b)
	p := garden(rand.New(rand.NewPCG(13, 14)), 100)
	var first time.Duration
	for b.Loop() {
		begin := time.Now()
		first = 0
		q, err := Where(context.Background(), p, c, Ask{RangeM: 12, Gap: 0.02, WidthM: 1}, func(g Progress) {
			if first == 0 && g.Best != nil {
				first = time.Since(begin)
			}
		})
		if err != nil || q.Gap > 0.02 {
			b.Fatal(err, q)
		}
	}
	b.ReportMetric(first.Seconds(), "s-to-first")
}
