package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"chargehand/charge/audit"
	"chargehand/charge/journal"
	"chargehand/charge/ledger"
	q "chargehand/charge/quantity"
	"chargehand/ui/prefs"
)

// LedgerCmd adds up refrigerant over many journals.
type LedgerCmd struct {
	Dir     string   `arg:"" optional:"" help:"Folder with journals (*.jsonl), searched with its subfolders; without it the journals' folder of the preferences."`
	JSON    bool     `name:"json" help:"Write everything as JSON."`
	CSV     bool     `name:"csv" help:"Write one table as CSV."`
	Table   string   `enum:"units,jobs,additions,refrigerants,months,cylinders,skipped" default:"units" help:"Table of --csv: ${enum}."`
	Audit   bool     `help:"Count the findings of each unit too (rules that need the entries alone)."`
	GWP     string   `name:"gwp" enum:"AR4,AR5" default:"AR4" help:"IPCC report the CO2 equivalents are counted by: ${enum}."`
	Process []string `help:"Unit that is industrial process refrigeration; repeat for more." placeholder:"UNIT"`
	SI      bool     `name:"si" help:"Kilograms instead of pounds."`
}

// Help shows the command at work.
func (LedgerCmd) Help() string {
	return `Leak rates follow the two methods of 40 CFR 82.152; thresholds are guidance and defer to the current rule.
Files that are no journal or whose chain is broken are reported and left out; they never end the run.

Examples:
  chargehand ledger ~/jobs
  chargehand ledger ~/jobs --csv --table additions > additions.csv
  chargehand ledger ~/jobs --json --process "ice plant 1"`
}

// Run reads every journal once, on all processors, and keeps a few numbers of
// each.
func (c *LedgerCmd) Run(env *Env) error {
	p := preferences(env)
	if c.Dir == "" {
		c.Dir = p.JournalFolder()
	}
	info, err := os.Stat(c.Dir)
	if err != nil {
		return &ExitError{ExitNoStart, err}
	}
	if !info.IsDir() {
		return &ExitError{ExitNoStart, fmt.Errorf("%s is a file: name the folder that holds the journals", c.Dir)}
	}
	dir, err := filepath.EvalSymlinks(c.Dir) // which a walk would not follow
	if err != nil {
		return &ExitError{ExitNoStart, err}
	}
	report, err := gather(dir, ledger.Options{Report: c.GWP, Process: c.Process}, c.Audit)
	if err != nil {
		return &ExitError{ExitNoStart, err}
	}
	switch {
	case c.JSON:
		return report.WriteJSON(env.Out)
	case c.CSV:
		return report.WriteCSV(env.Out, c.Table)
	default:
		return report.WriteText(env.Out, system(p, c.SI))
	}
}

// preferences are the user's, the defaults when they cannot be read.
func preferences(env *Env) prefs.Preferences {
	p, err := prefs.Load()
	if err != nil {
		fmt.Fprintln(env.Err, "chargehand:", err)
	}
	return p
}

// system is SI when the flag says so, else what the preferences say.
func system(p prefs.Preferences, si bool) q.System {
	if si {
		return q.SI
	}
	return p.System()
}

// gather walks dir and makes the ledger of what it holds.
func gather(dir string, o ledger.Options, withAudit bool) (ledger.Report, error) {
	type result struct {
		job  ledger.Job
		file string
		why  string // left out, with the reason
	}
	paths, results := make(chan string, 64), make(chan result, 64)
	var walkErr error
	go func() {
		defer close(paths)
		walkErr = filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
			switch {
			case err != nil && path == dir:
				return err
			case err != nil:
				results <- result{file: path, why: reason(err)}
			case !d.IsDir() && strings.HasSuffix(path, ".jsonl"):
				paths <- path
			}
			return nil
		})
	}()
	var workers sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		workers.Add(1)
		go func() {
			defer workers.Done()
			for path := range paths {
				job, err := readJob(path, withAudit)
				if err != nil {
					results <- result{file: path, why: reason(err)}
					continue
				}
				results <- result{job: job, file: path}
			}
		}()
	}
	go func() {
		workers.Wait()
		close(results)
	}()
	book := ledger.NewBook(o)
	for r := range results {
		if r.why != "" {
			book.Skip(r.file, r.why)
			continue
		}
		book.Add(r.job)
	}
	return book.Report(), walkErr
}

// reason is an error without the path, which stands beside it.
func reason(err error) string {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err.Error()
	}
	return err.Error()
}

// readJob reduces one journal.
func readJob(path string, withAudit bool) (ledger.Job, error) {
	lines, report, err := journal.Read(path)
	if err != nil {
		return ledger.Job{}, err
	}
	if report.Damage != nil {
		return ledger.Job{}, fmt.Errorf("the chain breaks at line %d: %s", report.Damage.Line, report.Damage.Why)
	}
	if len(lines) == 0 {
		return ledger.Job{}, errors.New("holds no event")
	}
	record := audit.Of(lines, report, q.US)
	job := ledger.JobOf(path, record.Events)
	if withAudit {
		found := audit.Find(record)
		job.Findings, job.SeriousFinds = len(found), audit.Count(found, audit.Serious)
	}
	return job, nil
}
