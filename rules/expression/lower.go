package expression

import (
	"fmt"
	"strconv"

	"github.com/expr-lang/expr/ast"
)

// named stands in a patched tree for a condition that is lowered already.
type named struct {
	ast.NilNode
	cond Condition
}

// slotName is the name of a slot in a patched tree and in the VM's struct.
func slotName(slot int) string { return "S" + strconv.Itoa(slot) }

// lower turns a patched tree into the arena's form.
func (c *Compiler) lower(n ast.Node) (Ref, error) {
	switch n := n.(type) {
	case *named:
		return n.cond.Ref, nil
	case *ast.BoolNode:
		if n.Value {
			return Always, nil
		}
		return Never, nil
	case *ast.UnaryNode:
		r, err := c.lower(n.Node)
		return r.Not(), err
	case *ast.BinaryNode:
		if n.Operator == "and" || n.Operator == "or" {
			left, err := c.lower(n.Left)
			if err != nil {
				return 0, err
			}
			right, err := c.lower(n.Right)
			if err != nil {
				return 0, err
			}
			if n.Operator == "and" {
				return c.Arena.And(left, right), nil
			}
			return c.Arena.Or(left, right), nil
		}
		slot, err := strconv.Atoi(n.Left.(*ast.IdentifierNode).Value[1:])
		if err != nil {
			return 0, err
		}
		return c.atom(n.Operator, slot, n.Right.(*ast.FloatNode).Value), nil
	}
	return 0, fmt.Errorf("expression: cannot lower %T", n)
}

// atom lowers one comparison of a slot with a constant.
func (c *Compiler) atom(op string, slot int, x float64) Ref {
	a, s := c.Arena, &c.Arena.Layout.Slots[slot]
	if s.Finite {
		at := uint64(1) << int(x)
		under, upTo := at-1, at|(at-1)
		switch op {
		case "==":
			return a.Among(slot, at)
		case "!=":
			return a.Among(slot, at).Not()
		case "<":
			return a.Among(slot, under)
		case "<=":
			return a.Among(slot, upTo)
		case ">":
			return a.Among(slot, upTo).Not()
		}
		return a.Among(slot, under).Not() // >=
	}
	switch op {
	case "==":
		return a.And(a.Below(slot, x), a.Under(slot, x).Not())
	case "!=":
		return a.And(a.Below(slot, x), a.Under(slot, x).Not()).Not()
	case "<":
		return a.Under(slot, x)
	case "<=":
		return a.Below(slot, x)
	case ">":
		return a.Below(slot, x).Not()
	}
	return a.Under(slot, x).Not() // >=
}
