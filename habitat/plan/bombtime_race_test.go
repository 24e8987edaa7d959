//go:build race

package plan

import "time"

// mostBombTime is longer with the race detector, by which reading takes ten times as long and more.
const mostBombTime = 2 * time.Minute
