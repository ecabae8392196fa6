// Package record keeps past pulls in an SQLite database, one file that belongs to whoever
// keeps it.
//
// [Open] opens the file at a path, or makes it. Every change is one transaction: a pull is
// there whole or not at all, whenever the process or the machine stops. Several processes
// may use a file at once; one that writes waits a while for another. A file from a newer
// version, of another program, or damaged is refused with an error that says which
// ([ErrNewer], [ErrForeign], [ErrDamaged]), and left as it was.
//
// A pull is known by its ID, which evidence makes of the samples, so that the same pull is
// kept once however often it is added and whatever its log is called. Added again with
// other figures, such as those of a corrected mapping, it takes the place of the old one.
//
// [Pull.Observation] turns a pull into what package predict learns from.
package record
