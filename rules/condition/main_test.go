package condition_test

import (
	"flag"
	"fmt"
	"os"
	"testing"
)

// TestMain gives the property tests a fixed seed and more than rapid's 100 draws,
// unless the command line says otherwise.
func TestMain(m *testing.M) {
	for name, value := range map[string]string{"rapid.seed": "1", "rapid.checks": "2000", "rapid.nofailfile": "true"} {
		if err := flag.Set(name, value); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
	os.Exit(m.Run())
}
