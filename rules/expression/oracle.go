package expression

import (
	"errors"
	"fmt"
	"math/bits"
	"reflect"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/checker"
	"github.com/expr-lang/expr/compiler"
	"github.com/expr-lang/expr/conf"
	"github.com/expr-lang/expr/parser"
	"github.com/expr-lang/expr/vm"
)

// Oracle runs patched conditions on expr's own virtual machine, to hold the
// lowered form against it.
type Oracle struct {
	layout *Layout
	env    reflect.Type
	config *conf.Config
}

// ErrNotCompiled is returned for a condition that was never compiled.
var ErrNotCompiled = errors.New("expression: the condition was never compiled")

// NewOracle prepares the machine for a layout. All programs share one config:
// building it is most of the cost of a compilation.
func NewOracle(l *Layout) *Oracle {
	fields := make([]reflect.StructField, len(l.Slots))
	for i := range fields {
		fields[i] = reflect.StructField{Name: slotName(i), Type: reflect.TypeFor[float64]()}
	}
	env := reflect.StructOf(fields)
	config := conf.New(reflect.New(env).Elem().Interface())
	config.Expect = reflect.Bool
	return &Oracle{layout: l, env: env, config: config}
}

// Program types and compiles a condition for the virtual machine.
func (o *Oracle) Program(c Condition) (*vm.Program, error) {
	whole, err := written(c.tree)
	if err != nil {
		return nil, err
	}
	tree := &parser.Tree{Node: whole}
	if _, err := checker.Check(tree, o.config); err != nil {
		return nil, err
	}
	return compiler.Compile(tree, o.config)
}

// Facts is the struct, by value, that the machine reads: the single value of
// every slot. It returns false if some slot is not known.
func (o *Oracle) Facts(b *Box) (any, bool) {
	v := reflect.New(o.env).Elem()
	for i := range o.layout.Slots {
		if !b.Known(i) {
			return nil, false
		}
		r := b.At(i)
		x := r.Low
		if o.layout.Slots[i].Finite {
			x = float64(bits.TrailingZeros64(r.Words))
		}
		v.Field(i).SetFloat(x)
	}
	return v.Interface(), true
}

// Run asks the machine.
func (o *Oracle) Run(p *vm.Program, facts any) (bool, error) {
	out, err := vm.Run(p, facts)
	if err != nil {
		return false, err
	}
	return out.(bool), nil
}

// written copies a patched tree with every named condition written out, so that
// the machine sees the text of its definition and never our lowered form.
func written(n ast.Node) (ast.Node, error) {
	switch n := n.(type) {
	case nil:
		return nil, ErrNotCompiled
	case *named:
		return written(n.cond.tree)
	case *ast.UnaryNode:
		inner, err := written(n.Node)
		return &ast.UnaryNode{Operator: n.Operator, Node: inner}, err
	case *ast.BinaryNode:
		left, err := written(n.Left)
		if err != nil {
			return nil, err
		}
		right, err := written(n.Right)
		return &ast.BinaryNode{Operator: n.Operator, Left: left, Right: right}, err
	case *ast.IdentifierNode:
		return &ast.IdentifierNode{Value: n.Value}, nil
	case *ast.FloatNode:
		return &ast.FloatNode{Value: n.Value}, nil
	case *ast.BoolNode:
		return &ast.BoolNode{Value: n.Value}, nil
	}
	return nil, fmt.Errorf("expression: the machine cannot run %T", n)
}
