// Package build makes the program of a cell without the go command where it
// can: it calls the compiler and the linker the way the go command did for an
// earlier cell.
//
// What the go command does in between, finding every package and seeing that
// it is up to date, takes as long as compiling and linking a cell, and for two
// cells of a session it comes to the same. So the first build goes through the
// go command, and how it called its tools is kept as a [recipe]: the arguments,
// the packages with their compiled files in the go command's cache, and the
// state of everything that could make it call them another way. A later cell
// whose imports the recipe covers is built from it.
//
// A recipe that does not hold any more is never used: it belongs to the go
// command's version, the environment, and the module files of the cell; and it
// lists, for the packages that may change, the state of their source files. A
// cell with anything that the go command treats in a special way, such as cgo,
// an embedded file or a build constraint, is left to the go command, and so is
// every cell whose direct build fails, for whatever reason: the words about a
// mistake are always the go command's own.
package build
