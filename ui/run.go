package ui

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"runtime/debug"
	"strings"
	"syscall"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge/journal"
)

// Terminal reports whether in and out are a terminal somebody sits at.
func Terminal(in io.Reader, out io.Writer) bool { return device(in) && device(out) }

func device(x any) bool {
	f, ok := x.(*os.File)
	if !ok {
		return false
	}
	fi, err := f.Stat()
	if err != nil || fi.Mode()&os.ModeCharDevice == 0 {
		return false
	}
	// A character device as well, and what stands in for a closed stream.
	null, err := os.Stat(os.DevNull)
	return err != nil || !os.SameFile(fi, null)
}

// OpenError says that what the program was asked for could not be opened.
type OpenError struct{ Err error }

func (e *OpenError) Error() string { return e.Err.Error() }
func (e *OpenError) Unwrap() error { return e.Err }

// Run runs the program until it is left, told to end or hung up on. Bubble Tea
// gives the terminal back whatever happens; if the program broke down, the error names the journal and
// says that it is complete.
func (a *App) Run(in io.Reader, out io.Writer) error {
	if a.ring == nil {
		a.ring = bell
	}
	// A fold leaves much behind for a moment; on a phone memory is dearer than
	// the little time a second collection takes.
	defer debug.SetGCPercent(debug.SetGCPercent(40))
	p := tea.NewProgram(a, tea.WithInput(in), tea.WithOutput(out), tea.WithAltScreen())
	defer endOnHangup(p)()
	_, err := p.Run()
	if !errors.Is(err, tea.ErrProgramPanic) {
		a.leavePage()
	}
	switch {
	case errors.Is(err, tea.ErrProgramPanic):
		if s, ok := a.page.(interface{ Path() string }); ok {
			a.remember(s.Path())
		}
		return errors.New(crash(a.paths))
	case err != nil && !errors.Is(err, tea.ErrInterrupted):
		return errors.Join(err, a.fail)
	}
	return a.fail
}

// endOnHangup ends the program in good order when its terminal hangs up: a
// connection that drops, a window that is shut. Bubble Tea does it for the other
// signals. Where hang-ups are to be ignored, as under nohup, they are. What is
// given stops it.
func endOnHangup(p *tea.Program) (stop func()) {
	if signal.Ignored(syscall.SIGHUP) {
		return func() {}
	}
	hangup, ended := make(chan os.Signal, 1), make(chan struct{})
	signal.Notify(hangup, syscall.SIGHUP)
	go func() {
		select {
		case <-hangup:
			p.Quit()
		case <-ended:
		}
	}()
	return func() {
		signal.Stop(hangup)
		close(ended)
	}
}

// crash says after a breakdown what is safe: it looks at the journal itself.
func crash(paths []string) string {
	const sorry = "the program broke down; the terminal was restored."
	if len(paths) == 0 {
		return sorry + " No job was open."
	}
	path := paths[len(paths)-1]
	lines, report, err := journal.Read(path)
	switch {
	case err != nil:
		return fmt.Sprintf("%s The journal is %s; it could not be read just now: %v", sorry, path, err)
	case report != nil && report.Damage != nil:
		return fmt.Sprintf("%s The journal is %s: %v", sorry, path, report.Damage)
	}
	return fmt.Sprintf("%s The journal %s is complete: all %d entries are there. Go on with: chargehand log %s",
		sorry, path, len(lines), quoted(path))
}

func quoted(path string) string {
	if strings.ContainsAny(path, " '\"$&()") {
		return "'" + strings.ReplaceAll(filepath.Clean(path), "'", `'\''`) + "'"
	}
	return path
}
