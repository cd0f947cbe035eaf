// Package screen holds what every screen shares: the look in force and the
// messages by which a screen asks to go elsewhere. A screen is a struct with
//
//	Update(tea.Msg) tea.Cmd
//	View() string
//	SetSize(width, height int)
//	Help() []Section
//
// that reads the look through a pointer, so that a change of units or theme
// shows everywhere at once. Only the root knows more than one screen.
package screen

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	q "chargehand/charge/quantity"
	"chargehand/ui/theme"
)

// Look is how things are shown, and the clock they are shown by.
type Look struct {
	Theme    theme.Theme
	Units    q.System
	Pressure q.Unit // gauge unit for typing and showing pressures
	Now      func() time.Time
	Zone     *time.Location // times are shown in it
	Bell     bool           // ring when a wait is over
	// Tick makes the command of the next second; nil is tea.Tick.
	Tick func(time.Duration, func(time.Time) tea.Msg) tea.Cmd
}

// Second is a command that sends a Tick in a second.
func (l *Look) Second() tea.Cmd {
	f := func(time.Time) tea.Msg { return Tick{} }
	if l.Tick != nil {
		return l.Tick(time.Second, f)
	}
	return tea.Tick(time.Second, f)
}

// SetUnits changes the units shown, with the gauge unit that goes with them.
func (l *Look) SetUnits(s q.System) {
	l.Units = s
	l.Pressure = s.PressureUnit()
}

// Clock prints the time of day of an entry.
func (l *Look) Clock(t time.Time) string {
	if l.Zone != nil {
		t = t.In(l.Zone)
	}
	return t.Format("15:04")
}

// Section is one part of the full help: a heading and its keys.
type Section struct {
	Head string
	Keys [][2]string // key, what it does
}

// Tick is sent once a second while something on the screen runs by the clock.
type Tick struct{}

// Requests of a screen to the root.
type (
	// Home asks for the start screen.
	Home struct{}
	// New asks for a new job.
	New struct{}
	// Open asks to go on with the job in the journal at Path.
	Open struct{ Path string }
	// Replay asks to step through the journal at Path.
	Replay struct{ Path string }
	// Train asks for the list of lessons, or for the one named.
	Train struct{ Lesson string }
	// Preferences asks for the preferences.
	Preferences struct{}
	// Units asks to switch between US and SI.
	Units struct{}
	// Restyle asks for the next theme.
	Restyle struct{}
	// Leave asks to end the program.
	Leave struct{}
	// LookChanged tells all screens that units or theme are other ones now.
	LookChanged struct{}
)

// Send makes a command of a message.
func Send(m tea.Msg) tea.Cmd { return func() tea.Msg { return m } }

// KeptKeys is how many keys a screen keeps while its record is worked out: more
// than anybody types meanwhile. A cat on the keyboard is not waited upon for ever.
const KeptKeys = 500
