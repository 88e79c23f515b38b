package expression

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/expr-lang/expr/ast"

	"loosecell/rules/facts"
)

// patcher rewrites a parsed condition: paths become slots, words become ranks,
// quoted quantities become numbers. It builds new nodes, because expr shares
// the middle of a chained comparison between two of them.
type patcher struct {
	compiler *Compiler
	text     string
}

// truth patches a node that stands where a yes or no is wanted.
func (p *patcher) truth(n ast.Node, depth int) (ast.Node, error) {
	if depth > MaxDepth {
		return nil, p.problem(n, CodeNotAllowed, "the condition nests too deep", "split it into named conditions")
	}
	switch n := n.(type) {
	case *ast.BoolNode:
		return &ast.BoolNode{Value: n.Value}, nil
	case *ast.UnaryNode:
		if n.Operator != "not" && n.Operator != "!" {
			return nil, p.refuse(n, "the operator "+n.Operator)
		}
		inner, err := p.truth(n.Node, depth+1)
		if err != nil {
			return nil, err
		}
		return &ast.UnaryNode{Operator: "not", Node: inner}, nil
	case *ast.BinaryNode:
		return p.binary(n, depth)
	case *ast.IdentifierNode, *ast.MemberNode:
		return p.bare(n)
	}
	return nil, p.refuse(n, describe(n))
}

func (p *patcher) binary(n *ast.BinaryNode, depth int) (ast.Node, error) {
	switch n.Operator {
	case "and", "&&", "or", "||":
		left, err := p.truth(n.Left, depth+1)
		if err != nil {
			return nil, err
		}
		right, err := p.truth(n.Right, depth+1)
		if err != nil {
			return nil, err
		}
		op := "and"
		if n.Operator == "or" || n.Operator == "||" {
			op = "or"
		}
		return &ast.BinaryNode{Operator: op, Left: left, Right: right}, nil
	case "==", "!=", "<", "<=", ">", ">=":
		return p.comparison(n)
	case "in":
		return p.membership(n)
	}
	return nil, p.refuse(n, "the operator "+n.Operator)
}

// bare patches a name that stands alone: a yes/no fact or a named condition.
func (p *patcher) bare(n ast.Node) (ast.Node, error) {
	name, err := p.path(n)
	if err != nil {
		return nil, err
	}
	cond, ok, err := p.compiler.Names.Named(name)
	if err != nil {
		return nil, p.problem(n, CodeCircular, err.Error(), "")
	}
	if ok {
		return &named{cond: cond}, nil
	}
	slot, f, err := p.fact(n, name)
	if err != nil {
		return nil, err
	}
	if !f.YesNo() {
		return nil, p.problem(n, CodeNotYesNo, name+" is no yes/no fact", "compare it with one of its values")
	}
	rank, _ := f.Word("yes")
	return p.compare("==", slot, float64(rank)), nil
}

var mirrored = map[string]string{"==": "==", "!=": "!=", "<": ">", "<=": ">=", ">": "<", ">=": "<="}

// comparison patches fact-against-constant, in either order.
func (p *patcher) comparison(n *ast.BinaryNode) (ast.Node, error) {
	left, right, op := n.Left, n.Right, n.Operator
	if constant(left) {
		left, right, op = right, left, mirrored[op]
	}
	if !constant(right) {
		return nil, p.problem(right, CodeNoConstant, "a fact is compared with something that is no constant",
			"compare with a word or a quoted quantity such as '30 %'")
	}
	name, err := p.path(left)
	if err != nil {
		return nil, err
	}
	if words, ok := p.compiler.Names.Grades(name); ok {
		return p.graded(n, name, words, op, right)
	}
	slot, f, err := p.fact(left, name)
	if err != nil {
		return nil, err
	}
	value, err := p.value(right, name, f)
	if err != nil {
		return nil, err
	}
	if f.Kind == facts.Words && !f.Ordered && op != "==" && op != "!=" {
		return nil, p.problem(n, CodeNoOrder, name+" has words without order", "use == or in [..]")
	}
	return p.compare(op, slot, value), nil
}

