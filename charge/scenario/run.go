package scenario

import (
	"errors"
	"fmt"
	"math"
	"strings"
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
	lesson   *Scenario
	opt      Options
	sys      *rig.System
	plant    *rig.Plant
	tools    *rig.Instruments
	now      time.Time
	faults   rig.Faults
	trouble  []Trouble
	schedule []rig.Weather
	looked   map[string]bool
	fixed    map[string]bool
	scaleKg  float64 // cylinder on the scale, gross
	session  *charge.Session
	events   []charge.Event
	truth    []Truth
	verdict  *Verdict
}

// Truth is how the system really stood when an event was entered.
type Truth struct {
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
	ouncePerKg   = 1 / 0.028349523125
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
	r.schedule = o.Weather
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

// Truth lists how the system stood at each event. It is for the debrief.
func (r *Run) Truth() []Truth { return append([]Truth(nil), r.truth...) }

// weather is the weather at the clock; weatherAt at another time of the day:
// even between two points of the schedule, still after the last.
func (r *Run) weather() rig.Conditions { return r.weatherAt(r.plant.Clock()) }

func (r *Run) weatherAt(d time.Duration) rig.Conditions {
	w := r.schedule
	a, b := w[0], w[0]
	for _, p := range w {
		if p.At <= d {
			a, b = p, p
			continue
		}
		b = p
		break
	}
	if b.At <= a.At {
		return a.Conditions
	}
	share := math.Min(math.Max(float64(d-a.At)/float64(b.At-a.At), 0), 1)
	mix := func(x, y float64) float64 { return x + (y-x)*share }
	c := a.Conditions
	c.OutdoorK = mix(c.OutdoorK, b.Conditions.OutdoorK)
	c.ReturnDryK = mix(c.ReturnDryK, b.Conditions.ReturnDryK)
	c.ReturnWetK = mix(c.ReturnWetK, b.Conditions.ReturnWetK)
	return c
}

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
	r.truth = append(r.truth, Truth{At: r.now, ChargeKg: r.plant.ChargeKg(), SuperheatK: st.SuperheatK, SubcoolingK: st.SubcoolingK,
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

// Read takes a full set of readings, two minutes' work, and enters it.
func (r *Run) Read() (charge.Event, error) {
	if err := r.open(); err != nil {
		return charge.Event{}, err
	}
	if err := r.pass(readingTakes); err != nil {
		return charge.Event{}, err
	}
	return r.enter(r.reading())
}

// Weigh moves refrigerant across the scale, negative out of the system, and
// enters what the scale showed. The phase is liquid unless the refrigerant may
// go in as vapor and the caller says so.
func (r *Run) Weigh(kg float64, phase charge.Phase) (charge.Event, error) {
	if err := r.open(); err != nil {
		return charge.Event{}, err
	}
	if kg > 0 && kg > r.scaleKg {
		return charge.Event{}, errors.New("the cylinder does not hold that much")
	}
	before := r.tools.Scale.Weigh(r.plant.Clock(), r.onScale())
	if err := r.pass((weighingTook + time.Duration(math.Abs(kg)*ouncePerKg/ozPerMinute*float64(time.Minute))).Round(time.Second)); err != nil {
		return charge.Event{}, err
	}
	after := r.tools.Scale.Weigh(r.plant.Clock(), r.onScale()-kg)
	amount := r.amount(before - after)
	if amount.IsZero() || amount.Kilograms() == 0 {
		return charge.Event{}, errors.New("that is less than the scale shows")
	}
	r.plant.Add(kg)
	w := &charge.Weighing{Amount: amount}
	if kg > 0 {
		w.Phase = phase
		if phase == "" {
			w.Phase = charge.LiquidPhase
		}
		if !math.IsNaN(r.scaleKg) {
			r.scaleKg -= kg
			w.Cylinder = r.cylinder()
		}
	}
	return r.enter(w)
}

// onScale is the true weight on the scale; a recovery cylinder starts light.
func (r *Run) onScale() float64 {
	if math.IsNaN(r.scaleKg) {
		return 10
	}
	return r.scaleKg
}

// amount is what the scale can show: a tenth of an ounce, a gram.
func (r *Run) amount(kg float64) q.Mass {
	if r.opt.Units == q.SI {
		return q.Grams(math.Round(kg * 1000))
	}
	return q.Ounces(math.Round(kg*ouncePerKg*10) / 10)
}

// cylinder is what the scale shows.
func (r *Run) cylinder() q.Mass {
	kg := r.tools.Scale.Weigh(r.plant.Clock(), r.scaleKg)
	if r.opt.Units == q.SI {
		return q.Kilograms(math.Round(kg*1000) / 1000)
	}
	return q.Pounds(math.Round(kg*ouncePerKg/16*1000) / 1000)
}

// Wait lets the clock run.
func (r *Run) Wait(minutes float64) error {
	if err := r.open(); err != nil {
		return err
	}
	if !(minutes > 0 && minutes <= 600) {
		return fmt.Errorf("waiting %g minutes: give more than 0 and at most 600", minutes)
	}
	return r.pass(time.Duration(minutes * float64(time.Minute)).Round(time.Second))
}

// item finds what may be inspected.
func (r *Run) item(name string) (*Item, error) {
	var names []string
	for i := range r.lesson.Items {
		if r.lesson.Items[i].Name == name {
			return &r.lesson.Items[i], nil
		}
		names = append(names, r.lesson.Items[i].Name)
	}
	return nil, fmt.Errorf("there is no %q to look at here: %s", clip(name), strings.Join(names, ", "))
}

// Looked reports whether an item was inspected, Fixed whether it was put right.
func (r *Run) Looked(item string) bool { return r.looked[item] }

// Fixed reports whether an item was put right.
func (r *Run) Fixed(item string) bool { return r.fixed[item] }

// Inspect looks at an item and enters what was found: a check for what is on
// the check-list, a note for anything else, and an amended setup where the
// look makes something known.
func (r *Run) Inspect(name string) ([]charge.Event, error) {
	if err := r.open(); err != nil {
		return nil, err
	}
	it, err := r.item(name)
	if err != nil {
		return nil, err
	}
	if err := r.pass(time.Duration(it.Minutes * float64(time.Minute))); err != nil {
		return nil, err
	}
	r.looked[name] = true
	if r.fixed[name] {
		return r.enterAll(r.found(it, charge.CheckOK, "as it should be now"))
	}
	events, err := r.enterAll(r.found(it, it.State, it.Says))
	if err == nil && it.Shows != nil {
		var more []charge.Event
		shown := *it.Shows
		more, err = r.enterAll(&shown)
		events = append(events, more...)
	}
	return events, err
}

// Fix puts an item right and enters that.
func (r *Run) Fix(name string) ([]charge.Event, error) {
	if err := r.open(); err != nil {
		return nil, err
	}
	it, err := r.item(name)
	switch {
	case err != nil:
		return nil, err
	case it.Fix == nil:
		return nil, fmt.Errorf("%s cannot be put right today", strings.ReplaceAll(name, "-", " "))
	case r.fixed[name]:
		return nil, fmt.Errorf("%s was put right already", strings.ReplaceAll(name, "-", " "))
	}
	if it.Fix.Stops {
		r.plant.SetLeak(0) // isolated before the work begins
	}
	if err := r.pass(time.Duration(it.Fix.Minutes * float64(time.Minute))); err != nil {
		return nil, err
	}
	r.looked[name], r.fixed[name] = true, true
	for fault, x := range it.Fix.Faults {
		setFault(&r.faults, fault, x)
	}
	if err := r.plant.SetFaults(r.faults); err != nil {
		return nil, err
	}
	kept := r.trouble[:0]
	for _, t := range r.trouble {
		mended := false
		for _, m := range it.Fix.Mends {
			mended = mended || m == t.Reading
		}
		if !mended {
			kept = append(kept, t)
		}
	}
	r.trouble = kept
	return r.enterAll(r.found(it, charge.CheckCorrected, it.Fix.Says))
}

func (r *Run) found(it *Item, state charge.CheckState, says string) charge.Body {
	if it.Known() {
		return &charge.Check{Item: charge.Item(it.Name), State: state, Note: charge.Text(says)}
	}
	return &charge.Note{Text: charge.Text(strings.ReplaceAll(it.Name, "-", " ") + ": " + says)}
}

func (r *Run) enterAll(b charge.Body) ([]charge.Event, error) {
	e, err := r.enter(b)
	if err != nil {
		return nil, err
	}
	return []charge.Event{e}, nil
}

// Enter takes any other entry of the log screen: a note, a void, an override,
// a setup that amends.
func (r *Run) Enter(b charge.Body) (charge.Event, error) {
	if err := r.open(); err != nil {
		return charge.Event{}, err
	}
	switch b.(type) {
	case *charge.Note, *charge.Void, *charge.Override, *charge.Setup:
		return r.enter(b)
	}
	return charge.Event{}, fmt.Errorf("a %s is made by an action of the roof, not entered", b.Kind())
}

// Finish closes the job: charged, or left alone for a cause.
func (r *Run) Finish(v Verdict) (charge.Event, error) {
	if err := r.open(); err != nil {
		return charge.Event{}, err
	}
	why := "charged"
	if v.Kind == LeaveIt {
		why = "left alone"
		if v.Cause != "" {
			why += ": " + strings.ReplaceAll(v.Cause, "-", " ")
		}
	}
	c := &charge.Close{Why: charge.Text(why)}
	if !math.IsNaN(r.scaleKg) {
		c.CylinderEnd = r.cylinder()
	}
	e, err := r.enter(c)
	if err == nil {
		r.verdict = &v
	}
	return e, err
}

func (r *Run) mass(kg float64) string { return q.FormatMassKg(kg, r.opt.Units) }
