// Package background settles, before Bubble Tea is initialised, whether the
// terminal is dark. Bubble Tea v1 asks the terminal when it is imported, and
// where nothing answers (some SSH sessions, serial lines, scripted terminals)
// every command would wait five seconds for a reply that our colours do not
// need: they are the terminal's own sixteen.
//
// Go initialises packages in the order of their import paths as far as their
// imports allow (the Go specification, "Program initialization"), and
// "chargehand/…" sorts before "github.com/charmbracelet/bubbletea". A program
// that imports Bubble Tea must import this package too, for its side effect.
package background

import "github.com/charmbracelet/lipgloss"

func init() { lipgloss.SetHasDarkBackground(true) }
