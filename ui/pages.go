package ui

import tea "github.com/charmbracelet/bubbletea"

// elsewhere takes the requests for pages other than the log screen.
func (a *App) elsewhere(tea.Msg) (tea.Cmd, bool) { return nil, false }
