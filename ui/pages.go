package ui

import (
	"os"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/ui/replay"
	"chargehand/ui/screen"
	"chargehand/ui/start"
	"chargehand/ui/theme"
)

// Start opens the start screen, to which screens then return.
func (a *App) Start() {
	a.home = func(a *App) (page, error) { return start.New(a.look, a.prefs.JournalFolder()), nil }
	a.page, _ = a.home(a)
}

// Replay opens the replay screen on the journal at path.
func (a *App) Replay(path string) error {
	if _, err := os.Stat(path); err != nil {
		return err
	}
	a.page = replay.New(a.look, path)
	return nil
}

// elsewhere takes the requests for pages other than the log screen.
func (a *App) elsewhere(msg tea.Msg) (tea.Cmd, bool) {
	switch m := msg.(type) {
	case screen.Replay:
		return a.to(func() error { return a.Replay(m.Path) }), true
	case screen.Preferences:
		return a.show(start.NewPreferences(a.look, a.prefs)), true
	case start.Saved:
		a.prefs = m.Prefs
		a.look.Units, a.look.Pressure, a.look.Bell = m.Prefs.System(), m.Prefs.PressureUnit(), m.Prefs.Bell
		a.look.Theme = theme.Named(m.Prefs.Theme)
		a.look.Theme.ASCII = m.Prefs.Plain || theme.DefaultASCII()
		if m.Err != nil {
			if s, ok := a.page.(interface{ Say(string) }); ok {
				s.Say("They hold for now but could not be kept: " + m.Err.Error())
			}
			return nil, true
		}
		return a.goHome(), true
	}
	return nil, false
}
