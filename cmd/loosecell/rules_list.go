package main

import (
	"bytes"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"loosecell/cmd/loosecell/internal/listing"
	"loosecell/rules"
)

func (p *program) rulesList() *cobra.Command {
	var topic string
	var ruleFiles []string
	var how *format
	cmd := &cobra.Command{
		Use:   "list",
		Short: "List the rules by topic, a line or two each",
		Long: `List the shipped rules by topic, a line or two each; with --rules those of the
shop as well, marked as the shop's own.`,
		Example: `  loosecell rules list --topic heat
  loosecell rules list --rules our-rules.yaml`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			rulebook, err := p.allRules(ruleFiles)
			if err != nil {
				return err
			}
			chosen := rulebook.Rules()
			if topic != "" {
				chosen = ofTopic(rulebook, topic)
			}
			if len(chosen) == 0 {
				return badf("there is no topic %q; topics: %s", topic, strings.Join(ruleTopics(rulebook), ", "))
			}
			if how.json() {
				return p.printJSON(listing.Rules(chosen))
			}
			var out bytes.Buffer
			if err := listing.WriteRules(&out, chosen); err != nil {
				return err
			}
			return p.print(out.Bytes())
		},
	}
	cmd.Flags().StringVar(&topic, "topic", "", "only the rules of `TOPIC`")
	cmd.Flags().StringArrayVar(&ruleFiles, "rules", nil, "`FILE` with rules of the shop, laid over the shipped ones; may be repeated")
	how = formatFlag(cmd, "text", "json")
	return cmd
}

func ofTopic(b *rules.Book, topic string) []rules.Rule {
	var chosen []rules.Rule
	for _, r := range b.Rules() {
		if r.Topic == topic {
			chosen = append(chosen, r)
		}
	}
	return chosen
}

// ruleTopics lists the topics in the order of the files.
func ruleTopics(b *rules.Book) []string {
	var names []string
	for _, r := range b.Rules() {
		if !slices.Contains(names, r.Topic) {
			names = append(names, r.Topic)
		}
	}
	return names
}
