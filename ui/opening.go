package ui

import (
	"path/filepath"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge"
	"chargehand/ui/desk"
	"chargehand/ui/live"
	"chargehand/ui/screen"
)

// opening is the page of a job between its being asked for and its being folded.
// Keys are kept for the log screen: they were meant for it.
type opening struct {
	look   *screen.Look
	path   string
	before page // to go back to where it cannot be opened, nil for none
	events []charge.Event
	keys   []tea.KeyMsg
	w, h   int
}

// Init opens and reads the journal.
func (o *opening) Init() tea.Cmd {
	return func() tea.Msg {
		j, err := desk.Read(o.path)
		return read{o, j, err}
	}
}

func (o *opening) Update(msg tea.Msg) tea.Cmd {
	if k, ok := msg.(tea.KeyMsg); ok && len(o.keys) < screen.KeptKeys {
		o.keys = append(o.keys, k)
	}
	return nil
}

func (o *opening) View() string {
	if len(o.events) == 0 {
		return "reading " + filepath.Base(o.path) + " …"
	}
	return live.Opening(o.look, o.events, o.w, o.h)
}

func (o *opening) SetSize(w, h int)       { o.w, o.h = w, h }
func (o *opening) Typing() bool           { return true } // the root leaves it all keys
func (o *opening) Help() []screen.Section { return nil }

// read brings a journal that was read and is not folded.
type read struct {
	by      *opening
	journal *desk.Opening
	err     error
}

// opened brings a desk over a journal that was read and folded.
type opened struct {
	by   *opening
	desk *desk.Desk
	err  error
}

// LogBeside is Log with the reading and folding done beside the first frames.
// What goes wrong is what Run gives, an *OpenError.
func (a *App) LogBeside(path string) {
	a.page = &opening{look: a.look, path: path}
	a.remember(path)
}

// open goes to the job at path by way of an opening page.
func (a *App) open(path string) tea.Cmd {
	return a.show(&opening{look: a.look, path: path, before: a.page})
}

// read shows what was read and has it folded.
func (a *App) read(m read) tea.Cmd {
	switch {
	case a.page != m.by:
		if m.journal != nil {
			m.journal.Close() // the technician went elsewhere meanwhile
		}
		return nil
	case m.err != nil:
		return a.notOpened(m.by, m.err)
	}
	m.by.events = m.journal.Events()
	units := a.look.Units
	return func() tea.Msg {
		d, err := m.journal.Fold(units)
		return opened{m.by, d, err}
	}
}

// opened goes to a job that was folded, and hands it the keys that came meanwhile.
func (a *App) opened(m opened) tea.Cmd {
	switch {
	case a.page != m.by:
		if m.desk != nil {
			_ = m.desk.Close()
		}
		return nil
	case m.err != nil:
		return a.notOpened(m.by, m.err)
	}
	cmds := []tea.Cmd{a.to(func() error { a.logAt(m.desk); return nil })}
	for _, k := range m.by.keys {
		cmds = append(cmds, a.key(k))
	}
	return tea.Batch(cmds...)
}

// notOpened says why a job cannot be had: on the page it was asked for from, or
// at the end of the program.
func (a *App) notOpened(o *opening, err error) tea.Cmd {
	if o.before == nil {
		a.fail = &OpenError{err}
		return tea.Quit
	}
	a.page = o.before
	a.page.SetSize(a.w, a.h)
	a.say(err.Error())
	return nil
}
