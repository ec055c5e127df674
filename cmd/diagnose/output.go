package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"diagnose.example/report"
)

// formFor is the wanted form: that of --format, or else the one that the name of the file calls for, where it is allowed.
func formFor(cmd *cobra.Command, output string, allowed ...string) (string, error) {
	form, err := chosen(cmd, "format", allowed...)
	if err != nil || cmd.Flags().Changed("format") {
		return form, err
	}
	byName := map[string]string{".pdf": "pdf", ".svg": "svg", ".md": "markdown", ".json": "json"}
	if named := byName[strings.ToLower(filepath.Ext(output))]; slices.Contains(allowed, named) {
		return named, nil
	}
	return form, nil
}

// withoutFormat returns the flags without --format. The setting of that name is triage's, which has forms of its own.
func withoutFormat(flags *pflag.FlagSet) *pflag.FlagSet {
	others := pflag.NewFlagSet("others", pflag.ContinueOnError)
	flags.VisitAll(func(flag *pflag.Flag) {
		if flag.Name != "format" {
			others.AddFlag(flag)
		}
	})
	return others
}

// deliver has a result written to standard output, or whole into a file that is not there yet. What goes to a file has nothing to do
// with the screen: it has neither its size nor its colours.
func (a *app) deliver(output string, s *settings, write func(io.Writer, report.Style) error) error {
	style := a.style(s)
	if output != "" {
		style.Width, style.Height, style.Colour = s.width, 0, report.None
	}
	var b bytes.Buffer
	if err := write(&b, style); err != nil {
		return err
	}
	if output != "" {
		return writeNew(output, b.Bytes())
	}
	_, err := a.out.Write(b.Bytes())
	return err
}

// writeNew writes a file that is not there yet, so that no drawing or sheet is lost to a slip of the Tab key.
func writeNew(path string, data []byte) error {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if errors.Is(err, fs.ErrExist) {
		return trouble(fmt.Errorf("%s: it is there already", path), "name another file, or take this one away first")
	}
	if err != nil {
		return pathError(err)
	}
	_, err = file.Write(data)
	if closeErr := file.Close(); err == nil {
		err = closeErr
	}
	if err != nil {
		return pathError(err)
	}
	return nil
}
