package main

import (
	"io"
	"os"
)

func main() {
	collectAt(forOneSheet)
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// run executes one command line and returns the exit status: 0 done, 1 error, 2 wrong use, 3 lint findings. Everything it
// writes goes to the two writers.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	a := newApp(stdin, stdout, stderr)
	root := a.root()
	root.SetArgs(args)
	return a.finish(root.Execute())
}
