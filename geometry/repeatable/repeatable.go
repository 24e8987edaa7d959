// Package repeatable makes property tests draw the same cases on every run, so that a change is judged by what it changed.
// Import it for its effect in tests that use pgregory.net/rapid. To hunt with fresh cases, set HEDGEREACH_LONG in the
// environment, or give -rapid.seed.
package repeatable

import (
	"flag"
	"os"

	_ "pgregory.net/rapid" // registers the flag
)

func init() {
	if os.Getenv("HEDGEREACH_LONG") == "" {
		if err := flag.Set("rapid.seed", "1"); err != nil {
			panic(err)
		}
	}
}
