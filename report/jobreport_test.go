package report

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"

	"diagnose.example/engine"
	"diagnose.example/rules"
)

// wholeJob is a job with all its parts, from the invented knowledge of testdata.
func wholeJob(t *testing.T, k *rules.Set) *Job {
	t.Helper()
	j := &Job{Quote: quoted(t, k, quotedSheet, fmt.Sprintf(quotedPrices, "CZK", "cs-CZ", allParts))}
	sheet := j.Quote.Diagnosis.Sheet
	var err error
	if j.Advice, err = engine.NextStep(k, sheet, engine.StepOptions{Top: 2}); err != nil {
		t.Fatal(err)
	}
	if j.Chain, err = ChainOfDiagnosis(j.Quote.Diagnosis, k, 1); err != nil {
		t.Fatal(err)
	}
	return j
}

func TestJobGolden(t *testing.T) {
	k := knowledge(t)
	j := wholeJob(t, k)
	golden(t, "job.md", written(t, func(w io.Writer) error { return JobMarkdown(w, j, k, Style{}) }))
}

// TestJobOnPaper wants every part of a report on the pages, and the same pages every time.
func TestJobOnPaper(t *testing.T) {
	k := knowledge(t)
	j := wholeJob(t, k)
	for _, paper := range []Paper{A4, Letter} {
		pages, file := readBack(t, func(w io.Writer) error { return JobPDF(w, j, k, paper) })
		whole := squeezed(strings.Join(pages, " "))
		for _, want := range []string{"Job report: Job 1042", "Dílna Jiří Dvořák", "The sheet", "Likely causes", "What speaks for it", "What to do next",
			chainHeading, "Total for the likely repair", "60,00 Kč/h", "Cautions for the work", "Sources", localCodes} {
			if !strings.Contains(whole, want) {
				t.Errorf("%s: %q is not on the pages:\n%s", paper.Name, want, whole)
			}
		}
		numbered(t, pages)
		if again := written(t, func(w io.Writer) error { return JobPDF(w, j, k, paper) }); !bytes.Equal(file, again) {
			t.Errorf("%s: two runs differ", paper.Name)
		}
	}
}

// TestJobSources wants each number of a source that the text names in the list at the end, and no source there that no text names.
func TestJobSources(t *testing.T) {
	k := knowledge(t)
	page := string(written(t, func(w io.Writer) error { return JobMarkdown(w, wholeJob(t, k), k, Style{}) }))
	body, list, ok := strings.Cut(page, "## Sources")
	if !ok {
		t.Fatalf("no list of sources in\n%s", page)
	}
	listed := 0
	for n := 1; strings.Contains(list, fmt.Sprintf("\\[%d\\] ", n)); n++ {
		listed++
		if !strings.Contains(body, fmt.Sprintf("[%d", n)) && !strings.Contains(body, fmt.Sprintf("; %d,", n)) {
			t.Errorf("source %d is listed and not cited", n)
		}
	}
	if listed == 0 || strings.Contains(body, fmt.Sprintf("[%d,", listed+1)) {
		t.Errorf("%d sources are listed; the text cites more", listed)
	}
}

// TestJobListsSourcesOnce wants one list of sources for all parts, the picture included, and its numbers in the picture.
func TestJobListsSourcesOnce(t *testing.T) {
	k := knowledge(t)
	j := wholeJob(t, k)
	pages, _ := readBack(t, func(w io.Writer) error { return JobPDF(w, j, k, A4) })
	forms := map[string]string{
		"Markdown": string(written(t, func(w io.Writer) error { return JobMarkdown(w, j, k, Style{}) })),
		"PDF":      squeezed(strings.Join(pages, " ")),
	}
	for name, got := range forms {
		for _, title := range []string{"A handbook invented for these tests", "Another invented book"} {
			if n := strings.Count(got, title); n != 1 {
				t.Errorf("%s: source %q stands there %d times; want once:\n%s", name, title, n, got)
			}
		}
	}
	if want := "Sources are listed at the end. Here: [1] p. 12; par. 31g; [2] p. 31."; !strings.Contains(forms["PDF"], want) {
		t.Errorf("%q is not on the pages:\n%s", want, forms["PDF"])
	}
}

// TestJobLeavesOut wants a report without steps or chain whole for the rest.
func TestJobLeavesOut(t *testing.T) {
	k := knowledge(t)
	j := wholeJob(t, k)
	j.Advice, j.Chain = nil, nil
	got := string(written(t, func(w io.Writer) error { return JobMarkdown(w, j, k, Style{}) }))
	if strings.Contains(got, "What to do next") || strings.Contains(got, chainHeading) || !strings.Contains(got, "## Quote") {
		t.Errorf("JobMarkdown without steps and chain:\n%s", got)
	}
}
