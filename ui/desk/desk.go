// Package desk stands between a screen and the session it works on: it applies
// events, writes them to the journal, one at a time, and hands the screen a
// picture of what is acknowledged. The screen never touches the session.
//
// # How an entry travels
//
//	Submit   queues events that belong together. The screen goes on at once.
//	command  one at a time: tries the events on a copy where there are several,
//	         applies each to the session, appends each to the journal.
//	Done     comes back as a message with the new picture, or with the refusal,
//	         or with the reason why the disk did not take it. Only now may a
//	         screen claim the entry.
//
// A refusal changes nothing. An entry the disk did not take stays in the
// session, is shown as not saved, and goes first when anything is tried again:
// the journal never has a gap.
package desk

import (
	"errors"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge"
	q "chargehand/charge/quantity"
)

// Record keeps events where they survive. *journal.Journal is one.
type Record interface {
	Append(charge.Event) (int, error)
	Path() string
	Close() error
}

// Picture is a session as far as it is acknowledged. It does not change.
type Picture struct {
	Advice    charge.Advice
	Steps     []charge.Step
	Setup     charge.Setup
	Last      *charge.Reading // the newest reading that stands
	Checks    map[charge.Item]charge.CheckState
	Cylinder  q.Mass
	Barometer float64 // Pa
	Closed    bool
	Unsaved   int // entries at the end that are not on disk
	Units     q.System
	Beside    any // what an engine with a Beside method told when the picture was made
}

// Began reports whether there is a setup.
func (p *Picture) Began() bool { return len(p.Steps) > 0 }

// Done is the outcome of one Submit, Retry or Refold.
type Done struct {
	desk    *Desk
	Ticket  int // of the Submit
	Picture Picture
	Refused *charge.Refusal // nothing was entered
	Err     error           // entered, but not on disk
	Fault   any             // the engine broke down on these events; nothing was entered
}

type job struct {
	ticket int
	events []charge.Event
	action func() error
	units  *q.System
}

// Engine is the session behind a desk: entries go in by Apply. The live one is
// a session itself; a simulated roof makes its own entries beside.
type Engine interface {
	Session() *charge.Session
	Apply(charge.Event) error
}

// Besides is an engine that has more to tell than its session: Beside is
// called where nothing else uses the engine, and what it gives must not change.
type Besides interface{ Beside() any }

// live is a session with nothing behind it.
type live struct{ s *charge.Session }

func (l live) Session() *charge.Session { return l.s }

func (l live) Apply(e charge.Event) error {
	_, err := l.s.Apply(e)
	return err
}

// Desk works on one session. It belongs to the update loop.
type Desk struct {
	engine  Engine         // the running command's, while busy
	own     bool           // the engine is a live session, which may be replaced by a copy
	record  Record         // nil: kept in memory only
	unsaved []charge.Event // the running command's, while busy
	picture Picture
	queue   []job
	busy    bool
	tickets int
	notices []string
}

// New is a desk with an empty session. A nil record keeps it in memory.
func New(units q.System, record Record) *Desk {
	d := &Desk{engine: live{charge.NewSession(charge.Options{Units: units})}, own: true, record: record}
	d.picture = picture(d.engine.Session(), 0)
	return d
}

// Over is a desk over an engine that has its own session, as a simulated roof
// has. A nil record keeps it in memory.
func Over(e Engine, record Record) *Desk {
	d := &Desk{engine: e, record: record}
	d.picture = picture(e.Session(), 0)
	d.picture.Beside = d.beside()
	for _, st := range d.picture.Steps {
		d.unsaved = append(d.unsaved, st.Event) // written with the next entry
	}
	if record != nil {
		d.picture.Unsaved = len(d.unsaved)
	}
	return d
}

// Notices are sentences about the opening of the journal.
func (d *Desk) Notices() []string { return d.notices }

// Picture is what is acknowledged.
func (d *Desk) Picture() *Picture { return &d.picture }

// Path is the journal's file name, "" for a session in memory.
func (d *Desk) Path() string {
	if d.record == nil {
		return ""
	}
	return d.record.Path()
}

// Busy reports whether an entry is under way.
func (d *Desk) Busy() bool { return d.busy || len(d.queue) > 0 }

// Close lets go of the journal. Everything acknowledged is on disk already.
func (d *Desk) Close() error {
	if d.record == nil || d.busy {
		return nil // a running command still writes; the file is unlocked when the program ends
	}
	return d.record.Close()
}

// Submit enters events that belong together: all of them or none.
func (d *Desk) Submit(events ...charge.Event) (ticket int, cmd tea.Cmd) {
	d.tickets++
	d.queue = append(d.queue, job{ticket: d.tickets, events: events})
	return d.tickets, d.next()
}

// Do runs an action that may make entries of its own, in the same queue. The
// error it gives comes back as a refusal.
func (d *Desk) Do(action func() error) (ticket int, cmd tea.Cmd) {
	d.tickets++
	d.queue = append(d.queue, job{ticket: d.tickets, action: action})
	return d.tickets, d.next()
}

// Retry tries again to write what is not on disk.
func (d *Desk) Retry() tea.Cmd {
	if d.busy || d.picture.Unsaved == 0 {
		return nil
	}
	d.tickets++
	d.queue = append(d.queue, job{ticket: d.tickets})
	return d.next()
}

