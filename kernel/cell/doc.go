// Package cell turns what a user writes in the cells of a notebook into Go
// programs for the cell kernel, and what went wrong there back into words about
// the cell.
//
// # What a cell may be
//
// A cell mixes import lines, declarations and statements in any order. Packages
// need no import lines: a name before a dot that nothing else has is that of a
// package of Railbook, of the standard library, or of a module that Railbook
// requires, in this order. Names of package display stand bare. A name of the
// user's own comes before all of these.
//
//   - A variable made at the top level of a cell, by := or var, belongs to the
//     session: it is there in later cells with its value, whatever has been done
//     to it, and what made it does not run again. It may be made anew, also with
//     another type.
//   - Functions, types with their methods, and constants live on. Declaring one
//     again replaces it; variables of a type that is declared in another way are
//     gone, and the cell says so.
//   - If the last statement is an expression, its value is shown, unless a
//     semicolon follows. An error shows its message, a nil error nothing, and so
//     does printing.
//   - What holds a function, a channel, an open file, a lock in use, or a value
//     in an interface whose type no other package can name, is not carried: the
//     statement that made the variable is run again in a later cell that uses it.
//     If the variable has been changed since, a line says that this is lost.
//   - A cell that fails changes nothing: variables and declarations are as they
//     were before it.
//
// Special lines of the cell kernel work as they do there, such as "!ls", "%args",
// "%%writefile", "%test", and so do cells in its own style: what follows a line
// "%%" is the body of main, whose variables are its own. "%exec f" calls a
// function of the session. Lists of definitions ("%ls") and their removal ("%rm")
// are those of the session.
//
// # How it works
//
// A [Session] keeps the text of what cells have declared and what variables there
// are. [Session.Rewrite] parses a cell, finds what each name means, and collects
// what the cell leads to: other functions, types, constants and variables, and no
// more, so that a cell links only what it uses. A first program, in which
// variables are initialised where they are declared, goes through the type
// checker; it gives the types of the variables and of the last expression, and
// finds mistakes within milliseconds. The second is what is built. It stands in a
// file of the session ([ProgramFile]), which the code from [Session.Reset] links
// into the folder where the cell kernel builds; the cell kernel itself gets the
// special lines and a main that calls it, and keeps no declarations of its own.
//
// Values are carried by package keep and shown by package show, below, or by
// package display. [Prepared.Commit] takes over what the program has left, once
// it has come to its end.
//
// The check needs to know the packages: it reads what the compiler has written of
// them. Where that is, the go command tells; what it has told is kept in
// Railbook's cache.
package cell
