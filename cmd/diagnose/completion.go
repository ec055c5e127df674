package main

import (
	"strings"

	"github.com/spf13/cobra"
)

func (a *app) completionCommand() *cobra.Command {
	shells := []string{"bash", "zsh", "fish", "powershell"}
	return &cobra.Command{
		Use:     "completion SHELL",
		GroupID: groupProgram,
		Short:   "write the completion script for a shell",
		Long: paragraphs("completion writes a script that lets the Tab key complete commands, flags, ids of the knowledge and sheets, for " +
			strings.Join(shells, ", ") + "."),
		Example: example(
			"source <(diagnose completion bash)         # for this shell",
			"diagnose completion fish > ~/.config/fish/completions/diagnose.fish"),
		Args:      needs(1, 1, "name a shell: "+strings.Join(shells, ", ")),
		ValidArgs: shells,
		RunE: func(cmd *cobra.Command, args []string) error {
			root := cmd.Root()
			switch args[0] {
			case "bash":
				return root.GenBashCompletionV2(a.out, true)
			case "zsh":
				return root.GenZshCompletion(a.out)
			case "fish":
				return root.GenFishCompletion(a.out, true)
			case "powershell":
				return root.GenPowerShellCompletionWithDesc(a.out)
			}
			return usage("the shells are "+strings.Join(shells, ", "), "completion: %q: no such shell", args[0])
		},
	}
}
