package cli

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"os/signal"
	"slices"
	"strings"

	"chargehand/charge/trial"
)

// TrialCmd plays whole jobs on simulated systems: how a change to the advice is known to help.
type TrialCmd struct {
	Systems int    `default:"200" placeholder:"N" help:"How many systems to draw."`
	Seed    int64  `default:"1" placeholder:"S" help:"Which systems: the same seed draws the same ones everywhere."`
	Faulty  bool   `help:"Play only the jobs on systems that must not be charged."`
	Stream  uint64 `placeholder:"N" help:"Other random numbers in the belief, on the same jobs: how much hangs on chance."`
	Workers int    `placeholder:"N" help:"Jobs side by side; one for each processor when not given."`
	JSON    bool   `name:"json" help:"Everything as JSON."`
	Watch   int    `default:"-1" placeholder:"N" help:"Play only system number N and write down every event and answer."`
	List    int    `default:"10" placeholder:"N" help:"Name this many jobs that did not end as they should."`
}

// Help is the long text of --help.
func (c *TrialCmd) Help() string {
	return `Draws systems (most short of charge, one in six with something else wrong), plays a technician who
does what is advised, and counts how the jobs ended, judged by the settled true state. Beside it a rule
of thumb with fixed increments plays the same jobs.

Examples:
  chargehand trial
  chargehand trial --systems 1000 --seed 7 --json > trial.json
  chargehand trial --seed 7 --watch 12      # job s7-0012, event by event`
}

// Run plays the trial. Interrupting it leaves with a failure.
func (c *TrialCmd) Run(env *Env) error {
	if c.Systems < 1 || c.Systems > 100_000 {
		return &ExitError{ExitUsage, fmt.Errorf("--systems %d: give 1 to 100000", c.Systems)}
	}
	if c.Watch >= 0 {
		return trial.Watch(env.Out, trial.Options{Seed: c.Seed, Stream: c.Stream}, c.Watch)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	o := trial.Options{Systems: c.Systems, Seed: c.Seed, Workers: c.Workers, Faulty: c.Faulty, Stream: c.Stream}
	bar := terminal(env.Err)
	if bar {
		o.Progress = func(done, all int) { fmt.Fprintf(env.Err, "\r%s", progress(done, all, 40)) }
	}
	r, err := trial.Run(ctx, o)
	if bar {
		fmt.Fprint(env.Err, "\r", strings.Repeat(" ", 60), "\r")
	}
	if err != nil {
		return err
	}
	if c.JSON {
		e := json.NewEncoder(env.Out)
		e.SetIndent("", " ")
		return e.Encode(r)
	}
	c.print(env.Out, r)
	return nil
}

// terminal reports whether w is a terminal.
func terminal(w io.Writer) bool {
	file, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := file.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// progress is a bar of width cells.
func progress(done, all, width int) string {
	n := width * done / max(all, 1)
	return fmt.Sprintf("[%s%s] %d of %d", strings.Repeat("#", n), strings.Repeat(".", width-n), done, all)
}

func (c *TrialCmd) print(w io.Writer, r trial.Report) {
	fmt.Fprintf(w, "%d systems of seed %d: %d fixed orifices, %d expansion valves, %d not to be charged", r.Systems, r.Seed, r.Orifices, r.Valves, r.Faulty)
	if r.Unsolved > 0 {
		fmt.Fprintf(w, ", %d left out unsolved", r.Unsolved)
	}
	fmt.Fprintf(w, "\n\n%-46s %12s %18s\n", "", "chargehand", "fixed increments")
	share := func(name string, get func(*trial.Metrics) trial.Share) {
		p := func(s trial.Share) string {
			if s.Of == 0 {
				return "-"
			}
			return fmt.Sprintf("%.1f %%", 100*s.Value())
		}
		fmt.Fprintf(w, "%-46s %12s %18s\n", name, p(get(&r.Engine)), p(get(&r.FixedIncrements)))
	}
	number := func(name string, get func(*trial.Metrics) float64) {
		fmt.Fprintf(w, "%-46s %12.1f %18.1f\n", name, get(&r.Engine), get(&r.FixedIncrements))
	}
	share("landed in the target band", func(m *trial.Metrics) trial.Share { return m.Landed })
	share("in the band at the end, however it ended", func(m *trial.Metrics) trial.Share { return m.InBand })
	share("device right, when named at the end", func(m *trial.Metrics) trial.Share { return m.VerdictRight })
	share("device named wrong at some time", func(m *trial.Metrics) trial.Share { return m.VerdictEver })
	share("device named, of three increments or more", func(m *trial.Metrics) trial.Share { return m.VerdictGiven })
	number("increments to the name, median", func(m *trial.Metrics) float64 { return m.VerdictAt })
	share("overshot, needing recovery", func(m *trial.Metrics) trial.Share { return m.Overshot })
	share("superheat under 2 °F after an addition", func(m *trial.Metrics) trial.Share { return m.Unsafe })
	share("given up although chargeable", func(m *trial.Metrics) trial.Share { return m.Refused })
	share("not finished within the limits", func(m *trial.Metrics) trial.Share { return m.Unfinished })
	number("increments, median", func(m *trial.Metrics) float64 { return m.Increments })
	number("increments, 95th percentile", func(m *trial.Metrics) float64 { return m.Increments95 })
	number("minutes, median", func(m *trial.Metrics) float64 { return m.Minutes })
	share("not to be charged: nothing went in", func(m *trial.Metrics) trial.Share { return m.Caught })
	for _, name := range faults(r) {
		share("  "+name, func(m *trial.Metrics) trial.Share { return m.CaughtBy[name] })
	}
	fmt.Fprintf(w, "\nforecast bands (5 to 95 %%) that held, settled readings\n")
	share("  superheat", func(m *trial.Metrics) trial.Share { return m.Superheat })
	share("  superheat, after a weighing", func(m *trial.Metrics) trial.Share { return m.SuperheatMoved })
	share("  subcooling", func(m *trial.Metrics) trial.Share { return m.Subcooling })
	share("  subcooling, after a weighing", func(m *trial.Metrics) trial.Share { return m.SubcoolingMoved })
	fmt.Fprintf(w, "\nreliability of the device probability: how often the likelier device was right\n")
	for _, b := range r.Engine.Reliability {
		if b.Right.Of > 0 && !math.IsNaN(b.Mean) {
			fmt.Fprintf(w, "  said %.2f to %.2f   mean %.3f   right %.3f   of %d\n", b.From, b.To, b.Mean, b.Right.Value(), b.Right.Of)
		}
	}
	list := r.Engine.Failures
	if n := min(c.List, len(list)); n > 0 {
		fmt.Fprintf(w, "\ndid not end as it should: %d, of which\n", len(list))
		for _, x := range list[:n] {
			what := x.Device
			if x.Fault != "" {
				what += ", " + x.Fault
			}
			fmt.Fprintf(w, "  %s  %-32s %s after %d increments", x.System, what, x.End, x.Increments)
			if x.Fault == "" {
				fmt.Fprintf(w, ", %+.1f °F off", x.OffK*9/5)
			}
			if x.Overshot {
				fmt.Fprint(w, ", overshot")
			}
			if x.Misnamed {
				fmt.Fprint(w, ", misnamed")
			}
			if x.Rule != "" {
				fmt.Fprintf(w, ", by %s", x.Rule)
			}
			fmt.Fprintln(w)
		}
	}
}

// faults lists the faults met, in order.
func faults(r trial.Report) []string {
	var out []string
	for name := range r.Engine.CaughtBy {
		out = append(out, name)
	}
	slices.Sort(out)
	return out
}
