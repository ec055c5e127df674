package main

import (
	"strings"
	"testing"
	"unicode/utf8"
)

// TestTopicsFit holds the pages of help to the width of a terminal, which they are written for line by line.
func TestTopicsFit(t *testing.T) {
	const columns = 80
	for _, topic := range topics() {
		t.Run(topic.Name(), func(t *testing.T) {
			for line := range strings.Lines(topic.Long) {
				if line = strings.TrimRight(line, "\n"); utf8.RuneCountInString(line) > columns {
					t.Errorf("help %s: line of %d columns; want at most %d: %q", topic.Name(), utf8.RuneCountInString(line), columns, line)
				}
			}
		})
	}
}

// TestBlankHelp holds the help of blank to the sheet that it writes: questions stand open, none is to be freed of a #.
func TestBlankHelp(t *testing.T) {
	sheet, _ := command(t, statusDone, "", "blank")
	help, _ := command(t, statusDone, "", "blank", "--help")
	if !strings.Contains(sheet, "\n  idle_report:") {
		t.Errorf("blank = %s; want idle_report: open", sheet)
	}
	if strings.Contains(help, "#") {
		t.Errorf("blank --help = %s; want no word of a #", help)
	}
}
