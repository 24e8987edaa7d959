//go:build !race

package plan

import "time"

// mostBombTime is how long a hostile file may take before it is refused, on a busy machine; alone it takes a tenth.
const mostBombTime = 20 * time.Second
