package scenario

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"chargehand/charge"
	"chargehand/charge/audit"
	q "chargehand/charge/quantity"
	"chargehand/charge/rig"
)

// judge gathers what was wrong.
type judge struct {
	r     *Run
	d     *Debrief
	final rig.State
	ended bool // rightly
}

// ending compares how the job ended with the goal.
func (j *judge) ending() {
	r, g, v := j.r, &j.r.lesson.Goal, j.r.verdict
	sh, sc := j.final.SuperheatK, j.final.SubcoolingK
	state := fmt.Sprintf("really superheat %s, subcooling %s, %.0f %% of the plate charge", r.diff(sh), r.diff(sc), 100*r.plant.ChargeKg()/r.sys.NameplateKg)
	unmended := []string{}
	for _, item := range g.MustFix {
		if !r.fixed[item] {
			unmended = append(unmended, strings.ReplaceAll(item, "-", " "))
		}
	}
	switch g.Kind {
	case ChargeIt:
		low, high := r.band(g.Of, r.weather())
		now := sc
		if g.Of == charge.OfSuperheat {
			now = sh
		}
		j.d.Landed = now >= low-landedSlackK && now <= high+landedSlackK
		j.ended = j.d.Landed && v.Kind == ChargeIt
		j.d.Ended = fmt.Sprintf("%s: %s. Target %s %s to %s.", ended(v), state, g.Of, r.diff(low), r.diff(high))
		if v.Kind == LeaveIt {
			j.wrong(len(r.events)-1, true, "left a unit that could be charged", "no cause but charge stood against it: "+g.Says)
		} else if !j.d.Landed {
			what := fmt.Sprintf("ended outside the band: %s %s", g.Of, r.diff(now))
			if other := j.otherTarget(); other != "" {
				what = "wrong target: " + other
			}
			j.wrong(len(r.events)-1, true, what, j.signOfEnd())
		}
	case LeaveIt:
		p := j.d.Taken
		j.d.Landed = p.NetKg <= scaleSlackKg
		right := slices.Contains(g.Causes, v.Cause) || v.Kind == ChargeIt && slices.Contains(g.Causes, "in-band") && j.d.Landed
		j.ended = right && j.d.Landed
		j.d.Ended = fmt.Sprintf("%s: %s.", ended(v), state)
		if v.Kind == ChargeIt && !right {
			j.wrong(len(r.events)-1, true, "called a unit charged that was not to be charged", r.lesson.Misstep.Sign)
		} else if !right {
			j.wrong(len(r.events)-1, true, fmt.Sprintf("left it for the wrong reason (%s)", words(v.Cause)), "the right one: "+words(strings.Join(g.Causes, ", "))+". "+r.lesson.Misstep.Sign)
		}
	}
	for _, item := range unmended {
		j.ended = false
		j.wrong(-1, true, item+" was not put right", "it could be looked at from the first minute")
	}
}

// otherTarget reports a job that ended in the band of the device that is not
// inside.
func (j *judge) otherTarget() string {
	r := j.r
	of, now, is := charge.OfSuperheat, j.final.SuperheatK, "a valve is inside, and it is charged by subcooling"
	if r.lesson.Goal.Of == charge.OfSuperheat {
		of, now, is = charge.OfSubcooling, j.final.SubcoolingK, "a fixed orifice is inside, and it is charged by superheat"
	}
	low, high := r.band(of, r.weather())
	if !(now >= low && now <= high) || !math.IsNaN(r.lesson.Goal.LowK) {
		return ""
	}
	return fmt.Sprintf("stopped at %s %s, inside %s to %s; %s", of, r.diff(now), r.diff(low), r.diff(high), is)
}

func ended(v *Verdict) string {
	if v.Kind == ChargeIt {
		return "closed as charged"
	}
	if v.Cause == "" {
		return "left alone"
	}
	return "left alone for " + words(v.Cause)
}

func words(s string) string { return strings.ReplaceAll(s, "-", " ") }

// signOfEnd says what spoke against stopping where it was stopped.
func (j *judge) signOfEnd() string {
	steps := j.r.session.Steps()
	for i := len(steps) - 1; i >= 0; i-- {
		if steps[i].Event.Kind() != charge.KindReading || steps[i].Voided {
			continue
		}
		a := steps[i].Told
		if a.Action == charge.Stop && a.Done {
			break
		}
		s := fmt.Sprintf("the last reading (%s) had superheat %s, subcooling %s", at(steps[i].Event.At), j.r.diff(a.Derived.SuperheatK), j.r.diff(a.Derived.SubcoolingK))
		if a.Belief.Verdict == charge.DeviceUnknown || a.Belief.Verdict == "" {
			s += ", and the device was not settled"
		}
		return s + ". " + j.r.lesson.Misstep.Sign
	}
	return j.r.lesson.Misstep.Sign
}

func at(t time.Time) string { return t.Format("15:04") }

func (j *judge) wrong(i int, grave bool, what, sign string) {
	w := Wrong{What: what, Sign: sign, Grave: grave}
	if i >= 0 {
		w.N, w.At = i+1, j.r.events[i].At
	}
	j.d.Missteps = append(j.d.Missteps, w)
}

// notHere are rules of the audit that judge the record's file, the scale, or
// what the truth judges better.
var notHere = []string{"chain-broken", "torn-line", "not-closed", "unknown-fields", "refused-event", "weigh-in-instead", "left-out-of-band", "cylinder-mismatch"}

