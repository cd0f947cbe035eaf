package charge

import (
	"fmt"
	"math"

	"chargehand/charge/moistair"
	q "chargehand/charge/quantity"
)

// doubtsOf lists what in r cannot be, or hardly can, with the likely reason.
// The bounds leave room for honest instruments: two clamps may differ by 3 °F
// and a starved system shows strange but true numbers.
//
// A grave doubt keeps the reading from deciding anything until the value is
// mended, or read again alike; what contradicts physics stays grave.
func (st *state) doubtsOf(r *reading) []Doubt {
	d := doubts{st: st, r: r, u: st.opt.Units}
	d.range_()
	d.air()
	if !d.pressures() {
		return d.list // nothing below means anything
	}
	if d.refrigerant() {
		return d.list
	}
	d.lines()
	d.habits()
	return d.list
}

type doubts struct {
	st   *state
	r    *reading
	u    q.System
	list []Doubt
}

// add notes a doubt about a field. A grave one that may be confirmed is let
// through when the same value stood in the reading before with the same doubt.
func (d *doubts) add(field string, grave, confirmable bool, format string, args ...any) {
	x := Doubt{Field: field, Value: rawText(d.r.raw, field), Grave: grave, Why: fmt.Sprintf(format, args...)}
	if grave && confirmable && d.confirmed(field) {
		x.Grave = false
		x.Why += " Read twice alike: taken as it is."
	}
	d.list = append(d.list, x)
}

// confirmed reports that the reading before held about the same value and was
// doubted there too.
func (d *doubts) confirmed(field string) bool {
	p := d.st.newest()
	if p == nil {
		return false
	}
	seen := false
	for _, x := range p.doubts {
		seen = seen || x.Field == field
	}
	if !seen {
		return false
	}
	a, b := rawSI(d.r.raw, field, d.st.site), rawSI(p.raw, field, d.st.site)
	switch field {
	case "suction_pressure", "liquid_pressure", "condenser_outlet_pressure":
		return math.Abs(a-b) <= confirmPress*b
	}
	return math.Abs(a-b) <= confirmTemp
}

// range_ catches slips of unit and decimal point that no later check names well.
func (d *doubts) range_() {
	if !d.st.comfort() {
		return
	}
	if t := d.r.OutdoorK; t < fahrenheit(outdoorLowest) || t > fahrenheit(outdoorHighest) {
		d.add("outdoor", true, true, "outdoor air at %s is not likely: unit, or a probe in the sun or in discharge air?", temp(t, d.u))
	}
	if t := d.r.ReturnDryK; t < fahrenheit(returnLowest) || t > fahrenheit(returnHighest) {
		d.add("return_dry_bulb", true, true, "return air at %s is not likely in comfort cooling: unit?", temp(t, d.u))
	}
}

func (d *doubts) air() {
	r := d.r
	if given(r.ReturnDryK) && given(r.ReturnWetK) {
		switch over := r.ReturnWetK - r.ReturnDryK; {
		case over > airSlack/2:
			d.add("return_wet_bulb", true, false, "the wet bulb cannot be above the dry bulb (%s): are the two swapped?", temp(r.ReturnDryK, d.u))
		case math.Abs(over) < wetEqualsDry && !r.raw.ReturnHumidity.IsValid():
			d.add("return_wet_bulb", false, false, "equal to the dry bulb: a dry wick, the dry bulb typed twice, or saturated air?")
		default:
			if _, err := moistair.HumidityRatioFromWetBulb(r.ReturnDryK, math.Min(r.ReturnWetK, r.ReturnDryK), d.st.site); err != nil {
				d.add("return_wet_bulb", true, false, "lower than bone-dry air at %s would show: unit, or a probe in the wrong place?", temp(r.ReturnDryK, d.u))
			}
		}
	}
	if given(r.supplyWetK) && given(r.SupplyDryK) && r.supplyWetK > r.SupplyDryK+airSlack/2 {
		d.add("supply_wet_bulb", false, false, "above the supply dry bulb: are the two swapped?")
	}
	if r.SplitK < -airSlack {
		d.add("supply_dry_bulb", true, true, "supply air is warmer than return air: are the two swapped, or is the system not cooling?")
	}
}

