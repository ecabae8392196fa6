// Package tool finds and runs the programs whose names the shims bear.
package tool
