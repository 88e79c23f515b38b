package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"loosecell/rules/book"
)

func (p *program) rulesCheck() *cobra.Command {
	return &cobra.Command{
		Use:   "check FILE...",
		Short: "Check rule files of your own over the shipped rules",
		Long: `Read each FILE as rules of your own over the shipped ones and report everything
that is wrong with it, with file, line, column and the fix. Prints nothing but
"no problems" where all is well.`,
		Example: `  loosecell rules check our-rules.yaml`,
		Args:    cobra.MinimumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			files, err := p.ruleFiles(args)
			if err != nil {
				return err
			}
			var wrong []string
			for _, file := range files {
				if err := book.Check(file); err != nil {
					wrong = append(wrong, err.Error())
				}
			}
			if len(wrong) == 0 && len(files) > 1 {
				if _, err := book.With(files...); err != nil { // clashes between the files
					wrong = append(wrong, err.Error())
				}
			}
			if len(wrong) > 0 {
				return badInput{errors.New("the rules have errors:\n" + strings.Join(wrong, "\n"))}
			}
			return p.print(fmt.Appendf(nil, "%d checked: no problems\n", len(files)))
		},
	}
}
