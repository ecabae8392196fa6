// Command cellgo stands beside the cell kernel under several names and takes
// over from the programs of these names what is slow or loses something.
//
//   - As go, first on the kernel's PATH, it builds plain cells without the go
//     command (package build) and answers "go get" where there is nothing to get.
//   - As goimports it completes the imports of plain cells (package imports).
//   - In the place of a cell's program it is the pump (package pump): it starts the
//     program and brings what that prints, what it shows and how it ends to the
//     kernel, in order and complete.
//
// Everything else it leaves to the program whose name it bears. How to act is
// told by the environment (package setting); package launch sets it up.
package main
