package rules

import (
	"os"
	"strings"
	"testing"

	"diagnose.example/symptoms"
)

// TestPacksFresh proves that the embedded form is that of the packs; -update rewrites it.
func TestPacksFresh(t *testing.T) {
	v, err := symptoms.Default()
	if err != nil {
		t.Fatal(err)
	}
	s, err := Load(v, packFiles(t))
	if err != nil {
		t.Fatalf("Load(packs):\n%v", err)
	}
	got := fastForm(s)
	if *update {
		if err := os.WriteFile("packs.lines", []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if got != embedded {
		t.Errorf("packs.lines is not what packs/*.yaml say (-embedded +packs); run go test ./rules -update\n%s", clipLines(diff(embedded, got), 40))
	}
}

func clipLines(s string, n int) string {
	lines := strings.SplitAfterN(s, "\n", n+1)
	return strings.Join(lines[:min(n, len(lines))], "")
}

// TestFastForm reads the written form back and writes it again; every field of every record kind is in it.
func TestFastForm(t *testing.T) {
	s := flooding(t)
	text := fastForm(s)
	back, err := restore(s.Vocabulary, text)
	if err != nil {
		t.Fatal(err)
	}
	if again := fastForm(back); again != text {
		t.Errorf("read and written again it differs:\n%s", diff(text, again))
	}
	if len(back.index) != len(s.index) {
		t.Errorf("index has %d records; want %d", len(back.index), len(s.index))
	}
	for i, r := range back.Rules {
		want := s.Rules[i]
		if r.Simple != want.Simple || r.Finding != want.Finding || len(r.evidence) != len(want.evidence) {
			t.Errorf("%s: finding %v %v; want %v %v", r.ID, r.Simple, r.Finding, want.Simple, want.Finding)
		}
		if err := back.RunExamples(r); err != nil {
			t.Errorf("RunExamples(%s) after reading = %v", r.ID, err)
		}
	}
	if got, want := lintText(back.Lint()), lintText(s.Lint()); got != want {
		t.Errorf("Lint after reading:\n%s", diff(want, got))
	}
}

// TestFastFormText is about texts that would break a form of one value a line.
func TestFastFormText(t *testing.T) {
	for _, text := range []string{"", "\n", `\n`, `\\n`, "a\\\nb", "\\", "end\n"} {
		w := &codec{out: &strings.Builder{}}
		w.text(&text)
		got := "before"
		r := &codec{rest: w.out.String()}
		r.text(&got)
		if got != text || r.rest != "" || r.err != nil {
			t.Errorf("%q is read as %q, rest %q, %v", text, got, r.rest, r.err)
		}
	}
}

// TestRestoreBroken cuts the form off at every line: each must be an error, none a panic.
func TestRestoreBroken(t *testing.T) {
	s := flooding(t)
	lines := strings.SplitAfter(fastForm(s), "\n")
	for n := range len(lines) - 1 {
		if _, err := restore(s.Vocabulary, strings.Join(lines[:n], "")); err == nil {
			t.Fatalf("restore of the first %d lines: no error", n)
		}
	}
	if _, err := restore(s.Vocabulary, strings.Join(lines, "")+"more\n"); err == nil {
		t.Error("restore with a line more: no error")
	}
}

func BenchmarkDefault(b *testing.B) {
	for b.Loop() {
		if _, err := Default(); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkLoad compares the two forms of the same packs, without the vocabulary.
func BenchmarkLoad(b *testing.B) {
	v, err := symptoms.Default()
	if err != nil {
		b.Fatal(err)
	}
	files := packFiles(b)
	b.Run("yaml", func(b *testing.B) {
		for b.Loop() {
			if _, err := Load(v, files); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("fast", func(b *testing.B) {
		for b.Loop() {
			if _, err := restore(v, embedded); err != nil {
				b.Fatal(err)
			}
		}
	})
}
