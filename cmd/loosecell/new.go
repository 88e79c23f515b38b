package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"github.com/spf13/cobra"

	"loosecell/rules/facts"
)

func (p *program) newCase() *cobra.Command {
	var output string
	cmd := &cobra.Command{
		Use:   "new KIND",
		Short: "Write a commented starter file for a case or a shop",
		Long: `Write a commented file to fill in: a case for one kind of device (phone,
tablet, laptop, and so on), or a shop file with what holds for every case. It
is valid as it stands; an existing file is never overwritten.`,
		Example: `  loosecell new shop -o bench.yaml
  loosecell new phone -o torn-tab.yaml`,
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			data, err := facts.Starter(facts.Shipped(), args[0])
			if err != nil {
				return badInput{err}
			}
			if output == "" || output == "-" {
				return p.print(data)
			}
			return writeNew(output, data)
		},
	}
	cmd.Flags().StringVarP(&output, "output", "o", "", "`FILE` to write instead of standard output")
	return cmd
}

// writeNew writes a file that must not be there yet.
func writeNew(name string, data []byte) error {
	file, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return badf("%s is there already; choose another name or remove it first", name)
	}
	if err != nil {
		return badInput{fmt.Errorf("cannot write the starter file: %w", err)}
	}
	_, err = file.Write(data)
	return errors.Join(err, file.Close())
}
