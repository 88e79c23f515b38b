package why

import (
	"loosecell/rules"
	"loosecell/rules/advice"
	"loosecell/rules/facts"
)

// Start is what has to be done so that work may start: the shortest list found,
// none of which can be left out.
type Start = advice.ReadyList

// SafeToStart lists what leads the case to proceed; see advice.Ready.
func SafeToStart(b *rules.Book, c *facts.Case, o advice.Options) (*Start, error) {
	return advice.Ready(b, c, o)
}