// graded patches a comparison with what the grade rules add up to.
func (p *patcher) graded(n ast.Node, name string, words []string, op string, right ast.Node) (ast.Node, error) {
	word, ok := right.(*ast.StringNode)
	if !ok || !slices.Contains(words, word.Value) {
		return nil, p.problem(right, CodeWrongWord, "not a word of "+name, "use one of "+strings.Join(words, ", "))
	}
	rank := slices.Index(words, word.Value)
	c := p.compiler
	atLeast := func(r int) (Condition, error) {
		if r <= 0 {
			return c.AllOf(), nil
		}
		if r >= len(words) {
			return c.AnyOf(), nil
		}
		return p.compiler.Names.Graded(name, r)
	}
	here, err := atLeast(rank)
	if err != nil {
		return nil, p.problem(n, CodeCircular, err.Error(), "")
	}
	over, err := atLeast(rank + 1)
	if err != nil {
		return nil, p.problem(n, CodeCircular, err.Error(), "")
	}
	switch op {
	case ">=":
		return &named{cond: here}, nil
	case ">":
		return &named{cond: over}, nil
	case "<":
		return &named{cond: c.Not(here)}, nil
	case "<=":
		return &named{cond: c.Not(over)}, nil
	case "==":
		return &named{cond: c.AllOf(here, c.Not(over))}, nil
	}
	return &named{cond: c.Not(c.AllOf(here, c.Not(over)))}, nil
}

// membership patches fact in ['a', 'b'] and 'a' in fact.
func (p *patcher) membership(n *ast.BinaryNode) (ast.Node, error) {
	if word, ok := n.Left.(*ast.StringNode); ok {
		return p.member(n, word.Value)
	}
	list, ok := n.Right.(*ast.ArrayNode)
	if !ok || len(list.Nodes) == 0 {
		return nil, p.problem(n.Right, CodeNoConstant, "in wants a list of words", "write in ['a', 'b']")
	}
	name, err := p.path(n.Left)
	if err != nil {
		return nil, err
	}
	slot, f, err := p.fact(n.Left, name)
	if err != nil {
		return nil, err
	}
	if f.Kind != facts.Words {
		return nil, p.problem(n, CodeNotAllowed, name+" has no words to list", "use comparisons")
	}
	var any ast.Node
	for _, item := range list.Nodes {
		value, err := p.value(item, name, f)
		if err != nil {
			return nil, err
		}
		one := p.compare("==", slot, value)
		if any == nil {
			any = one
		} else {
			any = &ast.BinaryNode{Operator: "or", Left: any, Right: one}
		}
	}
	return any, nil
}

func (p *patcher) member(n *ast.BinaryNode, word string) (ast.Node, error) {
	name, err := p.path(n.Right)
	if err != nil {
		return nil, err
	}
	first, _, ok := p.compiler.Arena.Layout.MemberSlots(name)
	if !ok {
		return nil, p.problem(n.Right, CodeNotDecided, name+" does not hold several things at once", "use "+name+" == '"+word+"'")
	}
	f := p.compiler.Arena.Layout.Slots[first].Fact
	i, ok := f.Word(word)
	if !ok {
		return nil, p.problem(n.Left, CodeWrongWord, "'"+word+"' is no word of "+name, "use one of "+strings.Join(f.Words, ", "))
	}
	return p.compare("==", first+i, 1), nil
}

func (p *patcher) compare(op string, slot int, value float64) ast.Node {
	return &ast.BinaryNode{Operator: op, Left: &ast.IdentifierNode{Value: slotName(slot)}, Right: &ast.FloatNode{Value: value}}
}

// fact finds the slot of a name that stands for a fact with one value.
func (p *patcher) fact(n ast.Node, name string) (int, *facts.Fact, error) {
	f, known := p.compiler.cat.Lookup(name)
	if !known {
		fix := ""
		if near := p.compiler.cat.Nearest(name); near != "" {
			fix = "did you mean " + near + "?"
		}
		return 0, nil, p.problem(n, CodeUnknownName, "there is no fact or named condition "+name, fix)
	}
	slot, ok := p.compiler.Arena.Layout.Slot(name)
	if !ok {
		fix := "rules cannot read text or layers"
		if f.Kind == facts.Members {
			fix = "write 'word' in " + name
		}
		return 0, nil, p.problem(n, CodeNotDecided, name+" cannot be compared", fix)
	}
	return slot, f, nil
}

