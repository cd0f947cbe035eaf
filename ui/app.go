// Package ui is the terminal: the root model that owns size, look and help,
// and hands everything else to one screen at a time.
//
//	start    continue, new job, replay, train, preferences   ui/start
//	live     the log screen                                  ui/live
//	replay   stepping through a record                       ui/replay
//	train    the log screen with the roof simulated          ui/train
//
// Messages are routed by kind: sizes to all, keys to interrupt, then help, then
// the screen, the rest to the screen. Screens ask for one another by the
// messages of ui/screen; only this package knows them all. ui/say has the
// words, ui/fork the chart, ui/part the layout, ui/form the typing, ui/desk the
// session and its journal, ui/theme the looks, ui/prefs what is kept.
package ui

import (
	"errors"
	"os"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge"
	q "chargehand/charge/quantity"
	_ "chargehand/ui/background" // before Bubble Tea
	"chargehand/ui/desk"
	"chargehand/ui/live"
	"chargehand/ui/part"
	"chargehand/ui/prefs"
	"chargehand/ui/screen"
	"chargehand/ui/theme"
	"chargehand/ui/train"
)

// page is a screen as the root sees it.
type page interface {
	Init() tea.Cmd
	Update(tea.Msg) tea.Cmd
	View() string
	SetSize(w, h int)
	Typing() bool // letters are text now
	Help() []screen.Section
}

// App is the root model.
type App struct {
	look  *screen.Look
	prefs prefs.Preferences
	w, h  int
	page  page
	paths []string // journals this run has had open, for a crash report
	home  func(*App) (page, error)

	back     string // the job to go back to from its own replay
	training train.Options

	help    bool
	helpTop int
	asked   bool // interrupted once while something was half typed
	ring    func()
	fail    error // why the program ended
}

// Options are what the command line and tests set.
type Options struct {
	Prefs prefs.Preferences
	Now   func() time.Time
	Zone  *time.Location
	Ring  func()                                               // the bell
	Tick  func(time.Duration, func(time.Time) tea.Msg) tea.Cmd // nil is tea.Tick
}

// New is the root with no page yet.
func New(o Options) *App {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Zone == nil {
		o.Zone = time.Local
	}
	th := theme.Named(o.Prefs.Theme)
	th.ASCII = o.Prefs.Plain || theme.DefaultASCII()
	return &App{
		look: &screen.Look{
			Theme: th, Units: o.Prefs.System(), Pressure: o.Prefs.PressureUnit(),
			Now: o.Now, Zone: o.Zone, Bell: o.Prefs.Bell, Tick: o.Tick,
		},
		prefs: o.Prefs, ring: o.Ring,
	}
}

// presets are what a new job begins with.
func (a *App) presets() charge.Setup {
	var s charge.Setup
	s.Elevation, _ = q.ParseLength(a.prefs.Elevation)
	_ = s.Technician.UnmarshalText([]byte(a.prefs.Technician))
	return s
}

// show makes a page the current one.
func (a *App) show(p page) tea.Cmd {
	a.leavePage()
	a.page, a.help, a.asked = p, false, false
	p.SetSize(a.w, a.h)
	return p.Init()
}

// leavePage lets go of what the page holds: the journal's lock. What closing the
// journal brings to light (somebody changed it meanwhile) is said at the end.
func (a *App) leavePage() {
	if c, ok := a.page.(interface{ Desk() *desk.Desk }); ok {
		a.remember(c.Desk().Path())
		a.fail = errors.Join(a.fail, c.Desk().Close())
	}
}

func (a *App) remember(path string) {
	if path != "" && (len(a.paths) == 0 || a.paths[len(a.paths)-1] != path) {
		a.paths = append(a.paths, path)
	}
}

// NewJob opens the log screen on a job that has no journal yet: it gets one
// in the journals' folder with the first entry.
func (a *App) NewJob() {
	a.page = live.New(a.look, desk.New(a.look.Units, desk.Lazy(a.prefs.JournalFolder())), a.presets())
}

// Log opens the log screen on the journal at path; where there is none it is
// made with the first entry.
func (a *App) Log(path string) error {
	d, err := desk.Open(a.look.Units, path)
	if err != nil {
		return err
	}
	a.logAt(d)
	return nil
}

func (a *App) logAt(d *desk.Desk) {
	a.remember(d.Path())
	a.page = live.New(a.look, d, a.presets())
}

