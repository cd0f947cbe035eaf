// Package uitest drives a model without a terminal: keys in, commands run to
// their end in order, views out. No sleeping, no goroutines, no real clock.
package uitest

import (
	"fmt"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
)

// Clock is a clock moved by hand.
type Clock struct{ T time.Time }

// NewClock starts at a day of its own.
func NewClock() *Clock { return &Clock{time.Date(2026, 6, 1, 13, 41, 0, 0, time.UTC)} }

// Now is the present time.
func (c *Clock) Now() time.Time { return c.T }

// Advance moves the clock on.
func (c *Clock) Advance(d time.Duration) { c.T = c.T.Add(d) }

// NoTick is a Look.Tick that never fires.
func NoTick(time.Duration, func(time.Time) tea.Msg) tea.Cmd { return nil }

// Driver holds a model and the last size sent.
type Driver struct {
	M       tea.Model
	W, H    int
	Quit    bool
	Suspend int
	Keys    int // keys sent
	Beyond  int // keys that are not part of a number
}

// New starts a model in a terminal of the size given.
func New(m tea.Model, w, h int) *Driver {
	d := &Driver{M: m}
	d.Resize(w, h)
	d.run(m.Init())
	return d
}

// Resize sends a size.
func (d *Driver) Resize(w, h int) {
	d.W, d.H = w, h
	d.Send(tea.WindowSizeMsg{Width: w, Height: h})
}

// Send sends a message and runs what follows from it to the end.
func (d *Driver) Send(msg tea.Msg) {
	if d.Quit {
		return
	}
	var cmd tea.Cmd
	d.M, cmd = d.M.Update(msg)
	d.run(cmd)
}

func (d *Driver) run(cmd tea.Cmd) {
	for queue := []tea.Cmd{cmd}; len(queue) > 0; queue = queue[1:] {
		if queue[0] == nil {
			continue
		}
		switch m := queue[0]().(type) {
		case nil:
		case tea.BatchMsg:
			queue = append(queue, m...)
		case tea.QuitMsg:
			d.Quit = true
			return
		case tea.SuspendMsg:
			d.Suspend++
			d.Send(tea.ResumeMsg{})
		default:
			var next tea.Cmd
			d.M, next = d.M.Update(m)
			queue = append(queue, next)
		}
	}
}

var named = map[string]tea.KeyType{
	"enter": tea.KeyEnter, "tab": tea.KeyTab, "shift+tab": tea.KeyShiftTab, "esc": tea.KeyEsc, "up": tea.KeyUp, "down": tea.KeyDown,
	"left": tea.KeyLeft, "right": tea.KeyRight, "home": tea.KeyHome, "end": tea.KeyEnd, "backspace": tea.KeyBackspace,
	"delete": tea.KeyDelete, "pgup": tea.KeyPgUp, "pgdown": tea.KeyPgDown, "ctrl+c": tea.KeyCtrlC, "ctrl+z": tea.KeyCtrlZ,
	"ctrl+u": tea.KeyCtrlU, "ctrl+a": tea.KeyCtrlA, "ctrl+e": tea.KeyCtrlE, "f1": tea.KeyF1, "insert": tea.KeyInsert,
}

// Names of the keys Type knows between < and >.
func Names() []string {
	var out []string
	for n := range named {
		out = append(out, n)
	}
	return out
}

// Key is the message of a named key.
func Key(name string) tea.KeyMsg {
	k, ok := named[name]
	if !ok {
		panic("uitest: no key named " + name)
	}
	return tea.KeyMsg{Type: k}
}

// Rune is the message of one typed character.
func Rune(r rune) tea.KeyMsg {
	if r == ' ' {
		return tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{r}}
	}
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}}
}

// Type sends keys one by one: characters as they are, others by name between
// < and >, as in "118 317<enter>".
func (d *Driver) Type(script string) {
	for len(script) > 0 {
		if script[0] == '<' {
			if end := strings.IndexByte(script, '>'); end > 1 {
				d.Keys++
				d.Beyond++
				d.Send(Key(script[1:end]))
				script = script[end+1:]
				continue
			}
		}
		r := []rune(script)[0]
		script = script[len(string(r)):]
		d.Keys++
		if !strings.ContainsRune("0123456789.,-", r) {
			d.Beyond++
		}
		d.Send(Rune(r))
	}
}

// Paste sends text as a terminal with bracketed paste does.
func (d *Driver) Paste(text string) {
	d.Send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(text), Paste: true})
}

// Burst sends characters as one message, as fast typing over a slow line comes.
func (d *Driver) Burst(text string) {
	d.Send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(text)})
}

// View is the screen without styles.
func (d *Driver) View() string { return ansi.Strip(d.M.View()) }

// Fits reports what does not fit the terminal, nil when all does.
func (d *Driver) Fits() error {
	lines := strings.Split(d.M.View(), "\n")
	if len(lines) > max(d.H, 1) {
		return fmt.Errorf("%d lines in a terminal of %d:\n%s", len(lines), d.H, d.View())
	}
	for i, l := range lines {
		if w := ansi.StringWidth(l); w > d.W {
			return fmt.Errorf("line %d is %d cells wide in a terminal of %d: %q", i+1, w, d.W, ansi.Strip(l))
		}
	}
	return nil
}

// MustFit fails the test when the view does not fit.
func (d *Driver) MustFit(t testing.TB) {
	t.Helper()
	if err := d.Fits(); err != nil {
		t.Fatal(err)
	}
}