// pressures checks both gauges; false when nothing can be derived from them.
func (d *doubts) pressures() bool {
	r, st := d.r, d.st
	ok := true
	if given(r.SuctionPa) && !given(r.EvaporatingK) {
		d.add("suction_pressure", true, false, "%s does not boil at this pressure: digit, unit or gauge?", st.med.name)
		ok = false
	}
	if given(r.LiquidPa) && !given(r.CondensingK) {
		d.add("liquid_pressure", true, false, "%s does not condense at this pressure: digit, unit or gauge?", st.med.name)
		ok = false
	}
	if given(r.SuctionPa) && given(r.LiquidPa) {
		switch {
		case r.LiquidPa < r.SuctionPa:
			why := "lower than the suction pressure: are the hoses or the two numbers swapped?"
			if x := r.raw.LiquidPressure.In(r.raw.LiquidPressure.Unit(), st.site) * 10; x < highestGauge && d.plausibleCondensing(q.PressureOf(x, r.raw.LiquidPressure.Unit()).Absolute(st.site)) {
				why = fmt.Sprintf("lower than the suction pressure: a digit missing (%.0f?), or the hoses swapped?", x)
			}
			d.add("liquid_pressure", true, false, "%s", why)
			ok = false
		case r.LiquidPa < restRatio*r.SuctionPa:
			d.add("liquid_pressure", true, false, "hardly above the suction pressure: is the compressor running, and is the manifold shut between the sides?")
			ok = false
		}
	}
	s, l := r.raw.SuctionPressure, r.raw.LiquidPressure
	if s.IsValid() && l.IsValid() && s.IsGauge() != l.IsGauge() {
		field := "suction_pressure"
		if s.IsGauge() {
			field = "liquid_pressure"
		}
		d.add(field, false, false, "typed as absolute pressure (%s) while the other is gauge: service gauges show gauge pressure", rawUnit(d.r.raw, field))
	} else if s.IsValid() && !s.IsGauge() {
		d.add("suction_pressure", false, false, "typed as absolute pressure (%s): service gauges show gauge pressure; if this was one, evaporating and condensing read too low", s.Unit())
	}
	return ok
}

func (d *doubts) plausibleCondensing(pa float64) bool {
	t := d.st.med.bub(pa)
	over := t - d.r.OutdoorK
	return given(t) && (!given(over) && t > fahrenheit(condensingLowest) && t < fahrenheit(condensingMostly) || over > 0 && over < overOutdoorOdd)
}

// refrigerant asks about identity when the numbers cannot be and would be
// under another refrigerant; true when it asked.
func (d *doubts) refrigerant() bool {
	r := d.r
	if !d.impossible(d.st.med) {
		return false
	}
	if !given(r.SuctionPa) || !given(r.LiquidPa) || !given(r.SuctionLineK) || !given(r.LiquidLineK) {
		return false
	}
	var names []string
	for _, name := range commonRefrigerants {
		if m, err := newMedium(name); err == nil && m.name != d.st.med.name && d.plausible(m) {
			names = append(names, m.name)
		}
		if len(names) == 3 {
			break
		}
	}
	if len(names) == 0 {
		return false
	}
	x := Doubt{Field: "refrigerant", Value: d.st.med.name, Grave: true,
		Why: fmt.Sprintf("these pressures and temperatures do not go together under %s; %s would fit. Read the data plate and the cylinder, and correct the setup.",
			d.st.med.name, orList(names))}
	d.list = append(d.list, x)
	return true
}

// commonRefrigerants are tried when the one chosen cannot be right, the most
// met first (common practice, no source).
var commonRefrigerants = []string{"R-410A", "R-22", "R-32", "R-454B", "R-407C", "R-134a", "R-404A", "R-290", "R-448A", "R-449A", "R-513A", "R-507A"}

// impossible reports states no running system has under m.
func (d *doubts) impossible(m *medium) bool {
	r := d.r
	te, tc := m.dew(r.SuctionPa), m.bub(r.LiquidPa)
	return r.SuctionLineK-te < superheatNever || tc-r.LiquidLineK < subcoolingNever || d.st.comfort() && (r.ReturnDryK-te < 0 || te > fahrenheit(highestComfort)) ||
		tc-r.OutdoorK < underOutdoorNot || tc-r.OutdoorK > overOutdoorNever && !d.st.headControlled(r)
}

