package ui

import (
	"fmt"
	"os"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge/journal"
	"chargehand/charge/scenario"
	"chargehand/ui/live"
	"chargehand/ui/replay"
	"chargehand/ui/screen"
	"chargehand/ui/start"
	"chargehand/ui/theme"
	"chargehand/ui/train"
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

// Train opens the train screen on a lesson, or on the list of lessons where s
// is nil. speed is simulated minutes a second while waiting, 0 at once; journal
// is where the run is kept, "" for nowhere.
func (a *App) Train(s *scenario.Scenario, o scenario.Options, speed float64, path string) error {
	a.look.SetUnits(o.Units)
	a.training = train.Options{Scenario: o, Speed: speed}
	if path != "" {
		j, _, err := journal.Open(path)
		if err != nil {
			return err
		}
		if len(j.Lines()) > 0 {
			_ = j.Close()
			return fmt.Errorf("%s holds a record already: name a new file", path)
		}
		a.training.Record, a.training.Debrief = j, path
		a.remember(path)
	}
	if s == nil {
		a.page = train.NewLessons(a.look)
		return nil
	}
	a.page = train.New(a.look, s, a.training)
	a.training.Record, a.training.Debrief = nil, "" // one run, one record
	return nil
}

// lesson goes to the lesson named, or to the list.
func (a *App) lesson(name string) error {
	if name == "" {
		a.page = train.NewLessons(a.look)
		return nil
	}
	s, err := scenario.Find(name)
	if err != nil {
		return err
	}
	o := a.training
	o.Scenario.Units = a.look.Units
	if o.Scenario.Seed == 0 {
		o.Scenario.Seed = uint64(a.look.Now().UnixNano())
	}
	a.page = train.New(a.look, s, o)
	a.training.Record, a.training.Debrief = nil, ""
	return nil
}

// elsewhere takes the requests for pages other than the log screen.
func (a *App) elsewhere(msg tea.Msg) (tea.Cmd, bool) {
	switch m := msg.(type) {
	case screen.Replay:
		a.back = ""
		if l, ok := a.page.(*live.Screen); ok && l.Path() == m.Path {
			a.back = m.Path // looking back at one's own job: then on with it
		}
		return a.to(func() error { return a.Replay(m.Path) }), true
	case screen.Train:
		return a.to(func() error { return a.lesson(m.Lesson) }), true
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
