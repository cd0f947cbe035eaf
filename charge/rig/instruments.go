package rig

import (
	"math"
	"math/rand"
	"time"
)

// Glass is what a sight glass in the liquid line shows.
type Glass int

const (
	Clear Glass = iota
	Bubbles
	Foam
)

var glassNames = [...]string{"clear", "bubbles", "foam"}

// String is the word for it.
func (g Glass) String() string { return glassNames[min(max(g, Clear), Foam)] }

// Readings is what the instruments show, in SI; pressures are gauge, against the
// local air. Fields a system does not have (no receiver) are still filled in.
type Readings struct {
	SuctionGaugePa         float64
	LiquidGaugePa          float64
	CondenserOutletGaugePa float64
	SuctionLineK           float64
	LiquidLineK            float64
	DischargeLineK         float64
	DropLegK               float64
	OutdoorK               float64
	ReturnDryK             float64
	ReturnWetK             float64
	SupplyDryK             float64
	SupplyWetK             float64
	CurrentA               float64
	Glass                  Glass
}

// Sensor is one instrument: it follows the truth with a lag, shows it with a
// fixed bias and scale error and some noise, and rounds. The zero Sensor is perfect.
type Sensor struct {
	Bias       float64 // added, in the unit of the reading
	Scale      float64 // share of the reading added
	Noise      float64 // standard deviation
	Resolution float64 // last digit; 0 for none
	Lag        float64 // s
	Contact    float64 // clamps: share of the way to the air around, 0 for a good clamp

	held  float64
	since time.Duration
	begun bool
}

func (s *Sensor) read(at time.Duration, truth, around float64, rng *rand.Rand) float64 {
	truth += s.Contact * (around - truth)
	if !s.begun || s.Lag <= 0 {
		s.held, s.begun = truth, true
	} else {
		s.held += (1 - math.Exp(-(at-s.since).Seconds()/s.Lag)) * (truth - s.held)
	}
	s.since = at
	v := s.held*(1+s.Scale) + s.Bias
	if s.Noise > 0 {
		v += s.Noise * rng.NormFloat64()
	}
	if s.Resolution > 0 {
		v = math.Round(v/s.Resolution) * s.Resolution
	}
	return v
}

// Instruments is a technician's set. The zero Instruments is perfect. Not safe
// for concurrent use.
type Instruments struct {
	Suction, Liquid, Outlet       Sensor // gauges, Pa; scale error is of the gauge reading
	SuctionLine, LiquidLine       Sensor // clamps
	DischargeLine, DropLeg        Sensor
	Outdoor, ReturnDry, ReturnWet Sensor
	SupplyDry, SupplyWet, Current Sensor
	Scale                         Scale
	Hose                          Hose
	VoltageV                      float64 // for the current; 230 where zero

	rng *rand.Rand
}

// PlausibleInstruments draws a set as it comes out of a van: gauges within 1 %
// of the reading, clamps and thermometers within 1 °F mostly, digits of 0.1 psi
// and 0.1 °F, a scale of a tenth to half an ounce.
func PlausibleInstruments(seed int64) *Instruments {
	rng := rand.New(rand.NewSource(seed))
	const psi, degF = 6894.757, 1 / 1.8
	gauge := func() Sensor {
		return Sensor{Scale: between(rng, -0.01, 0.01), Bias: psi * 0.2 * rng.NormFloat64(), Noise: 0.15 * psi, Resolution: 0.1 * psi, Lag: 1}
	}
	temp := func(lag float64) Sensor {
		return Sensor{Bias: degF * math.Max(-1.5, math.Min(1.5, 0.5*rng.NormFloat64())), Noise: 0.15 * degF, Resolution: 0.1 * degF, Lag: lag}
	}
	clamp := func() Sensor {
		s := temp(15)
		s.Contact = 0.03 * rng.Float64()
		return s
	}
	in := &Instruments{
		Suction: gauge(), Liquid: gauge(), Outlet: gauge(),
		SuctionLine: clamp(), LiquidLine: clamp(), DischargeLine: clamp(), DropLeg: clamp(),
		Outdoor: temp(20), ReturnDry: temp(20), ReturnWet: temp(40), SupplyDry: temp(20), SupplyWet: temp(40),
		Current: Sensor{Scale: between(rng, -0.02, 0.02), Resolution: 0.1},
		Scale:   Scale{ResolutionKg: []float64{0.002, 0.005, 0.01, 0.014}[rng.Intn(4)], DriftKgPerHour: 0.004 * rng.NormFloat64()},
		Hose:    Hose{LiquidKg: between(rng, 0.02, 0.06)},
	}
	in.rng = rng
	return in
}

