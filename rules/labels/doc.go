// Package labels works out what stands on the label of a removed cell: for its
// bag, for a container, for a parcel.
//
// What a label says is what an advice says of the cell. Words that law asks for
// come from the rulebook with their letter height; regulatory pictograms are
// named and given their place, never drawn. A cell that is failing now gets no
// label, and a cell that may not travel gets none for a parcel.
package labels