// value reads a constant as a rank, a count or a number in the fact's unit.
func (p *patcher) value(n ast.Node, name string, f *facts.Fact) (float64, error) {
	text, quoted := n.(*ast.StringNode)
	switch f.Kind {
	case facts.Words:
		if quoted {
			if i, ok := f.Word(text.Value); ok {
				return float64(i), nil
			}
		}
		return 0, p.problem(n, CodeWrongWord, show(n)+" is no word of "+name, "use one of "+strings.Join(f.Words, ", "))
	case facts.Count:
		if i, ok := n.(*ast.IntegerNode); ok {
			return p.within(n, float64(i.Value), name, f)
		}
		return 0, p.problem(n, CodeQuantity, name+" is a count", "compare it with a whole number")
	}
	if !quoted {
		unit := f.Unit
		if f.Unit == "" && f.Kind == facts.Number {
			if x, ok := number(n); ok {
				return p.within(n, x, name, f)
			}
		}
		return 0, p.problem(n, CodeBareNumber, show(n)+" has no unit", fmt.Sprintf("write it in quotes with its unit, such as '%s %s'", show(n), unit))
	}
	low, high, err := constantRange(f, text.Value)
	if err != nil {
		return 0, p.problem(n, CodeQuantity, err.Error(), "")
	}
	if low != high {
		return 0, p.problem(n, CodeQuantity, "a range cannot be compared with", "write two comparisons")
	}
	return p.within(n, low, name, f)
}

// constantRange reads a quoted quantity in the fact's unit, or an ISO date.
func constantRange(f *facts.Fact, text string) (low, high float64, err error) {
	if f.Kind != facts.Date {
		return facts.ParseQuantity(text, f.Unit)
	}
	day, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return 0, 0, fmt.Errorf("'%s' is no date; write it as 2026-01-31", text)
	}
	x := float64(day.Unix() / 86400)
	return x, x, nil
}

func (p *patcher) within(n ast.Node, x float64, name string, f *facts.Fact) (float64, error) {
	if math.IsNaN(x) || x < f.Min || x > f.Max {
		return 0, p.problem(n, CodeOutOfRange, fmt.Sprintf("%s lies outside the range of %s", show(n), name),
			fmt.Sprintf("it runs from %g to %g %s", f.Min, f.Max, f.Unit))
	}
	return x, nil
}

// path reads a dotted name.
func (p *patcher) path(n ast.Node) (string, error) {
	switch n := n.(type) {
	case *ast.IdentifierNode:
		return n.Value, nil
	case *ast.MemberNode:
		key, ok := n.Property.(*ast.StringNode)
		if !ok || n.Optional || n.Method {
			return "", p.refuse(n, "indexing")
		}
		front, err := p.path(n.Node)
		return front + "." + key.Value, err
	}
	return "", p.refuse(n, describe(n))
}

func constant(n ast.Node) bool {
	switch n.(type) {
	case *ast.StringNode, *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode:
		return true
	case *ast.UnaryNode:
		_, ok := number(n)
		return ok
	}
	return false
}

func number(n ast.Node) (float64, bool) {
	switch n := n.(type) {
	case *ast.IntegerNode:
		return float64(n.Value), true
	case *ast.FloatNode:
		return n.Value, true
	case *ast.UnaryNode:
		x, ok := number(n.Node)
		return -x, ok && n.Operator == "-"
	}
	return 0, false
}

func show(n ast.Node) string {
	if s, ok := n.(*ast.StringNode); ok {
		return "'" + s.Value + "'"
	}
	if x, ok := number(n); ok {
		return fmt.Sprint(x)
	}
	return "this"
}

func describe(n ast.Node) string {
	switch n.(type) {
	case *ast.CallNode, *ast.BuiltinNode:
		return "calling a function"
	case *ast.ConditionalNode:
		return "a choice with ? or if"
	case *ast.VariableDeclaratorNode, *ast.SequenceNode:
		return "let and ;"
	case *ast.SliceNode, *ast.MemberNode, *ast.ChainNode:
		return "indexing"
	case *ast.ArrayNode, *ast.MapNode:
		return "a list or map here"
	case *ast.StringNode, *ast.IntegerNode, *ast.FloatNode:
		return "a constant alone"
	}
	return "this construct"
}

func (p *patcher) refuse(n ast.Node, what string) error {
	return p.problem(n, CodeNotAllowed, what+" is not allowed in a condition",
		"conditions are comparisons of facts with constants, joined by and, or and not")
}

// start is where a name or a call begins; expr places it at its last part.
func start(n ast.Node) int {
	switch n := n.(type) {
	case *ast.MemberNode:
		return start(n.Node)
	case *ast.CallNode:
		return start(n.Callee)
	case *ast.SliceNode:
		return start(n.Node)
	case *ast.ConditionalNode:
		return start(n.Cond)
	}
	return n.Location().From
}

func (p *patcher) problem(n ast.Node, code, message, fix string) error {
	line, column := place(p.text, start(n))
	return &Problem{Line: line, Column: column, Code: code, Message: message, Fix: fix}
}
