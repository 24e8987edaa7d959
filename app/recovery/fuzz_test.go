package recovery

import (
	"bytes"
	"fmt"
	"hash/crc32"
	"testing"

	"hedgereach/habitat/plan"
)

// Whatever lies in a copy's file is a whole copy or an error, without a panic; and what is changed by a single bit is no copy.
func FuzzCopy(f *testing.F) {
	body, err := plan.Marshal(large())
	if err != nil {
		f.Fatal(err)
	}
	small, err := plan.Marshal(plan.New("Small"))
	if err != nil {
		f.Fatal(err)
	}
	for _, b := range [][]byte{body, small, nil, []byte("{}")} {
		f.Add([]byte(fmt.Sprintf(`{"hedgereach recovery":1,"path":"/garden/a.hedgereach","kept":"2026-04-16T07:00:00Z","pid":1,"sum":%d}`+"\n%s",
			crc32.ChecksumIEEE(b), b)), 3)
	}
	f.Add([]byte("\n"), 0)
	f.Fuzz(func(t *testing.T, data []byte, bit int) {
		_, body, err := parse(data)
		if err != nil {
			return
		}
		if p, err := plan.Read(bytes.NewReader(body), "copy"); err == nil {
			if _, err := plan.Marshal(p); err != nil {
				t.Fatalf("it is offered and cannot be saved: %v", err)
			}
		}
		if len(body) == 0 {
			return
		}
		torn := bytes.Clone(data)
		n := (bit%(8*len(body)) + 8*len(body)) % (8 * len(body))
		torn[len(data)-len(body)+n/8] ^= 1 << (n % 8)
		if _, _, err := parse(torn); err == nil {
			t.Fatalf("bit %d has fallen over, and nobody sees it", n)
		}
	})
}
