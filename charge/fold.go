package charge

import (
	"math"
	"time"

	"chargehand/charge/moistair"
	q "chargehand/charge/quantity"
)

// state is everything the events so far amount to. apply is the whole fold:
// one event in, one answer out, and nothing but the events, their times and
// the setup decides what it is.
type state struct {
	opt     Options
	setup   Setup
	amended bool // setup holds all amendments already: a re-fold
	med     *medium
	site    float64 // barometric pressure, Pa

	began    time.Time
	now      time.Time
	clock    time.Duration // how far the newest event lies before the one in front of it
	n        int
	checks   map[Item]found
	readings []reading
	weighed  []weighing
	waived   map[string]waiver
	passed   map[string]bool // gates the technician went past by weighing in
	change   time.Time       // last thing that unsettled the system
	changeN  int             // its event, 0 when there was none
	changeKg float64         // moved by it
	waitTold time.Duration   // the wait last advised with it
	mind     *mind
	recall   *mind // in a re-fold: the mind to take up later, so none is shown the readings till then
	closed   bool
	closedN  int
	endKg    float64  // cylinder at the close, NaN when not read
	extra    []string // fields of the newest event that are not known here
	last     Advice
}

type found struct {
	state CheckState
	at    time.Time
	n     int
}

type waiver struct {
	why, by string
	n       int
}

// weighing is refrigerant moved across the scale.
type weighing struct {
	at       time.Time
	n        int
	kg       float64 // negative when recovered
	phase    Phase
	cylinder float64 // kg, NaN when not read
	before   int     // readings before it
}

func newState(opt Options) *state {
	return &state{
		opt:    opt,
		site:   moistair.SeaLevelPressure,
		endKg:  math.NaN(),
		checks: map[Item]found{},
		waived: map[string]waiver{},
		passed: map[string]bool{},
	}
}

// apply folds one admitted event and answers it.
func (st *state) apply(e Event) Advice {
	st.fold(e)
	st.last = st.advise(e.Kind())
	return st.last
}

// fold takes one admitted event into the state.
func (st *state) fold(e Event) {
	if st.began.IsZero() {
		st.began = e.At
	}
	st.clock = 0
	if e.At.Before(st.now) {
		st.clock = st.now.Sub(e.At)
	}
	st.n = e.N
	if e.Kind() != KindVoid { // what is taken back is entered again at its own time
		st.now = e.At
	}
	st.extra = st.extra[:0:0]
	for _, x := range e.Extra {
		st.extra = append(st.extra, x.Name)
	}
	switch b := e.Body.(type) {
	case *Setup:
		if !st.amended {
			st.setup.amend(b)
		}
		if st.med == nil { // a later setup comes with a fold from the start
			st.prepare()
		}
	case *Check:
		st.check(e, b)
	case *Reading:
		st.read(e, b)
	case *Weighing:
		st.weigh(e, b)
	case *Override:
		name, _ := ruleNamed(string(b.Rule)) // one we do not know is on the record, and said to do nothing
		st.waived[name] = waiver{string(b.Why), string(b.By), e.N}
	case *Close:
		st.closed, st.closedN, st.endKg = true, e.N, b.CylinderEnd.Kilograms()
	}
}

// prepare derives what the setup alone decides.
func (st *state) prepare() {
	med, err := newMedium(string(st.setup.Refrigerant))
	if err != nil { // admitted names are known
		panic("charge: " + err.Error())
	}
	st.med = med
	st.site = barometer(&st.setup)
	st.mind = newMind(st)
}

// barometer is the site's pressure: as entered, of the standard atmosphere at
// the elevation, or of standard sea level.
func barometer(s *Setup) float64 {
	if s.Barometer.IsValid() {
		return s.Barometer.Absolute(0)
	}
	if s.Elevation.IsValid() {
		if p, err := moistair.StandardPressure(s.Elevation.Meters()); err == nil {
			return p
		}
	}
	return moistair.SeaLevelPressure
}

// check keeps what was found. Something put right after a reading unsettles
// the system and makes it another one: what was learnt before is set aside.
func (st *state) check(e Event, b *Check) {
	st.checks[b.Item] = found{b.State, e.At, e.N}
	if b.State == CheckCorrected && movesAir(b.Item) && len(st.readings) > 0 {
		st.change, st.changeN, st.changeKg, st.waitTold = e.At, e.N, 0, 0
		st.mind = newMind(st)
	}
}

// movesAir reports the items that change how the system runs when put right.
func movesAir(i Item) bool {
	switch i {
	case Filter, EvaporatorCoil, Blower, CondenserCoil, CondenserFan:
		return true
	}
	return false
}

func (st *state) weigh(e Event, b *Weighing) {
	w := weighing{at: e.At, n: e.N, kg: b.Amount.Kilograms(), phase: b.Phase, cylinder: b.Cylinder.Kilograms(), before: len(st.readings)}
	st.weighed = append(st.weighed, w)
	st.change, st.changeN, st.changeKg = e.At, e.N, w.kg
	st.waitTold = 0
	if st.last.Action == Add || st.last.Action == Recover {
		st.waitTold = st.last.Wait
	}
	if w.kg > 0 {
		for _, g := range st.last.Gates {
			st.passed[g.Name] = true
		}
	}
}

// net is what went in less what came out, in kg; added and recovered are both
// positive.
func (st *state) totals() (net, added, recovered float64) {
	for _, w := range st.weighed {
		net += w.kg
		if w.kg > 0 {
			added += w.kg
		} else {
			recovered -= w.kg
		}
	}
	return net, added, recovered
}

// cylinderNow is what the scale should show.
func (st *state) cylinderNow() q.Mass {
	kg := st.setup.CylinderStart.Kilograms()
	for _, w := range st.weighed {
		if !math.IsNaN(w.cylinder) {
			kg = w.cylinder
		} else {
			kg -= w.kg
		}
	}
	if math.IsNaN(kg) || kg < 0 {
		return q.Mass{}
	}
	if st.opt.Units == q.SI {
		return q.Kilograms(kg)
	}
	return q.Ounces(kg / kgPerOz)
}
