package main

import (
	"errors"
	"flag"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "rewrite golden files")

// TestMain makes the test binary the command: scripts and examples run it under the name diagnose.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"diagnose": main})
}

// TestScripts runs the scripts of testdata/script. Each finds the sheets of testdata/sheets in the folder sheets, no
// configuration, and no terminal. Besides testscript's own commands there is
//
//	exits STATUS COMMAND...
//
// which wants the command to end with exactly this exit status.
func TestScripts(t *testing.T) {
	if testing.Short() {
		t.Skip("runs many commands as processes of their own")
	}
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join(root, "testdata", "script"),
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Cmds:                map[string]func(*testscript.TestScript, bool, []string){"exits": exits},
		Setup: func(env *testscript.Env) error {
			env.Setenv("XDG_CONFIG_HOME", filepath.Join(env.WorkDir, "config"))
			return os.CopyFS(filepath.Join(env.WorkDir, "sheets"), os.DirFS(filepath.Join(root, "testdata", "sheets")))
		},
	})
}

// TestScriptsExist guards against an empty folder, which would pass.
func TestScriptsExist(t *testing.T) {
	scripts, err := fs.Glob(os.DirFS(root), "testdata/script/*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	if len(scripts) < 10 {
		t.Errorf("%d scripts in testdata/script; want 10 at least", len(scripts))
	}
}

func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits STATUS COMMAND...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	status := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		status = exit.ExitCode()
	}
	if status != want {
		ts.Fatalf("exit status %d; want %d", status, want)
	}
}
