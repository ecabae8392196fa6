package display

import (
	"example.com/railbook/kernel/display/internal/cell"
	"example.com/railbook/sizing"
)

// Open reads a build sheet. A relative path counts from the notebook's folder.
func Open(path string) sizing.Build { return cell.Must(sizing.Open(path)) }

// Assess finds what the build's fuel system can do at its target.
func Assess(b sizing.Build) *sizing.Assessment { return cell.Must(sizing.Assess(b)) }

// Out returns the path for a file that a cell writes, in the folder that the
// environment variable RAILBOOK_OUT names, or in the working folder where it
// names none. The name may have folders in front, as in "figures/duty.csv",
// which are made; it cannot lead out of the folder.
func Out(name string) string { return cell.Must(cell.OutPath(name)) }
