package main

import (
	"errors"
	"fmt"
	"os"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

// man writes a page of the manual for every command.
func (p *program) man() *cobra.Command {
	var on string
	cmd := &cobra.Command{
		Use:   "man DIR",
		Short: "Write the pages of the manual",
		Long: `Write one page for every command into DIR, for man(1) to read: loosecell.1,
loosecell-advise.1 and so on. Pages that are there already are replaced.`,
		Example: `  mkdir -p ~/.local/share/man/man1
  loosecell man ~/.local/share/man/man1
  man loosecell-advise`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := checkDate(on); err != nil {
				return err
			}
			date := time.Now()
			if on != "" {
				date, _ = time.Parse(time.DateOnly, on)
			}
			info, err := os.Stat(args[0])
			switch {
			case err != nil:
				return badInput{unreadable(args[0], "the directory for the pages", err)}
			case !info.IsDir():
				return badf("%s is not a directory", args[0])
			}
			root := cmd.Root()
			root.DisableAutoGenTag = true
			err = doc.GenManTreeFromOpts(root, doc.GenManTreeOptions{
				Header: &doc.GenManHeader{Section: "1", Source: "loosecell", Manual: "loosecell manual", Date: &date},
				Path:   args[0], CommandSeparator: "-",
			})
			var denied *os.PathError
			if errors.As(err, &denied) {
				return badInput{fmt.Errorf("cannot write the pages: %w", err)}
			}
			return err
		},
	}
	cmd.Flags().StringVar(&on, "on", "", "`DATE` (2026-11-24) on the pages, instead of today")
	return cmd
}
