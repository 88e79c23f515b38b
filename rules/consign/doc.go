// Package consign turns a list of removed cells into packages that may be
// handed over for one mode of carriage, date and place.
//
// It decides no law: for each kind of cell it asks a Classifier, which is the
// rulebook through package advice, and it keeps the limits of packages as data.
// What it adds is arithmetic and order: what may lie together, how many fit,
// and what a person ticks off. Every row of the list is in the answer exactly
// once, packed or set aside with a reason.
package consign
