package cli

import (
	"errors"

	"chargehand/ui"
)

// StartCmd is what runs when no command is named.
type StartCmd struct{}

// Help shows how it is used.
func (StartCmd) Help() string {
	return `Example:
  chargehand        go on with an open job, begin one, replay, train, preferences`
}

// Run opens the start screen.
func (StartCmd) Run(env *Env) error {
	if !ui.Terminal(env.In, env.Out) {
		return &ExitError{ExitUsage, errors.New("without a terminal, name a command: chargehand --help lists them")}
	}
	app := newApp(env)
	app.Start()
	return app.Run(env.In, env.Out)
}