// plausible reports states a healthy or starved system may have under m.
func (d *doubts) plausible(m *medium) bool {
	r := d.r
	te, tc := m.dew(r.SuctionPa), m.bub(r.LiquidPa)
	if !given(te) || !given(tc) {
		return false
	}
	f := &fitting
	within := func(x float64, of [2]float64) bool { return !given(x) || x >= of[0]*perF && x <= of[1]*perF }
	ok := within(r.SuctionLineK-te, f.superheat) && within(tc-r.LiquidLineK, f.subcooling) && within(tc-r.OutdoorK, f.overOutdoor)
	if d.st.comfort() {
		ok = ok && within(r.ReturnDryK-te, f.returnOver) && within(te-zeroF, f.evaporating)
	}
	return ok
}

// lines checks pipe temperatures against saturation and air.
func (d *doubts) lines() {
	r, u := d.r, d.u
	over := func(x float64) bool { return given(x) }
	if d.clampsSwapped() {
		d.add("suction_line", true, true, "suction and liquid line would fit the other way round: are the clamps or the two numbers swapped?")
		d.add("liquid_line", true, true, "see the suction line")
		return
	}
	if over(r.EvaporatingK) && over(r.ReturnDryK) && r.EvaporatingK > r.ReturnDryK+airSlack {
		d.add("suction_pressure", true, true, "evaporating at %s is warmer than the air to be cooled (%s): wrong refrigerant chosen, gauge, or not running?", temp(r.EvaporatingK, u), temp(r.ReturnDryK, u))
	} else if d.st.comfort() && (r.EvaporatingK > fahrenheit(highestComfort) || r.EvaporatingK < fahrenheit(lowestComfort)) {
		d.add("suction_pressure", true, true, "evaporating at %s is hardly met in comfort cooling: refrigerant, unit or gauge?", temp(r.EvaporatingK, u))
	}
	switch {
	case r.SuperheatK < belowSatFar:
		d.add("suction_line", true, true, "%s below evaporating (%s), which cannot be: clamp, gauge zero or refrigerant?%s", diff(-r.SuperheatK, u), temp(r.EvaporatingK, u), d.unitSlip("suction_line"))
	case r.SuperheatK < belowSat:
		d.add("suction_line", false, false, "%s below evaporating: liquid is coming back, or clamp or gauge is off", diffFine(-r.SuperheatK, u))
	}
	warmest := math.Inf(-1)
	for _, t := range []float64{r.ReturnDryK, r.OutdoorK} {
		if given(t) {
			warmest = math.Max(warmest, t)
		}
	}
	switch {
	case !math.IsInf(warmest, -1) && r.SuctionLineK > warmest+suctionGain:
		d.add("suction_line", true, true, "far warmer than any air around it: is the clamp on the discharge or liquid line, or in the sun?%s", d.unitSlip("suction_line"))
	case d.st.comfort() && given(r.ReturnDryK) && r.SuctionLineK > r.ReturnDryK+suctionGain:
		d.add("suction_line", false, false, "warmer than the return air by %s: clamp insulated, out of the sun, on the right pipe?", diff(r.SuctionLineK-r.ReturnDryK, u))
	}
	switch {
	case r.SubcoolingK < negSubcoolFar:
		d.add("liquid_line", true, true, "%s above condensing (%s): is the clamp on the discharge line, or is the pressure read past a restriction?%s", diff(-r.SubcoolingK, u), temp(r.CondensingK, u), d.unitSlip("liquid_line"))
	case r.SubcoolingK < negSubcool:
		d.add("liquid_line", false, false, "%s above condensing: clamp or gauge is off, or the pressure falls before the clamp", diffFine(-r.SubcoolingK, u))
	}
	if given(r.OverOutdoorK) && r.OverOutdoorK < -airSlack {
		d.add("liquid_pressure", true, true, "condensing at %s is under outdoor air (%s): outdoor probe in the sun, gauge, wrong refrigerant, or not running?", temp(r.CondensingK, u), temp(r.OutdoorK, u))
	} else if !d.st.headControlled(r) {
		switch {
		case r.ApproachK < liquidFar:
			d.add("liquid_line", true, true, "%s colder than the air that cools it: clamp loose, outdoor probe in the sun, or a restriction ahead of the clamp?", diff(-r.ApproachK, u))
		case r.ApproachK < liquidColder:
			d.add("liquid_line", false, false, "%s colder than the air that cools it: clamp loose, outdoor probe in the sun, or a restriction ahead of the clamp?", diff(-r.ApproachK, u))
		}
	}
	if given(r.DischargeK) && given(r.CondensingK) && r.DischargeK < r.CondensingK {
		d.add("discharge_line", false, false, "colder than condensing (%s): clamp loose, or liquid is coming back to the compressor", temp(r.CondensingK, u))
	}
	if r.DropLegSubcoolingK < negSubcoolFar {
		d.add("drop_leg", false, false, "%s above condensing: is the clamp on the condenser outlet?", diff(-r.DropLegSubcoolingK, u))
	}
}

