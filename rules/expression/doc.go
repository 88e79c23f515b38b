// Package expression turns the text of a rule's condition into a form that can
// be decided on partial knowledge.
//
// It is the only package that knows expr. The text is parsed by expr; a patch
// replaces catalogue paths by slots, ordered words by ranks and quoted
// quantities by numbers in the catalogue's unit; expr's checker types the
// patched tree; and the same tree is then lowered once to a small form of
// slot-against-constant atoms joined by and, or and not. The lowered form
// decides; expr's VM runs the patched tree as the oracle of property tests.
//
//	Layout      which slot holds which fact
//	Range, Box  what is possible for one fact, for all facts
//	Arena, Ref  conditions in lowered form, shared node by node
//	Evaluator   true, false or open on a box, without splitting
//	Explorer    true, false or both over every completion, by bounded splitting
package expression
