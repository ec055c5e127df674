//go:build unix

package main

import (
	"bufio"
	"bytes"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"diagnose.example/rules"
	"diagnose.example/symptoms"
)

var (
	sheetCount = flag.Int("sheets", 300, "how many sheets TestManySheets makes")
	sheetFlags = flag.String("sheetflags", "--format jsonl --ranking", "how TestManySheets has them ranked")
)

// TestManySheets ranks a folder of generated sheets in a process of its own, and a quarter of them in another: every sheet has its
// line, in order, and four times as many take no more memory. It prints what a large run is measured with:
//
//	go test ./cmd/diagnose -run TestManySheets -v -sheets 100000 -timeout 3h
func TestManySheets(t *testing.T) {
	if testing.Short() {
		t.Skip("ranks hundreds of sheets")
	}
	set, err := rules.Default()
	if err != nil {
		t.Fatal(err)
	}
	dirs := []string{t.TempDir(), t.TempDir()}
	g := generator{rng: rand.New(rand.NewPCG(10, 17)), vocabulary: set.Vocabulary}
	for i := range *sheetCount {
		sheet := g.sheet(i)
		name := fmt.Sprintf("%06d.yaml", i)
		writeFile(t, filepath.Join(dirs[1], name), sheet)
		if i < *sheetCount/4 {
			writeFile(t, filepath.Join(dirs[0], name), sheet)
		}
	}
	few, many := rankFolder(t, dirs[0], *sheetCount/4), rankFolder(t, dirs[1], *sheetCount)
	// What grows is the list of names. The collector's heap comes and goes by some megabytes.
	if limit := few + 30e6 + 200*float64(*sheetCount); many > limit {
		t.Errorf("%d sheets took %.0f MB, a quarter of them %.0f MB; want at most %.0f MB", *sheetCount, many/1e6, few/1e6, limit/1e6)
	}
}

// rankFolder has the command rank a folder and returns the most memory it had, in bytes.
func rankFolder(t *testing.T, dir string, sheets int) float64 {
	t.Helper()
	cmd := exec.Command("diagnose", append([]string{"triage", dir}, strings.Fields(*sheetFlags)...)...)
	cmd.Env = append(os.Environ(), "XDG_CONFIG_HOME="+t.TempDir())
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	stdout, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	begun := time.Now()
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := 0
	in := bufio.NewScanner(stdout)
	in.Buffer(nil, 16<<20)
	for in.Scan() {
		if want := fmt.Sprintf(`{"sheet":"%s/%06d.yaml",`, dir, lines); !strings.HasPrefix(in.Text(), want) {
			t.Fatalf("line %d begins %.80q; want %q", lines, in.Text(), want)
		}
		lines++
	}
	if err := cmd.Wait(); err != nil || lines != sheets || stderr.Len() > 0 {
		t.Errorf("%d lines, %v, %q; want %d and no error", lines, err, stderr.String(), sheets)
	}
	took := time.Since(begun)
	usage := cmd.ProcessState.SysUsage().(*syscall.Rusage)
	memory := float64(usage.Maxrss)
	if runtime.GOOS == "linux" {
		memory *= 1024 // getrusage(2): in kilobytes, elsewhere in bytes
	}
	t.Logf("%d sheets: %.1f s, %.0f a second; %.1f ms of processor each; at most %.0f MB",
		sheets, took.Seconds(), float64(sheets)/took.Seconds(),
		1e3*(cmd.ProcessState.UserTime()+cmd.ProcessState.SystemTime()).Seconds()/float64(sheets), memory/1e6)
	return memory
}

// generator writes intake sheets: a machine of 1 to 4 carburetors and 3 to 12 answers, three of four of them normal.
type generator struct {
	rng        *rand.Rand
	vocabulary *symptoms.Vocabulary
}

func (g generator) sheet(number int) string {
	var b strings.Builder
	k := 1 + g.rng.IntN(4)
	fmt.Fprintf(&b, "sheet: 1\njob: \"%d\"\nmachine: {cylinders: %d, carburetors: %d}\n", number, k, k)
	var observed []*symptoms.Observation
	for _, o := range g.vocabulary.All() {
		if o.Where == symptoms.Observed && o.Around == "" {
			observed = append(observed, o)
		}
	}
	whole, at := "", make([]string, k)
	for _, i := range g.rng.Perm(len(observed))[:3+g.rng.IntN(10)] {
		o := observed[i]
		line := fmt.Sprintf("%s: %s", o.ID, g.answer(o))
		if o.About == symptoms.WholeMachine || k == 1 {
			whole += "  " + line + "\n"
			continue
		}
		at[g.rng.IntN(k)] += "    " + line + "\n"
	}
	if whole != "" {
		b.WriteString("observed:\n" + whole)
	}
	places := ""
	for i, lines := range at {
		if lines != "" {
			places += fmt.Sprintf("  \"%d\":\n%s", i+1, lines)
		}
	}
	if places != "" {
		b.WriteString("at:\n" + places)
	}
	return b.String()
}

func (g generator) answer(o *symptoms.Observation) string {
	if normal := o.Normal; normal != "" && g.rng.IntN(4) > 0 {
		return quoted(normal, o)
	}
	switch o.Kind {
	case symptoms.YesNo:
		return quoted([]string{"yes", "no"}[g.rng.IntN(2)], o)
	case symptoms.Choice:
		return quoted(o.Words[g.rng.IntN(len(o.Words))].Word, o)
	}
	if len(o.Words) == 0 { // a number that no word is made of is read by others
		return fmt.Sprintf("\"%.4g %s\"", o.Range[0]+g.rng.Float64()*(o.Range[1]-o.Range[0]), o.Unit)
	}
	return quoted(o.Words[g.rng.IntN(len(o.Words))].Word, o)
}

// quoted is a word as an answer: in brackets where several may hold.
func quoted(word string, o *symptoms.Observation) string {
	if o.Several {
		return fmt.Sprintf("[%q]", word)
	}
	return fmt.Sprintf("%q", word)
}