// clampsSwapped reports pipe temperatures that cannot be as they stand and
// would do well the other way round.
func (d *doubts) clampsSwapped() bool {
	r := d.r
	ts, tl := r.SuctionLineK, r.LiquidLineK
	if !given(r.SuperheatK) || !given(r.SubcoolingK) || ts <= tl {
		return false
	}
	wrong := r.SuperheatK > superheatOdd && (r.SubcoolingK > subcoolingOdd || r.ApproachK < liquidFar)
	sh, sc := tl-r.EvaporatingK, r.CondensingK-ts
	return wrong && sh > 0 && sh < superheatUsual && sc > subcoolingSlack && sc < subcoolingUsual
}

// unitSlip offers the other scale when a temperature would fit in it.
func (d *doubts) unitSlip(field string) string {
	t := rawTemperature(d.r.raw, field)
	switch t.Unit() {
	case q.Fahrenheit:
		c := q.DegreesC(t.Fahrenheit()).Kelvin()
		if d.fits(field, c) {
			return fmt.Sprintf(" If it was %.1f °C, write it so.", t.Fahrenheit())
		}
	case q.Celsius:
		f := q.DegreesF(t.Celsius()).Kelvin()
		if d.fits(field, f) {
			return fmt.Sprintf(" If it was %.1f °F, write it so.", t.Celsius())
		}
	}
	return ""
}

func (d *doubts) fits(field string, k float64) bool {
	if field == "suction_line" {
		x := k - d.r.EvaporatingK
		return x > 0 && x < superheatUsual
	}
	x := d.r.CondensingK - k
	return x > subcoolingSlack && x < subcoolingUsual
}

// habits catches readings that were copied rather than taken, and weather that
// jumps.
func (d *doubts) habits() {
	st, r := d.st, d.r
	same := 1
	for i := len(st.readings) - 1; i >= 0 && same < sameTwice; i-- {
		if !sameNumbers(st.readings[i].raw, r.raw) {
			break
		}
		same++
	}
	if same >= sameTwice {
		d.add("suction_pressure", false, false, "every value is the same for the third time running, to the decimal: were the instruments read again?")
	}
	if p := st.newest(); p != nil && math.Abs(r.OutdoorK-p.OutdoorK) > outdoorJump && r.At.Sub(p.At) < ambientFresh {
		d.add("outdoor", false, false, "moved %s since the last reading: probe in the sun or in discharge air?", diff(math.Abs(r.OutdoorK-p.OutdoorK), d.u))
	}
}

// sameNumbers reports that two readings hold the same values, at least four of
// them.
func sameNumbers(a, b *Reading) bool {
	n := 0
	fb := b.fields()
	for i, f := range a.fields() {
		if f.name == "note" || f.name == "sight_glass" {
			continue
		}
		ta, _ := f.at.MarshalText()
		tb, _ := fb[i].at.MarshalText()
		if string(ta) != string(tb) {
			return false
		}
		if len(ta) > 0 {
			n++
		}
	}
	return n >= 4
}

func rawText(b *Reading, name string) string {
	for _, f := range b.fields() {
		if f.name == name {
			t, _ := f.at.MarshalText()
			return string(t)
		}
	}
	return ""
}

func rawTemperature(b *Reading, name string) q.Temperature {
	for _, f := range b.fields() {
		if f.name == name {
			if t, ok := f.at.(*q.Temperature); ok {
				return *t
			}
		}
	}
	return q.Temperature{}
}

func rawUnit(b *Reading, name string) q.Unit {
	for _, f := range b.fields() {
		if p, ok := f.at.(*q.Pressure); ok && f.name == name {
			return p.Unit()
		}
	}
	return ""
}

// rawSI is the value of a field in Pa or K.
func rawSI(b *Reading, name string, site float64) float64 {
	for _, f := range b.fields() {
		if f.name != name {
			continue
		}
		switch v := f.at.(type) {
		case *q.Pressure:
			return v.Absolute(site)
		case *q.Temperature:
			return v.Kelvin()
		}
	}
	return math.NaN()
}

func orList(names []string) string {
	switch len(names) {
	case 1:
		return names[0]
	case 2:
		return names[0] + " or " + names[1]
	}
	return names[0] + ", " + names[1] + " or " + names[2]
}
