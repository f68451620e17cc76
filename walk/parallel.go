package walk

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// parallel calls do(0) ... do(n-1) on as many threads as there are
// processors. Each call writes to its own place only, so the result does not
// depend on their number.
func parallel(n int, do func(int)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				do(i)
			}
		})
	}
	wg.Wait()
}