// say shows a sentence on the present page.
func (a *App) say(text string) {
	if s, ok := a.page.(interface{ Say(string) }); ok {
		s.Say(text)
	}
}

// Init starts the first page.
func (a *App) Init() tea.Cmd {
	if a.page == nil {
		return nil
	}
	return a.page.Init()
}

// Update routes a message.
func (a *App) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch m := msg.(type) {
	case tea.WindowSizeMsg:
		a.w, a.h = max(m.Width, 0), max(m.Height, 0)
		if a.page != nil {
			a.page.SetSize(a.w, a.h)
		}
		return a, nil
	case tea.KeyMsg:
		return a, a.key(m)
	case screen.Home:
		return a, a.goHome()
	case screen.New:
		return a, a.to(func() error { a.NewJob(); return nil })
	case screen.Open:
		return a, a.open(m.Path)
	case read:
		return a, a.read(m)
	case opened:
		return a, a.opened(m)
	case screen.Leave:
		return a, a.quit()
	case screen.Units:
		if a.look.Units == q.US {
			a.look.SetUnits(q.SI)
		} else {
			a.look.SetUnits(q.US)
		}
		if a.prefs.System() == a.look.Units {
			a.look.Pressure = a.prefs.PressureUnit()
		}
		return a, a.page.Update(screen.LookChanged{})
	case screen.Restyle:
		ascii := a.look.Theme.ASCII
		a.look.Theme = theme.Named(theme.Next(a.look.Theme.Name))
		a.look.Theme.ASCII = ascii
		return a, nil
	case live.Bell:
		if a.ring != nil {
			return a, func() tea.Msg { a.ring(); return nil }
		}
		return a, nil
	}
	if cmd, ok := a.elsewhere(msg); ok {
		return a, cmd
	}
	if a.page == nil {
		return a, nil
	}
	return a, a.page.Update(msg)
}

// to goes to a page, or says on the present one why not.
func (a *App) to(open func() error) tea.Cmd {
	old := a.page
	if err := open(); err != nil {
		a.page = old
		if s, ok := old.(interface{ Say(string) }); ok {
			s.Say(err.Error())
			return nil
		}
		a.fail = errors.Join(a.fail, err)
		return tea.Quit
	}
	next := a.page
	a.page = old
	a.leavePage() // only now: a page that does not open leaves the old one at work
	a.page = next
	a.help, a.asked = false, false
	a.page.SetSize(a.w, a.h)
	return a.page.Init()
}

// goHome goes back to the job that was looked back at, or to the start screen
// where the program began there, else ends it.
func (a *App) goHome() tea.Cmd {
	if path := a.back; path != "" {
		a.back = ""
		return a.open(path)
	}
	if a.home == nil {
		return a.quit()
	}
	return a.to(func() error {
		p, err := a.home(a)
		if err == nil {
			a.page = p
		}
		return err
	})
}

func (a *App) quit() tea.Cmd {
	a.leavePage()
	a.page = nil
	return tea.Quit
}

// key takes a key: interrupt first, then help, then the page.
func (a *App) key(k tea.KeyMsg) tea.Cmd {
	switch k.Type {
	case tea.KeyCtrlC:
		if s, ok := a.page.(interface{ HalfTyped() bool }); ok && s.HalfTyped() && !a.asked {
			a.asked = true
			a.say("Something is half typed and not entered. Ctrl-C again leaves without it; all entries are kept.")
			return nil
		}
		return a.quit()
	case tea.KeyCtrlZ:
		return tea.Suspend
	}
	a.asked = false
	if a.page == nil {
		return nil
	}
	if a.help {
		a.helpKey(k.String())
		return nil
	}
	if k.Type == tea.KeyRunes && string(k.Runes) == "?" && !a.page.Typing() {
		a.help, a.helpTop = true, 0
		return nil
	}
	return a.page.Update(k)
}

// View draws the page, clamped to the terminal whatever the page does.
func (a *App) View() string {
	if a.w <= 0 || a.h <= 0 || a.page == nil {
		return ""
	}
	var lines []string
	if a.help {
		lines = a.helpLines()
		lines = lines[min(a.helpTop, len(lines)):]
	} else {
		lines = strings.Split(a.page.View(), "\n")
	}
	if len(lines) > a.h {
		lines = lines[:a.h]
	}
	for i := range lines {
		lines[i] = part.Clip(guard(lines[i]), a.w)
	}
	return strings.Join(lines, "\n")
}

func bell() { _, _ = os.Stdout.WriteString("\a") }
