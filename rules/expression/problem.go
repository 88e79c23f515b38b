package expression

import "fmt"

// The codes of a Problem with a condition. A code keeps its meaning for ever.
const (
	CodeSyntax      = "condition-syntax"      // expr cannot parse it: battery.swelling >
	CodeTooLong     = "condition-too-long"    // more than MaxText bytes
	CodeNotAllowed  = "construct-not-allowed" // calls, arithmetic, indexing …: len(x) > 2
	CodeUnknownName = "unknown-name"          // no such fact or named condition: battery.swoling
	CodeWrongWord   = "wrong-word"            // not a word of this fact: battery.swelling == 'big'
	CodeNoOrder     = "no-order"              // < between words without order: device.kind < 'phone'
	CodeBareNumber  = "bare-number"           // a quantity without its unit: battery.mass > 3
	CodeQuantity    = "quantity"              // not a quantity of this kind: battery.mass > '3 V'
	CodeOutOfRange  = "threshold-out-of-range"
	CodeNotYesNo    = "not-yes-no"    // a bare name that is no yes/no fact: battery.mass and …
	CodeNoConstant  = "no-constant"   // two facts compared: battery.length > battery.width
	CodeNotDecided  = "not-decidable" // text and layers cannot be compared: shop.name == 'x'
	CodeStage       = "wrong-stage"   // an answer is read before it stands
	CodeCircular    = "circular"      // a named condition that rests on itself
)

// MaxText is the longest condition, in bytes. Parentheses cost expr's parser
// time without making nodes, so the text is capped before it is parsed.
const MaxText = 2000

// MaxDepth is how deep a condition may nest.
const MaxDepth = 40

// Problem is one thing wrong with a condition, at an offset in its text.
type Problem struct {
	Line, Column int // from 1, within the condition's text
	Code         string
	Message, Fix string
}

func (p *Problem) Error() string {
	s := fmt.Sprintf("%d:%d: %s", p.Line, p.Column, p.Message)
	if p.Fix != "" {
		s += "; " + p.Fix
	}
	return s + " [" + p.Code + "]"
}
