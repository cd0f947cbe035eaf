package ui

import (
	"path/filepath"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/ui/desk"
	"chargehand/ui/screen"
)

// LogBeside is Log with the reading and folding done beside the first frame.
// What goes wrong is what Run gives, an *OpenError.
func (a *App) LogBeside(path string) {
	a.page = &opening{path: path, open: a.open}
	a.remember(path)
}

// opening is the page while the first journal is read.
type opening struct {
	path string
	open func(string) tea.Cmd
}

func (o *opening) Init() tea.Cmd          { return o.open(o.path) }
func (o *opening) Update(tea.Msg) tea.Cmd { return nil }
func (o *opening) View() string           { return "reading " + filepath.Base(o.path) + " …" }
func (o *opening) SetSize(int, int)       {}
func (o *opening) Typing() bool           { return false }
func (o *opening) Help() []screen.Section { return nil }

// opened brings a desk over a journal that was read and folded.
type opened struct {
	from page // that asked for it
	desk *desk.Desk
	err  error
}

// open reads and folds a journal beside the screen.
func (a *App) open(path string) tea.Cmd {
	a.leavePage() // its own lock, when a job is gone back to
	units, from := a.look.Units, a.page
	return func() tea.Msg {
		d, err := desk.Open(units, path)
		return opened{from, d, err}
	}
}

// opened goes to a journal that was read, or says why it cannot be had.
func (a *App) opened(m opened) tea.Cmd {
	if m.from != a.page {
		if m.desk != nil {
			_ = m.desk.Close() // the technician went elsewhere meanwhile
		}
		return nil
	}
	if _, first := a.page.(*opening); first && m.err != nil {
		a.fail = &OpenError{m.err}
		return tea.Quit
	}
	if m.err != nil {
		a.say(m.err.Error())
		return nil
	}
	return a.to(func() error { a.logAt(m.desk); return nil })
}
