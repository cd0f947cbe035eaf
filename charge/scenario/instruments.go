package scenario

import (
	"math"

	"chargehand/charge"
	q "chargehand/charge/quantity"
	"chargehand/charge/rig"
)

// reading is what gauges, clamps and probes show now. Where a lesson has an
// instrument in the wrong place, the instrument is given what is there.
func (r *Run) reading() *charge.Reading {
	st := r.plant.State()
	felt := st
	felt.SuctionLineK = r.placed("suction_line", st.SuctionLineK, &st)
	felt.LiquidLineK = r.placed("liquid_line", st.LiquidLineK, &st)
	felt.DischargeLineK = r.placed("discharge_line", st.DischargeLineK, &st)
	felt.DropLegK = r.placed("drop_leg", st.DropLegK, &st)
	s := r.tools.Read(r.plant.Clock(), felt)
	for _, t := range r.trouble {
		for name, at := range map[string]*float64{"suction_pressure": &s.SuctionGaugePa, "liquid_pressure": &s.LiquidGaugePa,
			"suction_line": &s.SuctionLineK, "liquid_line": &s.LiquidLineK, "discharge_line": &s.DischargeLineK, "drop_leg": &s.DropLegK,
			"outdoor": &s.OutdoorK, "return_dry_bulb": &s.ReturnDryK, "return_wet_bulb": &s.ReturnWetK, "supply_dry_bulb": &s.SupplyDryK} {
			if name == t.Reading {
				*at += t.Offset
			}
		}
	}
	b := &charge.Reading{
		SuctionPressure: r.gauge(s.SuctionGaugePa),
		LiquidPressure:  r.gauge(s.LiquidGaugePa),
		SuctionLine:     r.thermometer(s.SuctionLineK),
		LiquidLine:      r.thermometer(s.LiquidLineK),
		DischargeLine:   r.thermometer(s.DischargeLineK),
		Outdoor:         r.thermometer(s.OutdoorK),
		ReturnDryBulb:   r.thermometer(s.ReturnDryK),
		ReturnWetBulb:   r.thermometer(math.Min(s.ReturnWetK, s.ReturnDryK)),
		SupplyDryBulb:   r.thermometer(s.SupplyDryK),
	}
	if r.lesson.Hidden.Spec.ReceiverM3 > 0 {
		b.DropLeg = r.thermometer(s.DropLegK)
		b.CondenserOutletPressure = r.gauge(s.CondenserOutletGaugePa)
		b.SightGlass = [...]charge.Glass{rig.Clear: charge.GlassClear, rig.Bubbles: charge.GlassBubbles, rig.Foam: charge.GlassFoam}[s.Glass]
	}
	return b
}

// placed is the temperature where a clamp really sits.
func (r *Run) placed(sensor string, k float64, st *rig.State) float64 {
	for _, t := range r.trouble {
		if t.Reading != sensor || t.On == "" {
			continue
		}
		other := k
		switch t.On {
		case "suction-line":
			other = st.SuctionLineK
		case "liquid-line":
			other = st.LiquidLineK
		case "discharge-line":
			other = st.DischargeLineK
		case "outdoor-air":
			other = st.Conditions.OutdoorK
		}
		k += t.Share * (other - k)
	}
	return k
}

// gauge writes a gauge pressure to a tenth of a psi or a hundredth of a bar.
func (r *Run) gauge(pa float64) q.Pressure {
	if r.opt.Units == q.SI {
		return q.PressureOf(math.Round(pa/1000)/100, q.BarG)
	}
	return q.PSIG(math.Round(pa/q.PascalsPerPSI*10) / 10)
}

// thermometer writes a temperature to a tenth of a degree.
func (r *Run) thermometer(k float64) q.Temperature {
	if r.opt.Units == q.SI {
		return q.DegreesC(math.Round((k-273.15)*10) / 10)
	}
	return q.DegreesF(math.Round((k*1.8-459.67)*10) / 10)
}
