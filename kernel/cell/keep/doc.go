// Package keep carries the variables of a notebook from the program of one cell
// to the program of the next. It is linked into every cell that uses them.
//
// A cell's program says with [Run] which variables it uses and where their
// values are. Run loads them, runs the cell and, when that comes to its end,
// writes what the variables then hold to new files, with a report of what is
// where ([ReadReport]). It changes no file: whoever keeps the session takes over
// what the report says, or forgets it if the cell has failed.
//
// # What is carried
//
// All that consists of numbers, texts, truth values, arrays, slices, structs,
// maps, pointers and interfaces, unexported fields included, with the sharing
// between them: two pointers to one thing, two slices of one array, a pointer
// into the midst of a struct, a ring, and a pointer to a variable of the session
// all come out as they went in, though the variables may be used by different
// cells. What an interface holds has to be of a type that the next program can
// name. A time keeps its zone, but not its monotonic clock reading.
//
// Channels, functions, locks in use, open files and values of package reflect
// are not carried, nor is a variable from which one can be reached; the report
// says why. A function or pointer that an exported variable of a package holds
// is known by that variable's name ([Known]), so that it is carried and stays
// the same one.
//
// # Files
//
// What is connected by pointers stands in one file, each block of memory by
// itself, so that a cell that uses one of two variables with a part in common
// decodes only what that one reaches and passes the rest on as it is. Large
// blocks without pointers stand in files of their own, as they are in memory;
// they are mapped, not read, and written again only if they have changed. Files
// are for programs of the same machine and the same session: every block names
// its type and a sum of its layout, and is refused where they differ.
package keep
