package main

import (
	"errors"

	"github.com/spf13/cobra"
)

func (p *program) rules() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "rules",
		Short: "List, check, prove, compare the rules behind the answers",
		Example: `  loosecell rules list --topic heat
  loosecell rules show heat-wants-low-charge
  loosecell rules check our-rules.yaml
  loosecell rules prove our-rules.yaml`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return errors.New("rules knows list, show, check, prove, diff and cover")
			}
			return errors.New("say what to do with the rules: list, show, check, prove, diff or cover")
		},
		Run: func(*cobra.Command, []string) {},
	}
	cmd.AddCommand(p.rulesList(), p.rulesShow(), p.rulesCheck(), p.rulesProve(), p.rulesDiff(), p.rulesCover())
	return cmd
}
