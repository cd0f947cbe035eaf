package scenario

import (
	"fmt"
	"math"
	"time"

	"chargehand/charge"
	"chargehand/charge/rig"
)

// The shortest sound path is searched on the hidden system itself, with all
// that only the rig knows. It keeps the rules every path keeps: what must be
// put right comes first, the system runs a quarter of an hour before the
// first reading, no step is over a tenth of the plate, twelve minutes and a
// reading follow each, superheat stays over its floor at every stop. Among the
// paths that keep them it takes the fewest increments, and the amount that
// ends in the middle of the band.
func (r *Run) shortest() (Path, error) {
	d := time.Duration(0)
	for i := range r.lesson.Items {
		it := &r.lesson.Items[i]
		need := false
		for _, m := range r.lesson.Goal.MustFix {
			need = need || m == it.Name
		}
		switch {
		case need && it.Fix != nil:
			d += time.Duration((it.Minutes + it.Fix.Minutes) * float64(time.Minute))
			if r.lesson.Goal.Kind == LeaveIt { // and see what it did
				d += settleTakes + readingTakes
			}
		case r.lesson.Goal.Kind == LeaveIt && (it.State == charge.CheckFaulty || !it.Known()):
			d += time.Duration(it.Minutes * float64(time.Minute))
		}
	}
	leaked := 0.0
	if h := r.lesson.Hidden.LeakKgPerHour; h > 0 { // until the leak is found
		for i := range r.lesson.Items {
			if f := r.lesson.Items[i].Fix; f != nil && f.Stops {
				leaked = h * r.lesson.Items[i].Minutes / 60
			}
		}
	}
	d += firstRunning + readingTakes
	if r.lesson.Goal.Kind == LeaveIt {
		return Path{Minutes: d.Minutes(), Says: "look, read, leave it: " + r.lesson.Goal.Says}, nil
	}
	faults := r.lesson.Hidden.Faults
	for i := range r.lesson.Items {
		it := &r.lesson.Items[i]
		for _, m := range r.lesson.Goal.MustFix {
			if m == it.Name && it.Fix != nil {
				for f, x := range it.Fix.Faults {
					setFault(&faults, f, x)
				}
			}
		}
	}
	start := r.lesson.Hidden.ChargePercent/100*r.sys.NameplateKg - leaked
	most := stepOfPlate * r.sys.NameplateKg
	// The weather moves on while steps are made: more steps, a later target.
	for n := 0; n <= 12; n++ {
		end := d + time.Duration(n)*(weighingTook+settleTakes+readingTakes)
		c := r.plant.ConditionsAt(end)
		goal, err := r.middle(start, c, faults)
		if err != nil {
			return Path{}, err
		}
		add := goal - start
		if r.inBandAt(start, c, faults) {
			add = 0 // nothing need be done
		}
		if math.Abs(add) > float64(n)*most+1e-9 || n > 0 && math.Abs(add) < 1e-9 {
			continue
		}
		if !r.safe(start, add, n, c, faults) {
			continue
		}
		p := Path{Minutes: end.Minutes(), Increments: n, NetKg: add}
		p.Says = fmt.Sprintf("%s, %s net", times(n, "increment"), r.net(add))
		return p, nil
	}
	return Path{}, fmt.Errorf("lesson %s: no sound path leads into the band", r.lesson.Name)
}

// at is the number the goal speaks of, at a charge.
func (r *Run) at(kg float64, c rig.Conditions, f rig.Faults) (now float64, st rig.State, err error) {
	st, err = r.sys.Steady(kg, c, f)
	if r.lesson.Goal.Of == charge.OfSuperheat {
		return st.SuperheatK, st, err
	}
	return st.SubcoolingK, st, err
}

func (r *Run) inBandAt(kg float64, c rig.Conditions, f rig.Faults) bool {
	low, high := r.band(r.lesson.Goal.Of, c)
	now, _, err := r.at(kg, c, f)
	return err == nil && now >= low && now <= high
}

// middle finds the charge at the middle of the band: superheat falls and
// subcooling rises with charge, so it is bracketed and halved.
func (r *Run) middle(start float64, c rig.Conditions, f rig.Faults) (float64, error) {
	low, high := r.band(r.lesson.Goal.Of, c)
	if math.IsNaN(low) {
		return 0, fmt.Errorf("lesson %s: no target in the weather of its end", r.lesson.Name)
	}
	mid := (low + high) / 2
	a, b := math.Min(start, 0.6*r.sys.NameplateKg), math.Max(start, 1.3*r.sys.NameplateKg)
	for range 40 {
		m := (a + b) / 2
		now, _, err := r.at(m, c, f)
		if err != nil {
			return 0, err
		}
		if (now > mid) == (r.lesson.Goal.Of == charge.OfSuperheat) {
			a = m
		} else {
			b = m
		}
	}
	return (a + b) / 2, nil
}

// safe walks the path in n equal steps and looks at superheat at every stop.
func (r *Run) safe(start, add float64, n int, c rig.Conditions, f rig.Faults) bool {
	for i := 1; i <= n; i++ {
		_, st, err := r.at(start+add*float64(i)/float64(n), c, f)
		if err != nil || add > 0 && st.SuperheatK < floodingK {
			return false
		}
	}
	return true
}
