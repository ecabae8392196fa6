// Package outside holds the computation against values that others published:
// property tables, standards, worked examples of textbooks and general-purpose
// programs. It has no code of its own.
//
// The values stand in testdata/outside at the root of the module, one file a
// subject, one value a row: what is computed, from which inputs, what is expected,
// how far it may be missed and why, and where it comes from. A test computes every
// row through the public packages and fails where it lies outside its tolerance.
// CHECKS.md beside this file lists them all with our value and the difference; the
// test fails where it is missing or stale, and writes it with -update.
//
// To add a value, add a row. A row whose "what" is new needs a function of that
// name in one of the calc files. Never put in a row what this module computed.
//
// Two further tests compare with programs where they are installed and say so
// where they are not: every unit spelling with GNU units (Debian's units), and
// pipe losses with the library fluids (Debian's python3-fluids).
package outside
