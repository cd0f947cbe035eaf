package desk

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"chargehand/charge"
	"chargehand/charge/journal"
	q "chargehand/charge/quantity"
)

// Opening is a journal that was opened and read, but not folded yet. Reading
// takes next to nothing; the fold of a long job is worth a frame in between.
type Opening struct {
	path    string
	journal *journal.Journal // nil where there is none yet
	notices []string
}

// Read opens the journal at path; where there is none, it is made with the first
// entry. Whoever has it folds or closes it.
func Read(path string) (*Opening, error) {
	if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
		return &Opening{path: path}, nil
	}
	j, report, err := journal.Open(path)
	if err != nil {
		return nil, err
	}
	o := &Opening{path: path, journal: j}
	if report != nil && !report.Intact() {
		o.notices = []string{report.String()}
	}
	return o, nil
}

// Events are what the journal holds.
func (o *Opening) Events() []charge.Event {
	if o.journal == nil {
		return nil
	}
	lines := o.journal.Lines()
	events := make([]charge.Event, len(lines))
	for i := range lines {
		events[i] = lines[i].Event
	}
	return events
}

// Fold is the desk over the journal. Notices says what had to be mended.
func (o *Opening) Fold(units q.System) (*Desk, error) {
	if o.journal == nil {
		return New(units, lazyAt(o.path)), nil
	}
	d := New(units, o.journal)
	d.notices = o.notices
	for _, e := range o.Events() {
		if err := d.engine.Apply(e); err != nil {
			_ = o.journal.Close()
			return nil, fmt.Errorf("journal %q, entry %d: %w", o.path, e.N, err)
		}
	}
	d.picture = picture(d.engine.Session(), 0)
	return d, nil
}

// Close lets go of a journal that is not wanted after all.
func (o *Opening) Close() {
	if o.journal != nil {
		_ = o.journal.Close()
	}
}

// Open reads and folds in one call.
func Open(units q.System, path string) (*Desk, error) {
	o, err := Read(path)
	if err != nil {
		return nil, err
	}
	return o.Fold(units)
}
