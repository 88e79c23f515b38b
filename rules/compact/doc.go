// Package compact writes a case as a short line of capitals and digits, for a
// QR code on a label, and reads it back.
//
// The line is "LC1:" and base 32 (RFC 4648, clause 6, without padding) of one
// version byte, a CRC-32 of the text (IEEE 802.3 polynomial, big-endian) and
// the text, deflated (RFC 1951) against a dictionary that never changes within
// a version. The text is the case in dotted form, one fact a line. Base 32
// costs a tenth more than the densest alphabet a QR code has, and in return
// survives a shell, a form field and a reader that changes case.
package compact
