package audit

import (
	"math"
	"time"

	"chargehand/charge"
	"chargehand/refrigerants"
)

// pour is the time within which two weighings count as one step.
const pour = 2 * time.Minute

func tooSoon(v *view, say say) {
	for k, w := range v.weighed {
		if w.after < 0 || v.byWeight() {
			continue
		}
		r := v.readings[w.after]
		need := shortestWait
		if v.told() {
			if told := v.Told[w.i].Wait; told > 0 {
				need = time.Duration(waitShare * float64(told))
			}
		}
		waited := r.at.Sub(w.at)
		if waited < 0 || waited >= need {
			continue
		}
		next := "the job ended on it"
		if k+1 < len(v.weighed) {
			next = "the next weighing was decided on it"
		}
		if v.told() && v.Told[w.i].Wait > 0 {
			say(r.i, "read %s after %s was weighed, told to wait %s; %s.", span(waited), v.mass(w.kg), span(v.Told[w.i].Wait), next)
		} else {
			say(r.i, "read %s after %s was weighed; %s.", span(waited), v.mass(w.kg), next)
		}
	}
}

func (v *view) told() bool { return len(v.Told) == len(v.Events) && len(v.Told) > 0 }

func noReadingBetween(v *view, say say) {
	if v.byWeight() {
		return
	}
	for k := 1; k < len(v.weighed); k++ {
		a, b := v.weighed[k-1], v.weighed[k]
		if a.kg > 0 && b.kg > 0 && a.after < 0 && a.net >= 0 && b.at.Sub(a.at) > pour {
			say(b.i, "%s went in on top of %s without a reading between.", v.mass(b.kg), v.mass(a.kg))
		}
	}
}

func stepTooLarge(v *view, say say) {
	if v.byWeight() {
		return
	}
	limit, of := math.NaN(), ""
	switch {
	case v.setup.NameplateCharge.IsValid():
		limit, of = stepOfPlate*v.setup.NameplateCharge.Kilograms(), "a tenth of the data plate"
	case v.setup.Capacity.IsValid():
		limit, of = stepPerTonKg*v.setup.Capacity.Tons(), "a tenth of a usual charge for this capacity"
	}
	for _, w := range v.weighed {
		if w.net >= 0 && w.kg > limit*1.02 && w.kg > stepTinyKg {
			say(w.i, "%s in one step; %s is %s.", v.mass(w.kg), of, v.mass(limit))
		}
	}
}

func vaporZeotrope(v *view, say say) {
	for _, w := range v.weighed {
		if w.kg <= 0 || w.phase != charge.VaporPhase {
			continue
		}
		r, err := refrigerants.Lookup(string(v.setup.Refrigerant))
		if err != nil {
			return
		}
		if must, why := r.ChargeAsLiquid(); must {
			say(w.i, "%s of %s went in as vapor: what leaves the cylinder first is not the blend, so neither unit nor cylinder holds it any more (%s).",
				v.mass(w.kg), r.Name(), why)
		}
	}
}

func leakUnanswered(v *view, say say) {
	plate := v.setup.NameplateCharge.Kilograms()
	net, added := v.net(), v.added
	if !(math.Min(added, net) > plateAskLeak*plate) {
		return
	}
	for i, e := range v.Events {
		if v.void[i] {
			continue
		}
		switch b := e.Body.(type) {
		case *charge.Check:
			if b.Item == charge.LeakSearch && b.State != charge.CheckSkipped {
				return
			}
		case *charge.Override:
			if hasWord(string(b.Rule), "leak") {
				return // reported as set aside
			}
		}
	}
	say(v.weighed[len(v.weighed)-1].i, "%s added, %.0f %% of the data plate, and no leak search on record: it will be low again.",
		v.mass(added), 100*added/plate)
}

func weighInInstead(v *view, say say) {
	plate := v.setup.NameplateCharge.Kilograms()
	if v.byWeight() {
		return
	}
	for _, w := range v.weighed {
		if w.net < 0 { // recovered first: weighed in as it should be
			return
		}
	}
	if net := v.net(); net > plateWeighIn*plate {
		say(v.weighed[len(v.weighed)-1].i, "%s added, %.0f %% of the data plate: recovering the rest and weighing in the plate charge would have left a known total.",
			v.mass(net), 100*net/plate)
	}
}

func overPlate(v *view, say say) {
	full := v.full()
	for _, w := range v.weighed {
		if w.kg > 0 && w.net+w.kg > plateCeiling*full {
			say(w.i, "%s net in from this journal alone; the data plate with its line set allows %s.", v.mass(w.net+w.kg), v.mass(full))
			return
		}
	}
}

// full is the data plate charge with the line set's allowance, reckoned as the
// advice reckons it; NaN when there is no plate.
func (v *view) full() float64 {
	kg := v.setup.NameplateCharge.Kilograms()
	if a := charge.LineAllowance(v.setup.LiquidLineOD, v.setup.LineLength, v.setup.FactoryLineLength); !math.IsNaN(a) {
		kg = math.Max(kg+a, kg/2)
	}
	return kg
}

func noFinalReading(v *view, say say) {
	if n := len(v.weighed); n > 0 && v.weighed[n-1].after < 0 && !v.byWeight() {
		w := v.weighed[n-1]
		say(w.i, "nothing was read after the last weighing (%s): how the unit was left is not known.", v.mass(w.kg))
	}
}

// cylinderMismatch compares what left the cylinder with the steps. Recovered
// refrigerant goes into a cylinder of its own, but some put it back: either
// way of counting may match.
func cylinderMismatch(v *view, say say) {
	start := v.setup.CylinderStart.Kilograms()
	end, at := math.NaN(), -1
	for i, e := range v.Events {
		if v.void[i] {
			continue
		}
		switch b := e.Body.(type) {
		case *charge.Weighing:
			if b.Cylinder.IsValid() {
				end, at = b.Cylinder.Kilograms(), i
			}
		case *charge.Close:
			if b.CylinderEnd.IsValid() {
				end, at = b.CylinderEnd.Kilograms(), i
			}
		}
	}
	if math.IsNaN(start) || math.IsNaN(end) {
		return
	}
	out := start - end
	net, added := v.net(), v.added
	slack := math.Max(cylinderLeast, cylinderSlack*added)
	if math.Abs(out-added) <= slack || math.Abs(out-net) <= slack {
		return
	}
	say(at, "the cylinder lost %s, the steps add up to %s: %s not accounted for (hoses and scale explain %s).",
		v.mass(out), v.mass(added), v.mass(math.Abs(out-added)), v.mass(slack))
}
