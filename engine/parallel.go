package engine

import (
	"errors"
	"runtime"
	"sync"
	"sync/atomic"
)

// inParallel calls f for 0 to n-1 on all processors and returns the errors joined in that order. The results do not depend on
// how many processors there are: each call writes only what is its own.
func inParallel(n int, f func(i int) error) error {
	errs := make([]error, n)
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				errs[i] = f(i)
			}
		})
	}
	wg.Wait()
	return errors.Join(errs...)
}
