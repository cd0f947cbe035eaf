package scenario

import (
	"errors"
	"fmt"
	"math"
	"time"

	"chargehand/charge"
	"chargehand/charge/moistair"
	q "chargehand/charge/quantity"
	"chargehand/charge/rig"
)

// Options of a run.
type Options struct {
	Seed  uint64   // of the instruments; the same seed plays the same run
	Units q.System // of readings, amounts and sentences
}

// Run is one apprentice on one roof. Each action takes its time, becomes an
// event of the session and is answered by the tool's own advice. A Run is not
// safe for concurrent use.
type Run struct {
	lesson  *Scenario
	opt     Options
	sys     *rig.System
	plant   *rig.Plant
	tools   *rig.Instruments
	now     time.Time
	faults  rig.Faults
	trouble []Trouble
	looked  map[string]bool
	fixed   map[string]bool
	scaleKg float64 // cylinder on the scale, gross
	session *charge.Session
	events  []charge.Event
	truth   []standing
	verdict *Verdict
}

// standing is how the system really stood when an event was entered.
type standing struct {
	At          time.Time
	ChargeKg    float64
	SuperheatK  float64
	SubcoolingK float64
	OutdoorK    float64
	WetK        float64
	Faults      rig.Faults
}

// Verdict is how the apprentice ended: it is charged, or it is left alone for
// a cause.
type Verdict struct {
	Kind  GoalKind
	Cause string
}

// What a look at gauges, clamps and probes takes, and a weighing.
const (
	readingTakes = 2 * time.Minute
	weighingTook = time.Minute
	ozPerMinute  = 8.0
	ouncePerKg   = 1 / q.KilogramsPerOunce
	longestRun   = 16 * time.Hour
)

var errOver = errors.New("the run is over: the job was closed")

// Start sets the roof up: the system has been running for a while, and the
// setup known on arrival is the first event.
func Start(s *Scenario, o Options) (*Run, error) {
	sys, err := rig.Size(s.Hidden.Spec)
	if err != nil {
		return nil, fmt.Errorf("lesson %s: %w", s.Name, err)
	}
	r := &Run{lesson: s, opt: o, sys: sys, now: s.Start, faults: s.Hidden.Faults, trouble: append([]Trouble(nil), s.Trouble...),
		looked: map[string]bool{}, fixed: map[string]bool{},
		session: charge.NewSession(charge.Options{Units: o.Units})}
	if err := r.begin(); err != nil {
		return nil, fmt.Errorf("lesson %s: %w", s.Name, err)
	}
	setup := s.Setup
	if s.Plate && setup.NameplateCharge.IsZero() {
		setup.NameplateCharge = r.plate(sys.NameplateKg)
	}
	r.scaleKg = setup.CylinderStart.Kilograms()
	_, err = r.enter(&setup)
	return r, err
}

// begin sets the live system going, in the weather of the schedule.
func (r *Run) begin() error {
	o := rig.PlantOptions{ChargeKg: r.lesson.Hidden.ChargePercent / 100 * r.sys.NameplateKg, Faults: r.faults,
		LeakKgPerHour: r.lesson.Hidden.LeakKgPerHour, GustK: gust, Seed: int64(r.opt.Seed)}
	baro := float64(standardPa)
	switch {
	case r.lesson.Setup.Barometer.IsValid():
		baro = r.lesson.Setup.Barometer.Absolute(0)
	case r.lesson.Setup.Elevation.IsValid():
		if p, err := moistair.StandardPressure(r.lesson.Setup.Elevation.Meters()); err == nil {
			baro = p
		}
	}
	for _, w := range r.lesson.Weather {
		o.Weather = append(o.Weather, rig.Weather{At: time.Duration(w.Minute * float64(time.Minute)),
			Conditions: rig.Conditions{OutdoorK: w.OutdoorK, ReturnDryK: w.ReturnDryK, ReturnWetK: w.ReturnWetK, BarometerPa: baro}})
	}
	var err error
	if r.plant, err = rig.NewPlant(r.sys, o); err != nil {
		return err
	}
	r.tools = rig.PlausibleInstruments(int64(r.opt.Seed) + 1)
	return nil
}

// gust is how much outdoor air wanders about its schedule, K.
const gust = 0.2

// plate rounds the charge to what a data plate would say.
func (r *Run) plate(kg float64) q.Mass {
	if r.opt.Units == q.SI {
		return q.Grams(math.Round(kg*100) * 10)
	}
	oz := math.Round(kg * ouncePerKg)
	if oz < 32 {
		return q.Ounces(math.Round(kg*ouncePerKg*10) / 10)
	}
	m, err := q.ParseMass(fmt.Sprintf("%.0f lb %.0f oz", math.Floor(oz/16), math.Mod(oz, 16)))
	if err != nil {
		return q.Ounces(oz)
	}
	return m
}

// Lesson is what is being played.
func (r *Run) Lesson() *Scenario { return r.lesson }

// Session is the fold of what was entered so far; the screens show it.
func (r *Run) Session() *charge.Session { return r.session }

// Events lists what was entered so far, for a journal.
func (r *Run) Events() []charge.Event { return append([]charge.Event(nil), r.events...) }

// Clock is the time on the roof.
func (r *Run) Clock() time.Time { return r.now }

// Hint is the tool's own advice now.
func (r *Run) Hint() charge.Advice { return r.session.Advice() }

// Done reports that the job was closed.
func (r *Run) Done() bool { return r.verdict != nil }

// weather is the weather at the clock.
func (r *Run) weather() rig.Conditions { return r.plant.Conditions() }

// pass lets time go by.
func (r *Run) pass(d time.Duration) error {
	if err := r.plant.Advance(d); err != nil {
		return fmt.Errorf("the simulated system finds no state to run in: %w", err)
	}
	r.now = r.now.Add(d)
	return nil
}

// enter makes an event of a body and keeps how the system stood.
func (r *Run) enter(b charge.Body) (charge.Event, error) {
	e := charge.Event{At: r.now, Body: b}
	if _, err := r.session.Apply(e); err != nil {
		return e, err
	}
	e.N = len(r.events) + 1
	r.events = append(r.events, e)
	st, w := r.plant.State(), r.weather()
	r.truth = append(r.truth, standing{At: r.now, ChargeKg: r.plant.ChargeKg(), SuperheatK: st.SuperheatK, SubcoolingK: st.SubcoolingK,
		OutdoorK: w.OutdoorK, WetK: w.ReturnWetK, Faults: r.faults})
	return e, nil
}

func (r *Run) open() error {
	if r.Done() {
		return errOver
	}
	if r.now.Sub(r.lesson.Start) > longestRun {
		return errors.New("night has fallen on the roof: finish the run")
	}
	return nil
}
