package expression

import "github.com/expr-lang/expr/ast"

// AllOf is the condition that all of a list hold; of none, always.
func (c *Compiler) AllOf(list ...Condition) Condition {
	out := Condition{Ref: Always, tree: &ast.BoolNode{Value: true}}
	for _, x := range list {
		out = Condition{
			Ref:  c.Arena.And(out.Ref, x.Ref),
			tree: &ast.BinaryNode{Operator: "and", Left: out.tree, Right: &named{cond: x}},
		}
	}
	return out
}

// AnyOf is the condition that at least one of a list holds; of none, never.
func (c *Compiler) AnyOf(list ...Condition) Condition {
	refs := make([]Ref, len(list))
	var tree ast.Node = &ast.BoolNode{Value: false}
	for i, x := range list {
		refs[i] = x.Ref
		tree = &ast.BinaryNode{Operator: "or", Left: tree, Right: &named{cond: x}}
	}
	return Condition{Ref: c.Arena.Or(refs...), tree: tree}
}

// Not is the condition that another does not hold.
func (c *Compiler) Not(x Condition) Condition {
	return Condition{Ref: x.Ref.Not(), tree: &ast.UnaryNode{Operator: "not", Node: &named{cond: x}}}
}

// AtLeast is the condition that a number lies at or over a bound in its
// catalogue unit; a day counts in days since 1970-01-01.
func (c *Compiler) AtLeast(slot int, bound float64) Condition {
	return Condition{
		Ref:  c.Arena.Under(slot, bound).Not(),
		tree: &ast.BinaryNode{Operator: ">=", Left: &ast.IdentifierNode{Value: slotName(slot)}, Right: &ast.FloatNode{Value: bound}},
	}
}
