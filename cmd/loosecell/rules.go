package main

import (
	"errors"

	"github.com/spf13/cobra"
)

func (p *program) rules() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "rules",
		Short: "List, show or check the rules behind the answers",
		Example: `  loosecell rules list --topic heat
  loosecell rules show heat-wants-low-charge
  loosecell rules check our-rules.yaml`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return errors.New("rules knows list, show and check")
			}
			return errors.New("say what to do with the rules: list, show or check")
		},
		Run: func(*cobra.Command, []string) {},
	}
	cmd.AddCommand(p.rulesList(), p.rulesShow(), p.rulesCheck())
	return cmd
}
