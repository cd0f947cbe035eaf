package cli

import (
	"errors"
	"fmt"
	"time"

	"chargehand/charge/audit"
	"chargehand/charge/journal"
	"chargehand/ui"
	"chargehand/ui/prefs"
	"chargehand/ui/replay"
)

// ReplayCmd steps through a record.
type ReplayCmd struct {
	File  string `arg:"" help:"Journal to replay. It is only read."`
	Plain bool   `help:"Print the whole replay as text instead of drawing it."`
	Audit bool   `help:"Print what a supervisor should look at."`
	SI    bool   `name:"si" help:"Celsius, bar and grams, whatever the preferences say."`
	Width int    `help:"Columns of the text." default:"100"`
	UTC   bool   `name:"utc" help:"Times in UTC instead of local time."`
}

// Help shows how it is used.
func (ReplayCmd) Help() string {
	return `Examples:
  chargehand replay roof-3.jsonl                  step through it
  chargehand replay roof-3.jsonl --plain | less   all of it as text
  chargehand replay roof-3.jsonl --audit          what to look at

Exit status 1: the chain of hashes is broken, or the audit found something
serious.`
}

// Run replays.
func (c *ReplayCmd) Run(env *Env) error {
	p, err := prefs.Load()
	if err != nil {
		fmt.Fprintln(env.Err, "chargehand:", err)
	}
	if c.SI {
		p.Units, p.Pressure = "si", ""
	}
	if c.Width < 40 {
		return &ExitError{ExitUsage, fmt.Errorf("width %d is too narrow: 40 columns at least", c.Width)}
	}
	zone := time.Local
	if c.UTC {
		zone = time.UTC
	}
	switch {
	case c.Audit:
		return c.audit(env, p)
	case c.Plain:
		r, err := replay.Load(c.File, p.System())
		if err != nil {
			return &ExitError{ExitNoStart, err}
		}
		if err := replay.Plain(env.Out, r, zone, c.Width); err != nil {
			return err
		}
		if r.Broken != "" {
			return errors.New("the chain of hashes breaks at " + r.Broken)
		}
		return nil
	}
	if !ui.Terminal(env.In, env.Out) {
		return noTerminal("replay", "add --plain for text, --audit for what to look at")
	}
	app := ui.New(ui.Options{Prefs: p, Zone: zone})
	if err := app.Replay(c.File); err != nil {
		return &ExitError{ExitNoStart, err}
	}
	return app.Run(env.In, env.Out)
}

// audit prints the findings; anything serious is exit status 1.
func (c *ReplayCmd) audit(env *Env, p prefs.Preferences) error {
	lines, report, err := journal.Read(c.File)
	if err != nil {
		return &ExitError{ExitNoStart, err}
	}
	found := audit.Findings(lines, report, p.System())
	if err := audit.Print(env.Out, found, c.Width); err != nil {
		return err
	}
	if worst, ok := audit.Worst(found); ok && worst == audit.Serious {
		return errors.New("something serious was found")
	}
	return nil
}
