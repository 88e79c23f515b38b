// Package source is the table of the documents the rules stand on, and of how
// well each of them is known. A rule names a document by key, with a clause; the
// table turns that into the citation a person reads on a sheet.
package source
