package main

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"testing"
)

// TestModuleTidy wants go.mod and go.sum to say just what the packages import.
func TestModuleTidy(t *testing.T) {
	if testing.Short() {
		t.Skip("asks the Go tool about every module")
	}
	cmd := exec.Command("go", "mod", "tidy", "-diff")
	cmd.Dir = root
	// Without the network: what is needed stands in the module cache of anyone who has tidied once, or the test says so.
	cmd.Env = append(os.Environ(), "GOPROXY=off", "GOFLAGS=-mod=mod")
	out, err := cmd.CombinedOutput()
	var exit *exec.ExitError
	switch {
	case err == nil:
	case errors.Is(err, exec.ErrNotFound):
		t.Skip("no go command in the path")
	case errors.As(err, &exit) && bytes.Contains(out, []byte("module lookup disabled by GOPROXY=off")):
		t.Skip("the module cache has not all test dependencies of the dependencies; .ci/run checks this with the network")
	default:
		t.Errorf("go mod tidy -diff: %v\n%s", err, out)
	}
}
