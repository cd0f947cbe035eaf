package cli

import (
	"errors"
	"fmt"

	"chargehand/ui"
	"chargehand/ui/prefs"
)

// LogCmd is the live screen.
type LogCmd struct {
	File string `arg:"" optional:"" help:"Journal to go on with, or to begin. Without it a new one in the journals' folder."`
}

// Help shows how it is used.
func (LogCmd) Help() string {
	return `Examples:
  chargehand log                 a new job; the journal is made with the first entry
  chargehand log roof-3.jsonl    go on with that job, or begin it
  NO_COLOR=1 chargehand log      without colours

Every entry is on disk before the screen shows it. The same file again goes on
where it was left.`
}

// Run opens the screen.
func (c *LogCmd) Run(env *Env) error {
	if !ui.Terminal(env.In, env.Out) {
		return noTerminal("log", "chargehand feed --journal FILE takes entries from a pipe")
	}
	app := newApp(env)
	if c.File == "" {
		app.NewJob()
	} else {
		app.LogBeside(c.File)
	}
	return runScreens(app, env)
}

// runScreens runs the screens; what could not be opened has an exit status of its own.
func runScreens(app *ui.App, env *Env) error {
	err := app.Run(env.In, env.Out)
	var open *ui.OpenError
	if errors.As(err, &open) {
		return &ExitError{ExitNoStart, err}
	}
	return err
}

// newApp is the root with the user's preferences.
func newApp(env *Env) *ui.App {
	p, err := prefs.Load()
	if err != nil {
		fmt.Fprintln(env.Err, "chargehand:", err)
	}
	return ui.New(ui.Options{Prefs: p})
}

func noTerminal(cmd, instead string) error {
	return &ExitError{ExitNoStart, errors.New(cmd + " needs a terminal to draw on: " + instead)}
}
