package audit

import (
	"fmt"
	"math"
	"strings"

	"chargehand/charge"
	q "chargehand/charge/quantity"
)

// standing is the advice the technician had when event i was entered.
func (v *view) standing(i int) *charge.Advice {
	if i == 0 || !v.told() {
		return nil
	}
	return &v.Told[i-1]
}

func addedAgainstAdvice(v *view, say say) {
	for _, w := range v.weighed {
		t := v.standing(w.i)
		if t == nil || w.kg <= 0 {
			continue
		}
		switch {
		case t.Action == charge.Stop, t.Action == charge.Correct, t.Action == charge.Recover, hardStop(t):
			say(w.i, "%s went in where the advice was to %s%s.%s", v.mass(w.kg), v.actionWords(t), becauseOf(t), v.outcomeAfter(w.i))
		}
	}
}

func otherThanAdvised(v *view, say say) {
	for _, w := range v.weighed {
		t := v.standing(w.i)
		if t == nil || w.kg <= 0 || hardStop(t) {
			continue
		}
		switch t.Action {
		case charge.Add:
			if w.kg > moreThanAdvised*t.AmountKg && w.kg > t.AmountKg+advisedSlackKg {
				say(w.i, "%s went in where %s was advised.%s", v.mass(w.kg), v.mass(t.AmountKg), v.outcomeAfter(w.i))
			}
		case charge.Measure:
			say(w.i, "%s went in where the advice was to measure first%s.%s", v.mass(w.kg), becauseOf(t), v.outcomeAfter(w.i))
		}
	}
}

// hardStop reports an advice that a hard rule decided, whatever it asks for:
// the flammable check-list asks to measure.
func hardStop(t *charge.Advice) bool {
	for _, s := range t.Stops {
		for _, r := range t.Rules {
			if r.Name == s.Rule && r.Strength == charge.Hard && r.Fired {
				return true
			}
		}
	}
	return false
}

func (v *view) actionWords(t *charge.Advice) string {
	switch t.Action {
	case charge.Recover:
		return "recover " + v.mass(t.AmountKg)
	case charge.Correct:
		return "put something else right first"
	case charge.Stop:
		return "stop"
	case charge.Measure:
		return "measure first"
	default:
		return string(t.Action)
	}
}

// becauseOf gives the leading reason of an advice in brackets.
func becauseOf(t *charge.Advice) string {
	switch {
	case len(t.Stops) > 0:
		return " (" + words(clean(t.Stops[0].Rule)) + ")"
	case t.Action == charge.Correct && len(t.Causes) > 0:
		return " (" + words(clean(t.Causes[0].Name)) + ")"
	case t.Action == charge.Measure && len(t.Needs) > 0:
		return " (" + words(under(clean(strings.Join(t.Needs, ", ")))) + ")"
	}
	return ""
}

// outcomeAfter says what came of event i: how superheat and subcooling moved
// from the reading before it to the last one before the next weighing, and
// whether a rule fired there. Empty when nothing was told or read.
func (v *view) outcomeAfter(i int) string {
	if !v.told() {
		return ""
	}
	before, after := -1, -1
	for _, r := range v.readings {
		if r.i < i {
			before = r.i
			continue
		}
		if after >= 0 && v.weighedBetween(max(after, i)+1, r.i) {
			break
		}
		after = r.i
	}
	if after < 0 {
		return " No reading was taken after it."
	}
	var b strings.Builder
	a := v.Told[after].Derived
	if before >= 0 {
		was := v.Told[before].Derived
		fmt.Fprintf(&b, " After it superheat went from %s to %s, subcooling from %s to %s",
			v.diff(was.SuperheatK), v.diff(a.SuperheatK), v.diff(was.SubcoolingK), v.diff(a.SubcoolingK))
	} else {
		fmt.Fprintf(&b, " After it superheat was %s, subcooling %s", v.diff(a.SuperheatK), v.diff(a.SubcoolingK))
	}
	if s := v.Told[after].Stops; len(s) > 0 {
		fmt.Fprintf(&b, "; fired: %s", words(clean(s[0].Rule)))
	}
	b.WriteByte('.')
	return b.String()
}

func (v *view) weighedBetween(from, to int) bool {
	for _, w := range v.weighed {
		if w.i >= from && w.i < to {
			return true
		}
	}
	return false
}

func (v *view) diff(k float64) string {
	if math.IsNaN(k) {
		return "unknown"
	}
	return q.FormatDifferenceK(k, v.Units)
}

// last is the told advice of the last standing reading, nil without one.
func (v *view) last() (*charge.Advice, int) {
	if len(v.readings) == 0 || !v.told() {
		return nil, -1
	}
	i := v.readings[len(v.readings)-1].i
	return &v.Told[i], i
}

// leftUnderFloor speaks of jobs that put refrigerant in: a unit found flooding
// and left alone was not made so.
func leftUnderFloor(v *view, say say) {
	t, i := v.last()
	if t == nil || v.firstIn() == nil {
		return
	}
	for _, r := range t.Rules {
		if r.Name == "superheat-floor" && r.Fired {
			say(i, "the last reading has superheat %s: liquid may be reaching the compressor, and the job ended there.", v.diff(t.Derived.SuperheatK))
		}
	}
}

// leftOutOfBand speaks only of jobs that moved refrigerant and ended while the
// advice was to go on.
func leftOutOfBand(v *view, say say) {
	t, i := v.last()
	if t == nil || len(v.weighed) == 0 || v.weighed[len(v.weighed)-1].i > i {
		return
	}
	if t.Action == charge.Add || t.Action == charge.Recover {
		say(i, "the job ended while the advice was still to %s %s: superheat %s, subcooling %s.",
			t.Action, v.mass(t.AmountKg), v.diff(t.Derived.SuperheatK), v.diff(t.Derived.SubcoolingK))
	}
}