// Refold computes the session again with its sentences in other units.
func (d *Desk) Refold(units q.System) tea.Cmd {
	if units == d.picture.Units && len(d.queue) == 0 && !d.busy {
		return nil
	}
	d.tickets++
	d.queue = append(d.queue, job{ticket: d.tickets, units: &units})
	return d.next()
}

// Update takes a Done of this desk and starts what is queued behind it. Other
// messages are not for it.
func (d *Desk) Update(msg tea.Msg) (done *Done, cmd tea.Cmd) {
	m, ok := msg.(Done)
	if !ok || m.desk != d {
		return nil, nil
	}
	d.busy = false
	d.picture = m.Picture
	return &m, d.next()
}

func (d *Desk) next() tea.Cmd {
	if d.busy || len(d.queue) == 0 {
		return nil
	}
	j := d.queue[0]
	d.queue = d.queue[1:]
	d.busy = true
	return func() tea.Msg { return d.run(j) }
}

func (d *Desk) beside() any {
	if b, ok := d.engine.(Besides); ok {
		return b.Beside()
	}
	return nil
}

// run is the command. While it runs, engine and unsaved are its alone.
func (d *Desk) run(j job) (done Done) {
	done = Done{desk: d, Ticket: j.ticket}
	defer func() {
		if r := recover(); r != nil {
			// The engine must not take the technician's screen down with it. What
			// was acknowledged is folded again from its events.
			done.Fault = r
			done.Picture = d.picture
			if d.own {
				d.engine = live{replayed(d.picture.Steps, d.picture.Units)}
			}
		}
	}()
	if j.units != nil {
		if d.own {
			d.engine = live{replayed(d.engine.Session().Steps(), *j.units)}
			done.Picture = picture(d.engine.Session(), len(d.unsaved))
		} else {
			done.Picture = picture(replayed(d.engine.Session().Steps(), *j.units), len(d.unsaved))
			done.Picture.Beside = d.beside()
		}
		return done
	}
	s := d.engine.Session()
	had := s.Len()
	done.Refused = d.enter(j)
	for _, st := range s.Steps()[had:] {
		d.unsaved = append(d.unsaved, st.Event)
	}
	if d.record == nil {
		d.unsaved = nil
	}
	for len(d.unsaved) > 0 {
		if _, err := d.record.Append(d.unsaved[0]); err != nil {
			done.Err = err
			break
		}
		d.unsaved = d.unsaved[1:]
	}
	if s.Units() != d.picture.Units && !d.own {
		s = replayed(s.Steps(), d.picture.Units)
	}
	done.Picture = picture(s, len(d.unsaved))
	done.Picture.Beside = d.beside()
	return done
}

// enter runs the action, or applies the events: all of them or none.
func (d *Desk) enter(j job) *charge.Refusal {
	if j.action != nil {
		if err := j.action(); err != nil {
			return refusal(err)
		}
		return nil
	}
	if len(j.events) > 1 {
		s := d.engine.Session()
		try := replayed(s.Steps(), s.Units())
		for _, e := range j.events {
			if _, err := try.Apply(e); err != nil {
				return refusal(err)
			}
		}
	}
	for _, e := range j.events {
		if err := d.engine.Apply(e); err != nil {
			return refusal(err)
		}
	}
	return nil
}

func refusal(err error) *charge.Refusal {
	var r *charge.Refusal
	if errors.As(err, &r) {
		return r
	}
	return &charge.Refusal{Why: err.Error()}
}

// replayed folds the events of some steps again. They were admitted before.
func replayed(steps []charge.Step, units q.System) *charge.Session {
	s := charge.NewSession(charge.Options{Units: units})
	for _, st := range steps {
		_, _ = s.Apply(st.Event)
	}
	return s
}

func picture(s *charge.Session, unsaved int) Picture {
	p := Picture{
		Advice: s.Advice(), Steps: s.Steps(), Last: s.LastReading(), Unsaved: unsaved, Units: s.Units(),
		Barometer: 101325,
	}
	if len(p.Steps) > 0 {
		p.Setup, p.Checks, p.Cylinder = s.Setup(), s.Checks(), s.CylinderNow()
		p.Barometer, p.Closed = s.BarometerPa(), s.Closed()
	}
	return p
}

// Preview says what a reading would be doubted for, before it is entered: the
// reading is put to a small session of the same setup and the last reading. A
// weighing in front of both keeps them unsettled, so that no belief is formed
// of them: that would cost a hundred times as much.
func Preview(p *Picture, e charge.Event) (doubts []charge.Doubt, refused *charge.Refusal) {
	defer func() { _ = recover() }() // a preview is a courtesy
	s := charge.NewSession(charge.Options{Units: p.Units})
	setup := p.Setup
	if _, err := s.Apply(charge.Event{At: e.At, Body: &setup}); err != nil {
		return nil, refusal(err)
	}
	_, _ = s.Apply(charge.Event{At: e.At, Body: &charge.Weighing{Amount: q.Grams(1)}})
	if p.Last != nil {
		last := *p.Last
		_, _ = s.Apply(charge.Event{At: e.At, Body: &last})
	}
	a, err := s.Apply(e)
	if err != nil {
		return nil, refusal(err)
	}
	return a.Doubts, nil
}
