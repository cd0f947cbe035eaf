package cli

import (
	"fmt"
	"io"
	"path/filepath"

	"chargehand/charge/journal"
	"chargehand/charge/report"
	"chargehand/ui/save"
)

// ReportCmd makes the page for the customer's file.
type ReportCmd struct {
	Files []string `arg:"" help:"Journals; a page holds a section for each."`
	HTML  bool     `name:"html" xor:"form" help:"One self-contained HTML page (the default)."`
	MD    bool     `name:"md" xor:"form" help:"Markdown."`
	CSV   bool     `name:"csv" xor:"form" help:"One row an event."`
	JSON  bool     `name:"json" xor:"form" help:"Everything, numbers with the unit in the name."`
	Out   string   `short:"o" help:"Write to this file, readable by you alone, instead of standard output." placeholder:"FILE" type:"path"`
	SI    bool     `name:"si" help:"Celsius, kelvin, grams instead of Fahrenheit, ounces."`
}

// Help shows the command at work.
func (ReportCmd) Help() string {
	return `The page holds the unit, the story, the fork as a figure, what was weighed, the findings of the audit and the cautions.
It fetches nothing, prints on one or two sheets and reads on a phone.

Examples:
  chargehand report job.jsonl --html -o job.html
  chargehand report *.jsonl --csv > jobs.csv`
}

// Run writes the report; it fails with the first journal that cannot be read.
// A broken chain is no failure: the page says where it breaks.
func (c *ReportCmd) Run(env *Env) error {
	pages := make([]report.Page, 0, len(c.Files))
	units := system(preferences(env), c.SI)
	for _, file := range c.Files {
		lines, chain, err := journal.Read(file)
		if err != nil {
			return &ExitError{ExitNoStart, err}
		}
		if len(lines) == 0 {
			return &ExitError{ExitFound, fmt.Errorf("%s: no event in it can be read: %s", file, chain)}
		}
		if !chain.Intact() {
			fmt.Fprintf(env.Err, "chargehand: %q: %s\n", file, chain)
		}
		pages = append(pages, report.Of(filepath.Base(file), lines, chain, units))
	}
	if c.Out == "" {
		return c.write(env.Out, pages)
	}
	if err := save.File(c.Out, func(w io.Writer) error { return c.write(w, pages) }); err != nil {
		return &ExitError{ExitNoStart, err}
	}
	return nil
}

func (c *ReportCmd) write(w io.Writer, pages []report.Page) error {
	switch {
	case c.MD:
		return report.Markdown(w, pages)
	case c.CSV:
		return report.CSV(w, pages)
	case c.JSON:
		return report.JSON(w, pages)
	default:
		return report.HTML(w, pages)
	}
}
