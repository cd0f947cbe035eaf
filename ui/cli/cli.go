// Package cli is the command line: one file a command, each a small struct
// with the flags it takes and a Run method. It parses, opens files, and hands
// over to the packages that know the trade; it decides nothing itself.
package cli

import (
	"errors"
	"fmt"
	"io"

	"github.com/alecthomas/kong"
	kongcompletion "github.com/jotaen/kong-completion"
)

// Version is the semantic version printed by --version.
const Version = "0.1.0"

// Env is the world a command may touch. Tests hand in buffers.
type Env struct {
	In  io.Reader
	Out io.Writer
	Err io.Writer
}

// Exit codes, the same for every command.
const (
	ExitOK      = 0 // done
	ExitFound   = 1 // the command ran and found something serious, or failed
	ExitUsage   = 2 // the command line could not be understood
	ExitNoStart = 3 // a file or terminal could not be opened
)

// ExitError carries an exit code with its reason. A command returns it when
// plain failure (ExitFound) would say too little.
type ExitError struct {
	Code int
	Err  error
}

func (e *ExitError) Error() string { return e.Err.Error() }
func (e *ExitError) Unwrap() error { return e.Err }

// commands is the command tree. The field order is the order of --help.
type commands struct {
	Start      StartCmd                  `cmd:"" default:"1" help:"The start screen, also what runs without a command."`
	Log        LogCmd                    `cmd:"" help:"The live job: readings and weighed amounts in, what to do next out."`
	Replay     ReplayCmd                 `cmd:"" help:"Step through a record: what was entered, what was told."`
	Feed       FeedCmd                   `cmd:"" help:"Answer events from standard input, line by line."`
	Pt         PtCmd                     `cmd:"" help:"What a pressure-temperature chart says: bubble, dew and glide at the site."`
	Curve      CurveCmd                  `cmd:"" help:"Settled readings of a simulated system against its charge."`
	Completion kongcompletion.Completion `cmd:"" help:"Print what makes a shell complete commands and flags: bash, zsh or fish."`
	Train      TrainCmd                  `cmd:"" help:"Practise on a simulated roof, where refrigerant is free."`
	Report     ReportCmd                 `cmd:"" help:"Make one page for the customer's file: HTML, Markdown, CSV or JSON."`
	Trial      TrialCmd                  `cmd:"" help:"Play whole jobs on simulated systems and count how they end."`
	Ledger     LedgerCmd                 `cmd:"" help:"Add up what went into which unit over a folder of journals, with leak rates and CO2 equivalent."`
	Man        ManCmd                    `cmd:"" help:"Print the manual page in roff."`

	Version versionFlag `help:"Print the version and leave."`
}

// versionFlag prints the version and leaves; unlike kong's own it tells when that
// could not be written.
type versionFlag bool

// BeforeReset is called by kong where the flag is given.
func (versionFlag) BeforeReset(app *kong.Kong, vars kong.Vars) error {
	if _, err := fmt.Fprintln(app.Stdout, vars["version"]); err != nil {
		return err
	}
	app.Exit(ExitOK)
	return nil
}

// exit is what kong calls to leave early (--help, --version).
type exit int

// Main parses args and runs the command they name. It returns the exit code
// and never calls os.Exit, so that tests can run whole command lines.
func Main(args []string, env *Env) (code int) {
	var tree commands
	// Commands see only the writer that cannot be made to steer the terminal.
	env = &Env{In: env.In, Out: env.Out, Err: visible{env.Err}}
	defer func() {
		if r := recover(); r != nil {
			if e, ok := r.(exit); ok {
				code = int(e)
				return
			}
			panic(r)
		}
	}()
	parser, err := kong.New(&tree,
		kong.Name("chargehand"),
		kong.Description("Adjust refrigerant charge: log readings and weighed amounts, be told what they mean and what to do next."),
		kong.Writers(env.Out, env.Err),
		kong.Exit(func(c int) { panic(exit(c)) }),
		kong.Vars{"version": "chargehand " + Version},
		kong.UsageOnError(),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true}),
	)
	if err != nil {
		fmt.Fprintln(env.Err, "chargehand:", err)
		return ExitUsage
	}
	kongcompletion.Register(parser)
	if len(args) > 0 && (args[0] == "pt" || args[0] == "curve") {
		args = minusSigns(args) // elsewhere it may begin the name of a file
	}
	ctx, err := parser.Parse(args)
	if err != nil {
		fmt.Fprintln(env.Err, "chargehand:", err)
		fmt.Fprintln(env.Err, "Try: chargehand --help")
		return ExitUsage
	}
	if err := ctx.Run(env); err != nil {
		fmt.Fprintln(env.Err, "chargehand:", err)
		var e *ExitError
		if errors.As(err, &e) {
			return e.Code
		}
		return ExitFound
	}
	return ExitOK
}
