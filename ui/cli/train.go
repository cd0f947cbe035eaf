package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"chargehand/charge"
	"chargehand/charge/journal"
	"chargehand/charge/plain"
	q "chargehand/charge/quantity"
	"chargehand/charge/scenario"
	"chargehand/ui"
	"chargehand/ui/save"
)

// TrainCmd practises on a simulated roof.
type TrainCmd struct {
	Lesson  string  `arg:"" optional:"" help:"A lesson by name, or a scenario file (*.json). Without it the list is shown."`
	List    bool    `help:"List the lessons and leave."`
	Auto    bool    `help:"Play the tool's own advice, as a demonstration; with no lesson, all of them."`
	Misstep bool    `help:"Play the mistake a lesson teaches to avoid, as a demonstration."`
	Seed    uint64  `default:"1" help:"Of the instruments and gusts; the same seed plays the same run."`
	Speed   float64 `default:"0" help:"Simulated minutes a second; 0 is as fast as it goes with --auto."`
	Journal string  `help:"Keep the run as a journal, with its debrief beside it." placeholder:"FILE" type:"path"`
	JSON    bool    `name:"json" help:"Debriefs of --auto as JSON."`
	Source  bool    `help:"Print the lesson's file, to copy and change."`
	Schema  bool    `help:"Print the JSON Schema of scenario files."`
	SI      bool    `name:"si" help:"Celsius, bar and grams, whatever the preferences say."`

	units q.System
}

// Help shows the command at work.
func (TrainCmd) Help() string {
	return `Examples:
  chargehand train                          choose a lesson and practise
  chargehand train restriction              practise one
  chargehand train --list                   what there is, and what each teaches
  chargehand train humid --auto             watch the tool's own advice
  chargehand train humid --misstep          watch the mistake it teaches to avoid
  chargehand train humid --source > my.json a file to change
  chargehand train my.json                  practise it

Exit status 1: with --auto, a run that did not end sound.`
}

// Run lists, plays or opens the screen.
func (c *TrainCmd) Run(env *Env) error {
	c.units = system(preferences(env), c.SI)
	switch {
	case c.Schema:
		_, err := env.Out.Write(scenario.Schema())
		return err
	case c.List:
		return listLessons(env.Out)
	}
	var lesson *scenario.Scenario
	if c.Lesson != "" {
		var err error
		if lesson, err = c.lesson(); err != nil {
			return &ExitError{ExitNoStart, err}
		}
	}
	switch {
	case c.Speed < 0:
		return &ExitError{ExitUsage, fmt.Errorf("speed %g: give simulated minutes a second, 0 or more", c.Speed)}
	case c.Source:
		return c.source(env.Out)
	case c.Auto && c.Misstep, c.Misstep && lesson == nil:
		return &ExitError{ExitUsage, errors.New("--misstep plays one lesson by its mistake: name the lesson, without --auto")}
	case c.Auto && lesson == nil:
		return c.autoAll(env.Out)
	case c.Auto, c.Misstep:
		return c.demonstrate(env.Out, lesson)
	}
	if !ui.Terminal(env.In, env.Out) {
		return noTerminal("train", "--auto plays a lesson as text, --list names them")
	}
	return c.screen(env, lesson)
}

// lesson finds a canned lesson, or reads a file.
func (c *TrainCmd) lesson() (*scenario.Scenario, error) {
	if !strings.HasSuffix(c.Lesson, ".json") && !strings.ContainsRune(c.Lesson, filepath.Separator) {
		return scenario.Find(c.Lesson)
	}
	info, err := os.Stat(c.Lesson)
	switch {
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("%s is no plain file", c.Lesson)
	case info.Size() > 1<<20:
		return nil, fmt.Errorf("%s is too large for a scenario", c.Lesson)
	}
	data, err := os.ReadFile(c.Lesson)
	if err != nil {
		return nil, err
	}
	s, err := scenario.Parse(data)
	if err != nil {
		return nil, fmt.Errorf("%s cannot be played:\n%w", c.Lesson, err)
	}
	return s, nil
}

func (c *TrainCmd) source(w io.Writer) error {
	if c.Lesson == "" {
		return &ExitError{ExitUsage, errors.New("name the lesson whose file to print")}
	}
	data, err := scenario.Source(c.Lesson)
	if err != nil {
		return &ExitError{ExitNoStart, err}
	}
	_, err = w.Write(data)
	return err
}

// lineWidth is what plain text is broken at: a terminal of 80 columns, or paper.
const lineWidth = 80