// wrongs finds the missteps on the way: those the hidden truth shows, then
// those the audit sees in the record.
func (j *judge) wrongs() {
	r := j.r
	flooded, faulty, leaky := false, false, false
	for i, e := range r.events {
		w, ok := e.Body.(*charge.Weighing)
		in := ok && !r.voided(i) && w.Amount.Kilograms() > 0
		t := r.truth[i]
		if in && !faulty {
			if worst := worstFault(t.Faults); worst != nil {
				faulty = true
				j.wrong(i, true, fmt.Sprintf("%s went into a system with %s", w.Amount, worst.words), j.firstSign(i, worst.cause))
			}
		}
		if in && !leaky && r.lesson.Hidden.LeakKgPerHour > 0 && !r.leakMendedBefore(i) {
			leaky = true
			j.wrong(i, true, fmt.Sprintf("%s went in while the leak ran", w.Amount), "leak search was open on the check-list from the start. "+r.lesson.Misstep.Sign)
		}
		if !flooded && i > 0 && e.Kind() == charge.KindReading && t.SuperheatK < floodingK && t.ChargeKg > r.truth[0].ChargeKg {
			flooded = true
			j.wrong(i, true, fmt.Sprintf("superheat really fell to %s: liquid to the compressor", r.diff(t.SuperheatK)), j.readingBefore(i))
		}
	}
	rec := audit.Record{Events: r.events, Units: r.opt.Units, Told: make([]charge.Advice, 0, len(r.events))}
	for _, s := range r.session.Steps() {
		rec.Told = append(rec.Told, s.Told)
	}
	for _, f := range audit.Find(rec) {
		if f.Severity == audit.Note || slices.Contains(notHere, f.Rule) {
			continue
		}
		if f.Rule == "fault-left" && faulty {
			continue
		}
		i := f.N - 1
		j.wrong(i, f.Severity == audit.Serious, f.Title+": "+f.Says, j.signOf(&f))
	}
	slices.SortStableFunc(j.d.Missteps, func(a, b Wrong) int { return cmp.Compare(order(a), order(b)) })
}

func order(w Wrong) int {
	if w.N == 0 {
		return 1 << 30
	}
	return w.N
}

// signOf says when a finding of the audit could have been seen.
func (j *judge) signOf(f *audit.Finding) string {
	steps := j.r.session.Steps()
	for i := min(f.N-2, len(steps)-1); i >= 0; i-- {
		a := steps[i].Told
		if steps[i].Voided || a.Action == "" {
			continue
		}
		if len(a.Why) > 0 {
			return fmt.Sprintf("at %s the advice was to %s: %s", at(steps[i].Event.At), a.Action, strings.Join(a.Why, " "))
		}
		return fmt.Sprintf("at %s the advice was to %s", at(steps[i].Event.At), a.Action)
	}
	return "before it was done"
}

// firstSign is the first reading that showed a cause other than charge.
func (j *judge) firstSign(before int, cause string) string {
	for i, s := range j.r.session.Steps() {
		if i >= before && i > 0 {
			break
		}
		if s.Event.Kind() != charge.KindReading || s.Voided {
			continue
		}
		for _, c := range s.Told.Causes {
			if c.Name == cause && c.P >= 0.5 {
				return fmt.Sprintf("at %s %s was %.2f likely: %s. %s", at(s.Event.At), words(c.Name), c.P, c.Evidence, c.Look)
			}
		}
	}
	return j.r.lesson.Misstep.Sign
}

func (j *judge) readingBefore(i int) string {
	steps := j.r.session.Steps()
	for k := i - 1; k >= 0; k-- {
		if steps[k].Event.Kind() == charge.KindReading && !steps[k].Voided {
			a := steps[k].Told
			return fmt.Sprintf("at %s superheat was %s and the advice was to %s", at(steps[k].Event.At), j.r.diff(a.Derived.SuperheatK), a.Action)
		}
	}
	return j.r.lesson.Misstep.Sign
}

// leakMendedBefore reports that the leak had been stopped before event i.
func (r *Run) leakMendedBefore(i int) bool {
	for k := 0; k < i; k++ {
		c, ok := r.events[k].Body.(*charge.Check)
		if ok && c.Item == charge.LeakSearch && c.State == charge.CheckCorrected {
			return true
		}
	}
	return false
}

// grade applies the rule.
func (j *judge) grade() {
	d := j.d
	var grave, lesser int
	for _, w := range d.Missteps {
		if w.Grave {
			grave++
		} else {
			lesser++
		}
	}
	if j.ended {
		d.Why = append(d.Why, "it ended right")
	} else {
		d.Why = append(d.Why, "it ended wrong")
	}
	if grave > 0 {
		d.Why = append(d.Why, times(grave, "grave misstep"))
	}
	if lesser > 0 {
		d.Why = append(d.Why, times(lesser, "lesser misstep"))
	}
	many := d.Taken.Increments > 2*d.Shortest.Increments && d.Taken.Increments >= d.Shortest.Increments+2
	long := d.Taken.Minutes > 2*d.Shortest.Minutes && d.Taken.Minutes >= d.Shortest.Minutes+30
	if many {
		d.Why = append(d.Why, fmt.Sprintf("%d increments where %d do", d.Taken.Increments, d.Shortest.Increments))
	}
	if long {
		d.Why = append(d.Why, fmt.Sprintf("%.0f minutes where %.0f do", d.Taken.Minutes, d.Shortest.Minutes))
	}
	switch {
	case !j.ended || grave > 0:
		d.Grade = NotSound
	case lesser > 0 || many || long:
		d.Grade = SoundRemarks
	default:
		d.Grade = Sound
	}
}

func (r *Run) diff(k float64) string {
	if math.IsNaN(k) {
		return "not defined"
	}
	return q.FormatDifferenceK(k, r.opt.Units)
}
