package facts

import (
	"math"

	"gopkg.in/yaml.v3"
)

// maxLayers is more than lies over any cell.
const maxLayers = 20

// layers reads a list of {material: glass, thickness: 0.7 mm}.
func (r *reader) layers(f *Fact, n *yaml.Node) Value {
	v := Value{State: Stated}
	if len(n.Content) == 0 || len(n.Content) > maxLayers {
		r.add(n, problem(CodeNotList, "list them from the outside in", "%s wants 1 to %d layers, and this list has %d",
			f.Name, maxLayers, len(n.Content)))
		return v
	}
	for _, item := range n.Content {
		if layer, ok := r.layer(f, item); ok {
			v.Layers = append(v.Layers, layer)
		}
	}
	return v
}

func (r *reader) layer(f *Fact, n *yaml.Node) (layer Layer, ok bool) {
	const fix = "write {material: glass, thickness: 0.7 mm}"
	if n.Kind != yaml.MappingNode {
		r.add(n, problem(CodeNotMapping, fix, "a layer is a material and a thickness, and this is %s", kindOf(n)))
		return layer, false
	}
	before := len(r.problems)
	r.pairs(n, func(key, value *yaml.Node) {
		switch {
		case value.Kind != yaml.ScalarNode:
			r.add(value, problem(CodeNotScalar, fix, "one value is due here, and this is %s", kindOf(value)))
		case key.Value == "material" && layer.Material != "", key.Value == "thickness" && layer.ThicknessMM != 0:
			r.add(key, problem(CodeDuplicate, "keep one of them", "the %s of this layer is stated twice", key.Value))
		case key.Value == "material":
			layer.Material = r.material(f, value)
		case key.Value == "thickness":
			layer.ThicknessMM = r.thickness(value)
		default:
			r.add(key, problem(CodeUnknownKey, fix, "%q says nothing of a layer", clip(key.Value)))
		}
	})
	if len(r.problems) == before && (layer.Material == "" || layer.ThicknessMM == 0) {
		r.add(n, problem(CodeEmptyValue, fix, "a layer wants a material and a thickness"))
	}
	return layer, len(r.problems) == before
}

func (r *reader) material(f *Fact, n *yaml.Node) string {
	word := plainWord(n.Value)
	for _, m := range f.Materials {
		if m == word {
			return m
		}
	}
	fix := "use " + orList(f.Materials)
	if near := nearest(word, f.Materials); near != "" {
		fix = "did you mean " + near + "? " + fix
	}
	r.add(n, problem(CodeUnknownWord, fix, "%q is no material known here", clip(n.Value)))
	return word
}

func (r *reader) thickness(n *yaml.Node) float64 {
	low, high, p := parseQuantity(n.Value, "mm")
	switch {
	case p != nil:
	case low != high:
		p = problem(CodeBadNumber, "write one thickness, the larger if in doubt", "the thickness of a layer is one number, not a range")
	case low < 0.001 || low > 100:
		p = problem(CodeOutOfRange, "check the number and its unit", "a layer of %s is not possible here, 0.001 mm to 100 mm are", FormatQuantity(low, low, "mm"))
	default:
		return low
	}
	r.add(n, p)
	return math.Inf(1) // present, though wrong
}
