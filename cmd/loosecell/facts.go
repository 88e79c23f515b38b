package main

import (
	"bytes"
	"strings"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/listing"
	"loosecell/rules/facts"
)

func (p *program) facts() *cobra.Command {
	var schema bool
	var how *format
	cmd := &cobra.Command{
		Use:   "facts [NAME...]",
		Short: "List the facts a case can state, or tell all of one",
		Long: `List every fact a case or shop file can state, with its values from least to
most hazardous where they are ordered. With names of facts or of groups
(battery, bench), tell all of them: the question, how to find out without harm,
what stands in, what is taken as so where nobody says.

--schema prints a JSON Schema with which an editor completes and checks a case.`,
		Example: `  loosecell facts battery.swelling
  loosecell facts bench
  loosecell facts --schema > case.schema.json`,
		RunE: func(_ *cobra.Command, names []string) error {
			cat := facts.Shipped()
			if schema {
				if len(names) > 0 {
					return badf("--schema is of the whole catalogue; leave out %s", strings.Join(names, ", "))
				}
				return p.print(facts.JSONSchema(cat))
			}
			chosen, err := chooseFacts(cat, names)
			if err != nil {
				return err
			}
			if how.json() {
				return p.printJSON(listing.Facts(chosen))
			}
			var out bytes.Buffer
			if err := listing.WriteFacts(&out, chosen, len(names) > 0); err != nil {
				return err
			}
			return p.print(out.Bytes())
		},
	}
	cmd.Flags().BoolVar(&schema, "schema", false, "print a JSON Schema of case files")
	how = formatFlag(cmd, "text", "json")
	return cmd
}

// chooseFacts finds facts by name, or all of a group; without names it is
// every fact a file may state.
func chooseFacts(cat *facts.Catalogue, names []string) ([]*facts.Fact, error) {
	var chosen []*facts.Fact
	if len(names) == 0 {
		for i := range cat.Facts {
			if cat.Facts[i].Statable() {
				chosen = append(chosen, &cat.Facts[i])
			}
		}
		return chosen, nil
	}
	for _, name := range names {
		if fact, ok := cat.Lookup(name); ok {
			chosen = append(chosen, fact)
			continue
		}
		group := cat.Of(name)
		if len(group) == 0 {
			return nil, badf("there is no fact %q%s", name, nearest(cat.Nearest(name)))
		}
		chosen = append(chosen, group...)
	}
	return chosen, nil
}

func nearest(name string) string {
	if name == "" {
		return ""
	}
	return "; did you mean " + name + "?"
}
