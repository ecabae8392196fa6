// Package imports completes the imports of a cell's program: what is not used
// goes, what is missing and can only be one package comes.
//
// It takes over from goimports the cases that occur in every cell, and comes to
// the same result there; all others it leaves to goimports. It looks at source
// files only, where goimports asks the go command and searches the module cache.
package imports
