package main

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func (a *app) versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		GroupID: groupProgram,
		Short:   "write the version of the program and the size of its knowledge",
		Long: paragraphs("version writes one line about the program and one about the knowledge in force, extra packs included. Put both " +
			"into a report of a mistake."),
		Example: example("diagnose version"),
		Args:    needs(0, 0, "diagnose version stands alone"),
		RunE: func(cmd *cobra.Command, _ []string) error {
			_, k, err := a.prepare(cmd.Flags())
			if err != nil {
				return err
			}
			fmt.Fprintf(a.out, "diagnose %s (%s, %s/%s)\n", buildVersion(), runtime.Version(), runtime.GOOS, runtime.GOARCH)
			fmt.Fprintf(a.out, "knowledge: %d causes, %d effects, %d rules, %d checks, %d repairs, %d sources\n",
				len(k.Causes), len(k.Effects), len(k.Rules), len(k.Checks), len(k.Repairs), len(k.Sources))
			return nil
		},
	}
}

// buildVersion is the version that the Go tool has put into the program.
func buildVersion() string {
	info, ok := debug.ReadBuildInfo()
	if !ok || info.Main.Version == "" {
		return "(devel)"
	}
	return info.Main.Version
}
