package scenario

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"time"

	"chargehand/charge"
	q "chargehand/charge/quantity"
)

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
