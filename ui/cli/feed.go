package cli

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"

	"chargehand/charge"
	"chargehand/charge/journal"
	"chargehand/charge/quantity"
)

// FeedCmd answers events line by line: for other programs, and for trying the
// advice on recorded or simulated jobs.
type FeedCmd struct {
	Journal string `type:"path" placeholder:"FILE" help:"Record each event in this journal before it is answered. A journal that has events already is resumed."`
	SI      bool   `name:"si" help:"Numbers end in _C, _K and _g, sentences are in °C, K and g."`
}

// Help is the long text of --help.
func (c *FeedCmd) Help() string {
	return `Reads one event (a JSON object) from each line of standard input and answers each with
exactly one line on standard output: an object of kind "advice" or "refused". A bad line
is refused and nothing else happens. A setup after a close begins a new session; with
--journal it is refused, since a journal holds one session.

Examples:
  chargehand feed < events.jsonl
  chargehand feed --journal job.jsonl --si

An event:
  {"kind":"reading","at":"2026-06-01T13:41:00Z","suction_pressure":"118.2 psig","suction_line":"58 °F"}`
}

// feedLimit is the longest line read whole. What is longer is read to its end
// and refused.
const feedLimit = 64 << 10

// Run answers until standard input ends.
func (c *FeedCmd) Run(env *Env) (err error) {
	f := &feed{si: c.SI}
	f.begin()
	if c.Journal != "" {
		if err := f.open(c.Journal, env.Err); err != nil {
			return &ExitError{ExitNoStart, err}
		}
		defer func() {
			err = errors.Join(err, f.journal.Close())
			f.notices(env.Err)
		}()
	}
	in := bufio.NewReaderSize(env.In, feedLimit)
	var line, out []byte
	for n := 1; ; n++ {
		var long bool
		var err error
		line, long, err = readLine(in, line[:0])
		if err != nil && len(line) == 0 && !long {
			if err == io.EOF {
				return nil
			}
			return fmt.Errorf("standard input: %w", err)
		}
		if n == 1 {
			line = bytes.TrimPrefix(line, []byte("\ufeff"))
		}
		out = f.answer(out[:0], n, line, long)
		f.notices(env.Err)
		if _, werr := env.Out.Write(append(out, '\n')); werr != nil {
			return fmt.Errorf("standard output: %w", werr)
		}
		if err != nil {
			if err == io.EOF {
				return nil
			}
			return fmt.Errorf("standard input: %w", err)
		}
	}
}

// readLine reads one line without its line feed. Of a line over feedLimit the
// rest is read and thrown away, and long is true.
func readLine(in *bufio.Reader, line []byte) (_ []byte, long bool, err error) {
	for {
		part, err := in.ReadSlice('\n')
		if len(line)+len(part) > feedLimit+1 {
			long = true
			line = append(line, part[:max(0, min(len(part), feedLimit-len(line)))]...)
		} else if !long {
			line = append(line, part...)
		}
		switch err {
		case nil:
			return bytes.TrimSuffix(line, []byte("\n")), long, nil
		case bufio.ErrBufferFull:
		default:
			return line, long, err
		}
	}
}

// feed is one stream of events with the session it builds up.
type feed struct {
	si      bool
	session *charge.Session
	journal *journal.Journal
}

func (f *feed) units() quantity.System {
	if f.si {
		return quantity.SI
	}
	return quantity.US
}

func (f *feed) begin() { f.session = charge.NewSession(charge.Options{Units: f.units()}) }

// open takes up the journal at path: what it holds is folded first, without
// answers.
func (f *feed) open(path string, errs io.Writer) error {
	j, report, err := journal.Open(path)
	if err != nil {
		return err
	}
	if report != nil && !report.Intact() {
		fmt.Fprintln(errs, "chargehand:", report)
	}
	lines := j.Lines()
	for _, l := range lines {
		if _, err := f.session.Apply(l.Event); err != nil {
			_ = j.Close()
			return fmt.Errorf("%s: event %d cannot be taken up: %w", path, l.N, err)
		}
	}
	if len(lines) > 0 {
		fmt.Fprintf(errs, "chargehand: goes on with %q: %d events recovered, the next is %d\n", path, len(lines), len(lines)+1)
	}
	f.journal = j
	return nil
}

// notices says what was mended underneath.
func (f *feed) notices(errs io.Writer) {
	if f.journal == nil {
		return
	}
	for _, s := range f.journal.Notices() {
		fmt.Fprintln(errs, "chargehand:", s)
	}
}

// answer appends the answer to one line of input.
func (f *feed) answer(out []byte, n int, line []byte, long bool) []byte {
	if long {
		return charge.AppendRefusal(out, n, fmt.Errorf("the line is longer than %d kB: write one event on each line, and shorten its texts", feedLimit>>10))
	}
	e, err := charge.ParseEvent(line)
	if err != nil {
		return charge.AppendRefusal(out, n, err)
	}
	e.N = 0 // the session counts for itself
	advice, err := f.take(e)
	if err != nil {
		return charge.AppendRefusal(out, n, err)
	}
	return charge.AppendAnswer(out, &advice, f.units())
}

var errOneSession = errors.New("the session is closed and its journal holds one session: start feed again with another --journal FILE")

// take applies an event, recorded before it is answered.
func (f *feed) take(e charge.Event) (charge.Advice, error) {
	if f.session.Closed() && e.Kind() == charge.KindSetup {
		if f.journal != nil {
			return charge.Advice{}, &charge.Refusal{Field: "kind", Value: "setup", Why: errOneSession.Error()}
		}
		f.begin()
	}
	if err := f.session.Admit(e); err != nil {
		return charge.Advice{}, err
	}
	if f.journal != nil {
		if _, err := f.journal.Append(e); err != nil {
			return charge.Advice{}, &charge.Refusal{Why: "not recorded, and so not taken: " + err.Error()}
		}
	}
	return f.session.Apply(e)
}
