package main

import (
	"os"
	"runtime/debug"
)

// A command for one sheet lives for some hundredths of a second, and a tenth of that went into collecting garbage of a heap of a few
// megabytes. So it starts with a heap that may grow more between collections (some 20 MB more at four carburetors); a long run over many
// sheets goes back to what is usual. Whoever sets GOGC has it as set.
const (
	forOneSheet   = 400
	forManySheets = 100
	manySheets    = 20
)

func collectAt(percent int) {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(percent)
	}
}
