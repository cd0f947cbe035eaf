package scenario

import (
	"math"

	"chargehand/charge"
	q "chargehand/charge/quantity"
	"chargehand/charge/rig"
)

// sensor is one reading of the sheet that a lesson can make lie.
type sensor struct {
	name  string // the field of a reading
	gauge bool
	shown func(*rig.Readings) *float64
	felt  func(*rig.State) *float64 // where a clamp sits; nil for what is no clamp
}

var sensors = []sensor{
	{"suction_pressure", true, func(s *rig.Readings) *float64 { return &s.SuctionGaugePa }, nil},
	{"liquid_pressure", true, func(s *rig.Readings) *float64 { return &s.LiquidGaugePa }, nil},
	{"suction_line", false, func(s *rig.Readings) *float64 { return &s.SuctionLineK }, func(s *rig.State) *float64 { return &s.SuctionLineK }},
	{"liquid_line", false, func(s *rig.Readings) *float64 { return &s.LiquidLineK }, func(s *rig.State) *float64 { return &s.LiquidLineK }},
	{"discharge_line", false, func(s *rig.Readings) *float64 { return &s.DischargeLineK }, func(s *rig.State) *float64 { return &s.DischargeLineK }},
	{"drop_leg", false, func(s *rig.Readings) *float64 { return &s.DropLegK }, func(s *rig.State) *float64 { return &s.DropLegK }},
	{"outdoor", false, func(s *rig.Readings) *float64 { return &s.OutdoorK }, nil},
	{"return_dry_bulb", false, func(s *rig.Readings) *float64 { return &s.ReturnDryK }, nil},
	{"return_wet_bulb", false, func(s *rig.Readings) *float64 { return &s.ReturnWetK }, nil},
	{"supply_dry_bulb", false, func(s *rig.Readings) *float64 { return &s.SupplyDryK }, nil},
}

// sensorOf finds a sensor by its name, the zero sensor for none.
func sensorOf(name string) sensor {
	for _, s := range sensors {
		if s.name == name {
			return s
		}
	}
	return sensor{}
}

func sensorNames() []string {
	var names []string
	for _, s := range sensors {
		names = append(names, s.name)
	}
	return names
}

// places a clamp can be on by mistake.
var places = []struct {
	name string
	at   func(*rig.State) float64
}{
	{"suction-line", func(s *rig.State) float64 { return s.SuctionLineK }},
	{"liquid-line", func(s *rig.State) float64 { return s.LiquidLineK }},
	{"discharge-line", func(s *rig.State) float64 { return s.DischargeLineK }},
	{"outdoor-air", func(s *rig.State) float64 { return s.Conditions.OutdoorK }},
}

func placeNames() []string {
	var names []string
	for _, p := range places {
		names = append(names, p.name)
	}
	return names
}

// reading is what gauges, clamps and probes show now. Where a lesson has an
// instrument in the wrong place, the instrument is given what is there.
func (r *Run) reading() *charge.Reading {
	st := r.plant.State()
	felt := st
	for _, t := range r.trouble {
		s := sensorOf(t.Reading)
		for _, p := range places {
			if p.name == t.On && s.felt != nil {
				k := s.felt(&felt)
				*k += t.Share * (p.at(&st) - *k)
			}
		}
	}
	s := r.tools.Read(r.plant.Clock(), felt)
	for _, t := range r.trouble {
		*sensorOf(t.Reading).shown(&s) += t.Offset
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
