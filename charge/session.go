package charge

import (
	"time"

	q "chargehand/charge/quantity"
)

// Options of a session.
type Options struct {
	Units  q.System // of the sentences; numbers in Advice are SI whatever it is
	Stream uint64   // of the random numbers the belief draws; zero but to see how much hangs on them
}

// Session is the fold of one log of events. It is not safe for concurrent use.
type Session struct {
	opt   Options
	steps []Step
	st    *state
}

// Step is one event of the session with what was told.
type Step struct {
	Event  Event
	Told   Advice // at that moment, before any later amendment or void
	Now    Advice // what the same step amounts to under the present setup; of a voided event as it was told
	Voided bool   // a later void took it back
}

// NewSession begins an empty session; its first event must be a Setup.
func NewSession(opt Options) *Session {
	return &Session{opt: opt, st: newState(opt)}
}

// Apply takes one event and answers it. Its N becomes the next number of the
// session (a larger one given by a journal is kept). The error is a *Refusal;
// the session is then exactly as before.
//
// A Void, and a Setup after the first, fold the whole session again from the
// raw entries; every other event costs one step.
func (s *Session) Apply(e Event) (Advice, error) {
	if err := s.Admit(e); err != nil {
		return Advice{}, err
	}
	e.N = s.next(e.N)
	from := len(s.steps) // the first step that has to be computed
	switch b := e.Body.(type) {
	case *Setup:
		from = 0
	case *Void:
		from = s.index(int(b.Voids))
		s.steps[from].Voided = true
	}
	s.steps = append(s.steps, Step{Event: e})
	last := &s.steps[len(s.steps)-1]
	if from < len(s.steps)-1 {
		s.refold(from)
	} else {
		last.Now = s.st.apply(e)
	}
	last.Told = last.Now
	return last.Told, nil
}

// Admit says whether Apply would take the event: nil, or the *Refusal it would
// give. Whoever records events writes them between Admit and Apply, so that
// nothing refused is recorded and nothing is answered that is not.
func (s *Session) Admit(e Event) error { return s.admit(&e) }

// refold computes the state from the raw entries of every event that stands,
// under the setup as it is amended now. Steps before from are what they were:
// they are folded, not answered again. Times of the answers stay those of the
// events.
func (s *Session) refold(from int) {
	st := newState(s.opt)
	st.setup = s.merged()
	st.amended = true
	st.recall = s.recallable(from)
	for i := range s.steps {
		step := &s.steps[i]
		if i == from && st.recall != nil {
			st.mind, st.recall = st.recall, nil
		}
		switch {
		case step.Voided:
		case i < from:
			st.fold(step.Event)
			st.last = step.Now
		default:
			step.Now = st.apply(step.Event)
		}
	}
	s.st = st
}

// recallable is the mind as it was before step from, when it can be had
// without showing it every reading again: nil otherwise. An undo of the last
// entry is the usual case.
func (s *Session) recallable(from int) *mind {
	for i := from; i < len(s.steps); i++ {
		step := &s.steps[i]
		if i > from && step.Voided {
			continue
		}
		switch b := step.Event.Body.(type) {
		case *Setup:
			return nil
		case *Check:
			if b.State == CheckCorrected && movesAir(b.Item) {
				return nil
			}
		case *Reading:
			if i > from {
				return nil
			}
		}
	}
	if m := s.st.mind; m.seen != s.steps[from].Event.N {
		return m // it never saw what is taken back
	}
	return s.st.mind.before
}

// merged is the setup after all amendments that stand.
func (s *Session) merged() Setup {
	var m Setup
	for i := range s.steps {
		if b, ok := s.steps[i].Event.Body.(*Setup); ok && !s.steps[i].Voided {
			m.amend(b)
		}
	}
	return m
}

// next is the number of the coming event.
func (s *Session) next(given int) int {
	last := 0
	if len(s.steps) > 0 {
		last = s.steps[len(s.steps)-1].Event.N
	}
	return max(given, last+1)
}

// index finds the step of event n, -1 when there is none.
func (s *Session) index(n int) int {
	for i := range s.steps {
		if s.steps[i].Event.N == n {
			return i
		}
	}
	return -1
}

// Advice is the answer to the last event, the zero Advice before the first.
func (s *Session) Advice() Advice {
	if len(s.steps) == 0 {
		return Advice{}
	}
	return s.steps[len(s.steps)-1].Now
}

// Steps lists the events so far, the voided ones included.
func (s *Session) Steps() []Step { return append([]Step(nil), s.steps...) }

// Len is the number of events so far.
func (s *Session) Len() int { return len(s.steps) }

// Setup is what is known of the unit after all amendments.
func (s *Session) Setup() Setup { return s.st.setup }

// BarometerPa is the site's barometric pressure in pascals: as entered, or of
// the standard atmosphere at the elevation, or at sea level.
func (s *Session) BarometerPa() float64 { return s.st.site }

// Units are the units of the sentences.
func (s *Session) Units() q.System { return s.opt.Units }

// Closed reports whether the session was closed and not reopened by a void.
func (s *Session) Closed() bool { return s.st.closed }

// Elapsed is the time from the first event to the last.
func (s *Session) Elapsed() time.Duration {
	if len(s.steps) == 0 {
		return 0
	}
	return s.steps[len(s.steps)-1].Event.At.Sub(s.steps[0].Event.At)
}

// Readings lists what each reading that stands amounts to, oldest first.
func (s *Session) Readings() []Derived {
	out := make([]Derived, len(s.st.readings))
	for i := range s.st.readings {
		out[i] = s.st.readings[i].Derived
	}
	return out
}

// LastReading is the newest reading that stands as it was entered, nil when
// there is none: the defaults of the next one.
func (s *Session) LastReading() *Reading {
	for i := len(s.steps) - 1; i >= 0; i-- {
		if b, ok := s.steps[i].Event.Body.(*Reading); ok && !s.steps[i].Voided {
			return b
		}
	}
	return nil
}

// Checks gives what each item looked at was found as, the latest finding of
// each.
func (s *Session) Checks() map[Item]CheckState {
	m := make(map[Item]CheckState, len(s.st.checks))
	for item, c := range s.st.checks {
		m[item] = c.state
	}
	return m
}

// CylinderNow is what the scale should show now: the start less what went in,
// or the last scale reading entered. The zero Mass when neither is known.
func (s *Session) CylinderNow() q.Mass { return s.st.cylinderNow() }
