package main

import (
	"fmt"
	"runtime/debug"

	"github.com/spf13/cobra"

	"loosecell/rules/advice"
)

func (p *program) version() *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "Print the version of the program and of its answers",
		Example: "  loosecell version",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			return p.print(fmt.Appendf(nil, "loosecell %s\nanswers %s\n", buildVersion(), advice.Schema))
		},
	}
}

// buildVersion is the module version, or the commit the binary was built from.
func buildVersion() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "(unknown)"
	}
	if v := info.Main.Version; v != "" {
		return v
	}
	return "(built from a work tree)"
}
