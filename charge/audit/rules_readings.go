package audit

import (
	"chargehand/charge"
)

const standardPa = 101325 // used only to compare two gauges of one place

// impossibleReading holds the contradictions that need no property data: they
// are wrong whatever the refrigerant.
func impossibleReading(v *view, say say) {
	for _, r := range v.readings {
		suction, liquid := r.SuctionPressure.Absolute(standardPa), r.LiquidPressure.Absolute(standardPa)
		if liquid <= suction { // false when either is missing
			say(r.i, "liquid %s is not above suction %s: hoses swapped, or not running.", r.LiquidPressure, r.SuctionPressure)
		}
		if r.ReturnWetBulb.Kelvin() > r.ReturnDryBulb.Kelvin()+wetBulbSlackK {
			say(r.i, "return wet bulb %s is above dry bulb %s: swapped, or mistyped.", r.ReturnWetBulb, r.ReturnDryBulb)
		}
		if r.SupplyWetBulb.Kelvin() > r.SupplyDryBulb.Kelvin()+wetBulbSlackK {
			say(r.i, "supply wet bulb %s is above dry bulb %s: swapped, or mistyped.", r.SupplyWetBulb, r.SupplyDryBulb)
		}
		if r.SuctionLine.Kelvin() > r.DischargeLine.Kelvin() {
			say(r.i, "suction line %s is hotter than discharge line %s: a clamp is on the wrong pipe.", r.SuctionLine, r.DischargeLine)
		}
	}
}

func doubtfulReading(v *view, say say) {
	for _, r := range v.readings {
		for _, d := range v.Told[r.i].Doubts {
			if d.Grave {
				say(r.i, "%s %s was called out and left standing: %s", words(under(d.Field)), clean(d.Value), clean(d.Why))
			}
		}
	}
}

func sameAgain(v *view, say say) {
	run := 1
	for k := 1; k < len(v.readings); k++ {
		if !sameSet(v.readings[k-1].Reading, v.readings[k].Reading) {
			run = 1
			continue
		}
		if run++; run == sameReadings {
			say(v.readings[k].i, "pressures and line temperatures are the same to the last digit %d times in a row: read, or copied?", sameReadings)
		}
	}
}

func sameSet(a, b *charge.Reading) bool {
	return !a.SuctionPressure.IsZero() && !a.SuctionLine.IsZero() && !a.LiquidLine.IsZero() &&
		a.SuctionPressure == b.SuctionPressure && a.LiquidPressure == b.LiquidPressure &&
		a.SuctionLine == b.SuctionLine && a.LiquidLine == b.LiquidLine
}

// targetUndefined speaks once, at the first weighing in such weather.
func targetUndefined(v *view, say say) {
	if v.byWeight() || !v.comfort() {
		return
	}
	for _, w := range v.weighed {
		if w.kg <= 0 || w.net < 0 || w.before < 0 {
			continue
		}
		out := v.readings[w.before].Outdoor
		switch k := out.Kelvin(); {
		case k < coldestOutdoorK:
			say(w.i, "charged at %s outdoors: under 55 °F neither superheat nor subcooling can be judged. Weigh in, or come back.", out)
			return
		case k > hottestOutdoorK:
			say(w.i, "charged at %s outdoors: over 115 °F the charts end. Weigh in, or come back.", out)
			return
		}
	}
}

// chartSilent asks the published chart where superheat decides: a comfort
// system with a fixed orifice and no figure of the maker's.
func chartSilent(v *view, say say) {
	if v.byWeight() || !v.comfort() || v.setup.TargetSuperheat.IsValid() {
		return
	}
	for _, w := range v.weighed {
		if w.kg <= 0 || w.net < 0 || w.before < 0 {
			continue
		}
		r := v.readings[w.before]
		orifice := v.setup.Device == charge.FixedOrifice
		if v.told() && v.Told[r.i].Belief.Verdict == charge.FixedOrifice {
			orifice = true
		}
		if k := r.Outdoor.Kelvin(); !orifice || !(k >= coldestOutdoorK && k <= hottestOutdoorK) || r.ReturnWetBulb.IsZero() {
			continue // out of range is another rule's
		}
		if t := charge.TargetSuperheat(r.Outdoor.Kelvin(), r.ReturnWetBulb.Kelvin()); !t.Defined {
			say(w.i, "%s went in at %s outdoors and %s wet bulb: %s.", v.mass(w.kg), r.Outdoor, r.ReturnWetBulb, t.Says)
			return
		}
	}
}
