package scenario

import (
	"math"

	"chargehand/charge"
	q "chargehand/charge/quantity"
	"chargehand/charge/rig"
)

func (r *reader) hidden(n *node, known *charge.Setup) Hidden {
	o := r.object(n)
	h := Hidden{}
	sp := &h.Spec
	sp.Refrigerant = string(known.Refrigerant)
	if f := o.get("refrigerant"); f != nil {
		sp.Refrigerant = r.words(f)
	}
	if f := o.need("device"); f != nil {
		d, err := rig.ParseDevice(f.text)
		if err != nil {
			r.say(f, f.text, "use fixed-orifice, capillary-tube, thermostatic or electronic")
		}
		sp.Device = d
	}
	switch known.Application {
	case charge.MediumTemperature:
		sp.Application = rig.MediumTemperature
	case charge.LowTemperature:
		sp.Application = rig.LowTemperature
	}
	if f := o.need("capacity"); f != nil {
		sp.CapacityW = quantity[q.Power](r, f).Watts()
	}
	h.ChargePercent = r.number(o.need("charge_percent"), 20, 180, 100)
	// In °F: wider than any system has, so that a slip of the keyboard is told.
	diff := func(name string, low, high float64) float64 {
		f := o.get(name)
		k := orZero(quantity[q.TemperatureDifference](r, f).Kelvins())
		if k != 0 && !(k*1.8 > low-1e-9 && k*1.8 < high+1e-9) {
			r.say(f, f.text, "is out of range: %g to %g °F", low, high)
		}
		return k
	}
	sp.DesignSuperheatK = diff("design_superheat", 2, 45)
	sp.DesignSubcoolingK = diff("design_subcooling", 1, 30)
	sp.CondensingOverAmbientK = diff("condensing_over_outdoor", 5, 60)
	sp.EvaporatorTDK = diff("return_over_evaporating", 4, 70)
	sp.ValveGradientK = diff("valve_gradient", 1, 30)
	sp.ValveCapacity = r.number(o.get("valve_capacity"), 1, 3, 0)
	sp.ValveBleed = r.number(o.get("valve_bleed"), 0, 0.4, 0)
	sp.LiquidLineM = orZero(quantity[q.Length](r, o.get("line_length")).Meters())
	sp.ReceiverM3 = r.number(o.get("receiver_litres"), 0, 200, 0) / 1000
	sp.ReceiverLevel = r.number(o.get("receiver_level"), 0, 0.9, 0)
	sp.HeadPressurePa = orZero(quantity[q.Pressure](r, o.get("head_pressure_setting")).Absolute(standardPa))
	if f := o.get("micro_channel"); f != nil {
		if f.kind != "true or false" {
			r.say(f, f.text, "write true or false")
		}
		sp.MicroChannel = f.flag
	}
	if f := o.get("design"); f != nil {
		sp.Design = r.design(f)
	}
	if f := o.get("leak_per_hour"); f != nil {
		h.LeakKgPerHour = orZero(quantity[q.Mass](r, f).Kilograms())
		if h.LeakKgPerHour < 0 || h.LeakKgPerHour > 20 {
			r.say(f, f.text, "is out of range: 0 to 20 kg an hour")
		}
	}
	if f := o.get("faults"); f != nil {
		for name, x := range r.faults(f) {
			setFault(&h.Faults, name, x)
		}
	}
	o.done()
	return h
}

const standardPa = 101325

func orZero(x float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	return x
}

func (r *reader) design(n *node) rig.Conditions {
	o := r.object(n)
	c := rig.Conditions{
		OutdoorK:    quantity[q.Temperature](r, o.need("outdoor")).Kelvin(),
		ReturnDryK:  quantity[q.Temperature](r, o.need("return_dry_bulb")).Kelvin(),
		ReturnWetK:  quantity[q.Temperature](r, o.need("return_wet_bulb")).Kelvin(),
		BarometerPa: standardPa,
	}
	o.done()
	return c
}

func (r *reader) faults(n *node) map[string]float64 {
	o := r.object(n)
	m := map[string]float64{}
	for _, f := range faults {
		if n := o.get(f.name); n != nil {
			m[f.name] = r.number(n, 0, 1, 0)
		}
	}
	o.done()
	return m
}
