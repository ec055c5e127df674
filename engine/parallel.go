package engine

import (
	"cmp"
	"errors"
	"runtime"
	"sync"
	"sync/atomic"
)

// inParallel calls f for 0 to n-1 on all processors; see [Options.inParallel].
func inParallel(n int, f func(i int) error) error { return Options{}.inParallel(n, f) }

// inParallel calls f for 0 to n-1 on as many processors as the options say and returns the errors joined in that order. The
// results do not depend on how many there are: each call writes only what is its own.
func (o Options) inParallel(n int, f func(i int) error) error {
	errs := make([]error, n)
	if o.Processors == 1 {
		for i := range n {
			errs[i] = f(i)
		}
		return errors.Join(errs...)
	}
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(n, cmp.Or(o.Processors, runtime.GOMAXPROCS(0))) {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				errs[i] = f(i)
			}
		})
	}
	wg.Wait()
	return errors.Join(errs...)
}