// Read shows a state at a moment of the plant's clock.
func (in *Instruments) Read(at time.Duration, st State) Readings {
	if in.rng == nil {
		in.rng = rand.New(rand.NewSource(1))
	}
	baro := st.Conditions.BarometerPa
	if baro == 0 {
		baro = 101325
	}
	volts := in.VoltageV
	if volts == 0 {
		volts = 230
	}
	r := in.rng
	out, room := st.Conditions.OutdoorK, st.Conditions.ReturnDryK
	v := Readings{
		SuctionGaugePa:         in.Suction.read(at, st.SuctionPressurePa-baro, 0, r),
		LiquidGaugePa:          in.Liquid.read(at, st.LiquidPressurePa-baro, 0, r),
		CondenserOutletGaugePa: in.Outlet.read(at, st.CondenserOutletPressurePa-baro, 0, r),
		SuctionLineK:           in.SuctionLine.read(at, st.SuctionLineK, out, r),
		LiquidLineK:            in.LiquidLine.read(at, st.LiquidLineK, out, r),
		DischargeLineK:         in.DischargeLine.read(at, st.DischargeLineK, out, r),
		DropLegK:               in.DropLeg.read(at, st.DropLegK, out, r),
		OutdoorK:               in.Outdoor.read(at, out, out, r),
		ReturnDryK:             in.ReturnDry.read(at, room, room, r),
		ReturnWetK:             in.ReturnWet.read(at, st.Conditions.ReturnWetK, room, r),
		SupplyDryK:             in.SupplyDry.read(at, st.SupplyDryK, room, r),
		SupplyWetK:             in.SupplyWet.read(at, st.SupplyWetK, room, r),
		CurrentA:               in.Current.read(at, st.PowerW/(0.92*volts), 0, r),
	}
	// A wet bulb never shows more than the dry bulb beside it.
	v.ReturnWetK = math.Min(v.ReturnWetK, v.ReturnDryK)
	v.SupplyWetK = math.Min(v.SupplyWetK, v.SupplyDryK)
	switch {
	case st.LiquidVapor > 0.02:
		v.Glass = Foam
	case st.LiquidVapor > 0.0005:
		v.Glass = Bubbles
	}
	return v
}

// Scale under the cylinder. The zero Scale is perfect.
type Scale struct {
	ResolutionKg   float64
	DriftKgPerHour float64
	ZeroKg         float64
}

// Weigh shows the true weight at a moment of the plant's clock.
func (s Scale) Weigh(at time.Duration, kg float64) float64 {
	kg += s.ZeroKg + s.DriftKgPerHour*at.Hours()
	if s.ResolutionKg > 0 {
		kg = math.Round(kg/s.ResolutionKg) * s.ResolutionKg
	}
	return kg
}

// Hose between cylinder and system. Until it is full of liquid the first of
// what leaves the cylinder stays in it.
type Hose struct {
	LiquidKg float64 // what it holds when full
	HeldKg   float64 // what it holds now; equal to LiquidKg when primed
}

// Deliver is what reaches the system when kg leave the cylinder.
func (h *Hose) Deliver(kg float64) float64 {
	keep := math.Min(math.Max(h.LiquidKg-h.HeldKg, 0), math.Max(kg, 0))
	h.HeldKg += keep
	return kg - keep
}

// Empty lets the running system draw the hose empty at the end and returns what
// came in that way; a hundredth is lost when it is taken off.
func (h *Hose) Empty() float64 {
	kg := 0.99 * h.HeldKg
	h.HeldKg = 0
	return kg
}