func listLessons(w io.Writer) error {
	var b strings.Builder
	for _, s := range scenario.All() {
		fmt.Fprintf(&b, "%-20s %s\n", s.Name, s.Title)
		b.WriteString(plain.Wrap(s.Teaches, strings.Repeat(" ", 21), strings.Repeat(" ", 21), lineWidth))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func (c *TrainCmd) options() scenario.Options {
	return scenario.Options{Seed: c.Seed, Units: c.units}
}

// demonstrate plays one lesson as text: by the tool's own advice, or by the
// mistake it teaches to avoid.
func (c *TrainCmd) demonstrate(w io.Writer, s *scenario.Scenario) error {
	if c.Journal != "" { // before the lesson has been sat through
		lines, report, err := journal.Read(c.Journal)
		if err == nil && (len(lines) > 0 || report.Damage != nil) {
			err = holdsRecord(c.Journal)
		}
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return &ExitError{ExitNoStart, err}
		}
	}
	r, err := scenario.Start(s, c.options())
	if err != nil {
		return err
	}
	say := func(format string, args ...any) error {
		_, err := fmt.Fprintf(w, format, args...)
		return err
	}
	if !c.JSON {
		if err := say("%s\n\n", s.Title); err != nil {
			return err
		}
		for _, p := range s.Story {
			_ = say("%s\n", plain.Wrap(p, "", "", lineWidth))
		}
	}
	const indent = "       " // of what stands under a time
	shown, clock := 0, r.Clock()
	tell := func() {
		if c.JSON {
			return
		}
		steps := r.Session().Steps()
		for ; shown < len(steps); shown++ {
			e := steps[shown].Event
			_ = say("%s", plain.Wrap(scenario.Telling(e, steps[shown].Told, c.options().Units), e.At.Format("15:04")+"  ", indent, lineWidth))
			if a := steps[shown].Told; e.Kind() == charge.KindReading && len(a.Why) > 0 {
				_ = say("%s", plain.Wrap(strings.Join(a.Why, " "), indent, indent, lineWidth))
			}
		}
	}
	play := scenario.Auto
	if c.Misstep {
		play = scenario.PlayMisstep
	}
	err = play(r, func(what string) {
		tell()
		if c.Speed > 0 {
			time.Sleep(time.Duration(r.Clock().Sub(clock).Minutes() / c.Speed * float64(time.Second)))
		}
		clock = r.Clock()
		if !c.JSON {
			_ = say("%s", plain.Wrap(what, clock.Format("15:04")+"  > ", indent+"  ", lineWidth))
		}
	})
	if err != nil {
		return err
	}
	tell()
	d, err := r.Debrief()
	if err != nil {
		return err
	}
	if c.Journal != "" {
		if err := keep(c.Journal, r.Events(), d); err != nil {
			return &ExitError{ExitNoStart, err}
		}
	}
	if c.JSON {
		err = d.WriteJSON(w)
	} else {
		_ = say("\n")
		err = d.WriteText(w, lineWidth)
	}
	if err == nil && !c.Misstep && d.Grade == scenario.NotSound {
		err = fmt.Errorf("%s: %s", s.Name, d.Grade)
	}
	return err
}

// autoAll plays every lesson and prints a line for each.
func (c *TrainCmd) autoAll(w io.Writer) error {
	bad := 0
	var all []scenario.Debrief
	for _, s := range scenario.All() {
		r, err := scenario.Start(s, c.options())
		if err == nil {
			err = scenario.Auto(r, nil)
		}
		var d scenario.Debrief
		if err == nil {
			d, err = r.Debrief()
		}
		if err != nil {
			return fmt.Errorf("%s: %w", s.Name, err)
		}
		if d.Grade == scenario.NotSound {
			bad++
		}
		all = append(all, d)
		if !c.JSON {
			head := fmt.Sprintf("%-20s ", s.Name)
			rest := strings.Repeat(" ", len(head))
			text := plain.Wrap(string(d.Grade), head, rest, lineWidth) +
				plain.Wrap(fmt.Sprintf("taken: %.0f min, %s", d.Taken.Minutes, d.Taken.Says), rest, rest+"  ", lineWidth) +
				plain.Wrap(fmt.Sprintf("shortest: %.0f min, %s", d.Shortest.Minutes, d.Shortest.Says), rest, rest+"  ", lineWidth)
			if _, err := io.WriteString(w, text); err != nil {
				return err
			}
		}
	}
	if c.JSON {
		if err := scenario.WriteAllJSON(w, all); err != nil {
			return err
		}
	}
	if bad > 0 {
		return fmt.Errorf("%d of %d lessons did not end sound", bad, len(all))
	}
	return nil
}

func holdsRecord(path string) error {
	return fmt.Errorf("%s holds a record already: name a new file", path)
}

// keep writes a run as a journal, and its debrief beside it as text and JSON.
func keep(path string, events []charge.Event, d scenario.Debrief) (err error) {
	j, _, err := journal.Open(path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, j.Close()) }()
	if len(j.Lines()) > 0 {
		return holdsRecord(path)
	}
	for _, e := range events {
		e.N = 0
		if _, err := j.Append(e); err != nil {
			return err
		}
	}
	base := strings.TrimSuffix(path, filepath.Ext(path)) + ".debrief"
	for ext, write := range map[string]func(io.Writer) error{
		".txt":  func(w io.Writer) error { return d.WriteText(w, lineWidth) },
		".json": d.WriteJSON,
	} {
		if err := save.File(base+ext, write); err != nil {
			return err
		}
	}
	return nil
}

// screen opens the train screen, on the list of lessons where none is named.
func (c *TrainCmd) screen(env *Env, s *scenario.Scenario) error {
	app := newApp(env)
	if err := app.Train(s, c.options(), c.Speed, c.Journal); err != nil {
		return &ExitError{ExitNoStart, err}
	}
	return app.Run(env.In, env.Out)
}
