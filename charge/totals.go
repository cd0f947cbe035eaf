package charge

import (
	"fmt"
	"math"

	"chargehand/charge/belief"
	q "chargehand/charge/quantity"
)

// ozPerFoot is the usual allowance for liquid line, in ounces a foot, by
// outside diameter in inches. An R-410A installation guide; makers' tables
// differ by a few percent, and the maker's own comes first.
var ozPerFoot = []struct{ od, oz float64 }{
	{0.25, 0.30}, {0.3125, 0.40}, {0.375, 0.60}, {0.5, 1.20}, {0.625, 1.80},
}

// LineAllowance is the refrigerant to add, in kilograms, for a liquid line
// longer than the factory charge covers; negative for a shorter one. NaN when
// the tube size is not in the table or a length is not known. A factory length
// that is not given is 25 ft (common practice, no source; 15 is met too).
func LineAllowance(od, length, factory q.Length) float64 {
	if !od.IsValid() || !length.IsValid() {
		return math.NaN()
	}
	covered := 25.0
	if factory.IsValid() {
		covered = factory.Feet()
	}
	for _, t := range ozPerFoot {
		if math.Abs(od.Inches()-t.od) < tubeMatch {
			return (length.Feet() - covered) * t.oz * kgPerOz
		}
	}
	return math.NaN()
}

// full is the data plate charge with the line set's allowance, NaN when there
// is no plate.
func (st *state) full() float64 {
	kg := st.setup.NameplateCharge.Kilograms()
	if a := LineAllowance(st.setup.LiquidLineOD, st.setup.LineLength, st.setup.FactoryLineLength); given(a) && given(kg) {
		kg = math.Max(kg+a, 0.5*kg)
	}
	return kg
}

// size is the charge to reckon steps from: the plate's, else usual for the
// capacity, else NaN.
func (st *state) size() float64 {
	if kg := st.full(); given(kg) {
		return kg
	}
	if w := st.setup.Capacity.Watts(); given(w) {
		return w / ton * belief.UsualKgPerTon * st.med.lightness
	}
	return math.NaN()
}

// tons is the capacity, else reckoned from the plate, NaN without either.
func (st *state) tons() float64 {
	if w := st.setup.Capacity.Watts(); given(w) {
		return w / ton
	}
	return st.size() / (belief.UsualKgPerTon * st.med.lightness)
}

// stepMost is the most to offer in one step, kg.
func (st *state) stepMost() float64 {
	if kg := st.size(); given(kg) {
		if kg < smallSystem && (given(st.full()) || !st.answered()) {
			return kg * stepPlateSml
		}
		return kg * stepPlate
	}
	if st.answered() {
		return noCapacityLaterOz * kgPerOz * st.med.lightness
	}
	return noCapacityOz * kgPerOz * st.med.lightness
}

// answered reports two weighings with a reading after them: what the system makes
// of charge is known by then, better than a size guessed from its capacity.
func (st *state) answered() bool { return st.answers(2) }

// answers reports so many weighings with a reading after them.
func (st *state) answers(weighings int) bool {
	return len(st.weighed) >= weighings && len(st.readings) > 0 && st.readings[len(st.readings)-1].moved >= weighings
}

// stepUnit is the finest amount worth asking for on the scale, kg.
func (st *state) stepUnit() float64 {
	if kg := st.size(); given(kg) && kg < smallSystem {
		return st.fineUnit()
	}
	if st.opt.Units == q.SI {
		return 0.010
	}
	return 0.5 * kgPerOz
}

// fineUnit is the same for a small system.
func (st *state) fineUnit() float64 {
	if st.opt.Units == q.SI {
		return 0.005
	}
	return 0.1 * kgPerOz
}

// scaleDoubts compares the cylinder with what was weighed, from the last scale
// reading to the newest.
func (st *state) scaleDoubts() []Doubt {
	at, moved := st.setup.CylinderStart.Kilograms(), 0.0
	for i, w := range st.weighed {
		moved += w.kg
		if !given(w.cylinder) {
			continue
		}
		if i == len(st.weighed)-1 && !given(st.endKg) {
			return st.scaleDoubt("cylinder", at, w.cylinder, moved)
		}
		at, moved = w.cylinder, 0
	}
	return st.scaleDoubt("cylinder_end", at, st.endKg, moved)
}

// scaleDoubt speaks when a cylinder lost another mass than was weighed in.
// What was recovered went into another cylinder, so then it says nothing.
func (st *state) scaleDoubt(field string, from, to, moved float64) []Doubt {
	off := from - to - moved
	if !given(off) || moved < 0 || math.Abs(off) <= math.Max(cylinderOff, cylinderShare*math.Abs(moved)) {
		return nil
	}
	u := st.opt.Units
	return []Doubt{{Field: field, Value: mass(to, u),
		Why: fmt.Sprintf("the cylinder lost %s while %s was entered: scale zero, a hose, or a weighing missing?", mass(from-to, u), mass(moved, u))}}
}
