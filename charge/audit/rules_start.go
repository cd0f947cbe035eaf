package audit

import (
	"strings"

	"chargehand/charge"
)

func noReadingBefore(v *view, say say) {
	if w := v.firstIn(); w != nil && w.before < 0 && !v.byWeight() && w.net >= 0 {
		say(w.i, "%s went in before a first reading: nobody can say now whether charge was the trouble.", v.mass(w.kg))
	}
}

// before charging every one of these is looked at.
var mustCheck = []charge.Item{charge.Filter, charge.EvaporatorCoil, charge.Blower, charge.CondenserCoil, charge.CondenserFan, charge.LeakSearch}

// checks is the newest state of every item at event i.
func (v *view) checks(i int) map[charge.Item]charge.CheckState {
	m := make(map[charge.Item]charge.CheckState, len(mustCheck))
	for k := 0; k < i; k++ {
		if c, ok := v.Events[k].Body.(*charge.Check); ok && !v.void[k] {
			m[c.Item] = c.State
		}
	}
	return m
}

// checksSkipped goes by what the fold had left to ask, where it is known: a
// split in its usual range answers the air side as a look does. From the raw
// entries alone, a supply reading answers for the air side and outdoor air for
// the condenser.
func checksSkipped(v *view, say say) {
	w := v.firstIn()
	if w == nil {
		return
	}
	seen := v.checks(w.i)
	var never, skipped []string
	for _, item := range mustCheck {
		switch {
		case seen[item] == charge.CheckSkipped:
			skipped = append(skipped, words(string(item)))
		case seen[item] == "" && v.asked(item, w):
			never = append(never, words(string(item)))
		}
	}
	switch {
	case len(never) > 0 && len(skipped) > 0:
		say(w.i, "before the first weighing nothing is on record for %s; skipped: %s.", strings.Join(never, ", "), strings.Join(skipped, ", "))
	case len(never) > 0:
		say(w.i, "before the first weighing nothing is on record for %s.", strings.Join(never, ", "))
	case len(skipped) > 0:
		say(w.i, "skipped before the first weighing: %s.", strings.Join(skipped, ", "))
	}
}

// asked reports that an item nobody looked at was still a question at the
// first weighing.
func (v *view) asked(item charge.Item, w *weighing) bool {
	if t := v.standing(w.i); t != nil && w.before >= 0 {
		for _, g := range t.Gates {
			if gateOf[item] == g.Name {
				return true
			}
		}
		return false
	}
	if w.before < 0 || item == charge.LeakSearch {
		return true
	}
	r := v.readings[w.before]
	switch item {
	case charge.CondenserCoil, charge.CondenserFan:
		return r.Outdoor.IsZero()
	}
	return r.SupplyDryBulb.IsZero()
}

// gateOf is the gate that asks for an item.
var gateOf = map[charge.Item]string{charge.Filter: "air-side", charge.EvaporatorCoil: "air-side", charge.Blower: "air-side",
	charge.CondenserCoil: "condenser", charge.CondenserFan: "condenser", charge.LeakSearch: "leak-search"}

func faultLeft(v *view, say say) {
	w := v.firstIn()
	if w == nil {
		return
	}
	seen := v.checks(w.i)
	for _, item := range charge.Items() {
		if seen[item] == charge.CheckFaulty {
			say(w.i, "%s was found faulty and not put right before %s went in.", words(string(item)), v.mass(w.kg))
		}
	}
}

func airSideMissing(v *view, say say) {
	w := v.firstIn()
	if w == nil || v.byWeight() || !v.comfort() {
		return
	}
	var outdoor, wet bool
	for _, r := range v.readings {
		if r.i > w.i {
			break
		}
		outdoor = outdoor || !r.Outdoor.IsZero()
		wet = wet || !r.ReturnWetBulb.IsZero() || !r.ReturnHumidity.IsZero() && !r.ReturnDryBulb.IsZero()
	}
	var missing []string
	if !outdoor {
		missing = append(missing, "outdoor air")
	}
	if !wet && v.setup.Device != charge.ExpansionValve {
		missing = append(missing, "return wet bulb or humidity")
	}
	if len(missing) > 0 {
		say(w.i, "%s not read before the first weighing: no target can be set without.", strings.Join(missing, " and "))
	}
}

func (v *view) comfort() bool {
	return v.setup.Application == "" || v.setup.Application == charge.Comfort
}

func wrongCylinder(v *view, say say) {
	c, r := string(v.setup.CylinderRefrigerant), string(v.setup.Refrigerant)
	if c == "" || r == "" || sameRefrigerant(c, r) {
		return
	}
	if w := v.firstIn(); w != nil {
		say(w.i, "the unit holds %s, the cylinder %s: recover everything, evacuate, weigh in new.", clean(r), clean(c))
	}
}

// sameRefrigerant compares two ways to write a name: "R-410A", "r410a", "410A".
func sameRefrigerant(a, b string) bool { return plainName(a) == plainName(b) }

func plainName(s string) string {
	s = strings.ToUpper(strings.NewReplacer("-", "", " ", "").Replace(s))
	return strings.TrimPrefix(s, "R")
}

func refrigerantAmended(v *view, say say) {
	var name string
	weighed := false
	for i, e := range v.Events {
		if v.void[i] {
			continue
		}
		switch b := e.Body.(type) {
		case *charge.Weighing:
			weighed = weighed || b.Amount.Kilograms() > 0
		case *charge.Setup:
			if r := string(b.Refrigerant); r != "" {
				if weighed && name != "" && !sameRefrigerant(name, r) {
					say(i, "%s became %s after refrigerant had gone in: find out what the cylinder held.", clean(name), clean(r))
				}
				name = r
			}
		}
	}
}
