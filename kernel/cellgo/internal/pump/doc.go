// Package pump stands between the program of a cell and the kernel that started
// it: it starts the program in its turn, and brings to the kernel what that
// prints, what it shows and how it ends.
//
// The kernel reads a program's text and its displays from different pipes, takes
// no interest in its exit status, and stops reading displays when the program
// ends. The pump reads all of them, puts them into one order, and sends them to
// the kernel through the pipe for displays: displays as they are, text and exit
// as events (package cellio). It ends after the kernel has confirmed all of it.
//
// The order: text goes before a display that was sent after it was written, and
// before text of the other stream that was written after it. A display goes
// before text that is written after it if the program waits for it (gonbui.Sync);
// if it does not, the pump goes by which of the pipes had something first, which
// fails only where it is far behind.
//
// With the program end all processes it has started. Should the kernel end
// first, the pump and its program follow.
package pump
