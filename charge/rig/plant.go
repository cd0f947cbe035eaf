package rig

import (
	"fmt"
	"math"
	"math/rand"
	"time"
)

// Plant is a live system: a clock advanced by hand, refrigerant weighed in and
// out, weather and faults that change on the run. It relaxes towards the
// steady state of the refrigerant that has found its place, through lags that
// follow from masses and flows:
//
//	charge     refrigerant added to the suction side spreads over the circuit in
//	           about the time the flow needs to carry the charge round once
//	pressures  coil metal and the vapour of both sides
//	pipes      the wall under a clamp
//	supply     coil, pan and the first metre of duct
//	discharge  the compressor's own mass, minutes
//	ice        grows on a coil under freezing over tens of minutes
//	valve      bulb, evaporator and valve body in one loop, which hunts where
//	           its gain is over what its three lags bear
//
// The same seed and the same calls give the same readings. A Plant is not safe
// for concurrent use.
type Plant struct {
	sys     *System
	rng     *rand.Rand
	clock   time.Duration
	charge  float64 // everything in the system, kg
	settled float64 // what has found its place, kg
	loose   float64 // liquid still boiling off in the suction line, kg

	conditions Conditions
	weather    []Weather
	gust       float64 // of outdoor air, K
	gustSize   float64
	faults     Faults
	leak       float64 // kg/s at data plate charge

	warm   node
	target State
	shown  State
	loop   valveLoop
	ice    frost
	err    error
}

// Weather is a point of a schedule; between points conditions change evenly.
type Weather struct {
	At         time.Duration
	Conditions Conditions
}

// PlantOptions is how a Plant begins. The zero value of each field is none,
// calm, or the design conditions; ChargeKg zero is the data plate charge.
type PlantOptions struct {
	ChargeKg      float64
	Conditions    Conditions
	Weather       []Weather // in rising time; overrides Conditions
	Faults        Faults
	LeakKgPerHour float64
	GustK         float64 // standard deviation of outdoor air about the schedule
	Seed          int64
}

// NewPlant starts a plant in the steady state.
func NewPlant(sys *System, o PlantOptions) (*Plant, error) {
	if o.ChargeKg == 0 {
		o.ChargeKg = sys.NameplateKg
	}
	if o.Conditions == (Conditions{}) {
		o.Conditions = sys.spec.Design
	}
	for i := 1; i < len(o.Weather); i++ {
		if o.Weather[i].At <= o.Weather[i-1].At {
			return nil, fmt.Errorf("rig: weather point %d at %v does not come after the one before it", i, o.Weather[i].At)
		}
	}
	p := &Plant{
		sys: sys, rng: rand.New(rand.NewSource(o.Seed)),
		charge: o.ChargeKg, settled: o.ChargeKg,
		conditions: o.Conditions, weather: o.Weather, gustSize: o.GustK,
		faults: o.Faults, leak: o.LeakKgPerHour / 3600,
	}
	if err := p.solve(); err != nil {
		return nil, err
	}
	p.shown = p.target
	p.loop.start(p.rng)
	return p, nil
}

// Clock is the time since the plant began.
func (p *Plant) Clock() time.Duration { return p.clock }

// ChargeKg is all refrigerant in the system.
func (p *Plant) ChargeKg() float64 { return p.charge }

// System is what the plant is made of.
func (p *Plant) System() *System { return p.sys }

// Conditions are those of this moment, without gusts.
func (p *Plant) Conditions() Conditions { return p.ConditionsAt(p.clock) }

// Faults are those of this moment.
func (p *Plant) Faults() Faults { return p.faults }

// Add puts refrigerant in on the suction side, or takes it out (negative).
// No more comes out than is in.
func (p *Plant) Add(kg float64) {
	kg = math.Max(kg, -0.95*p.charge)
	p.charge += kg
	if kg > 0 {
		p.loose += kg
	}
}

// SetFaults changes the faults from now on.
func (p *Plant) SetFaults(f Faults) error {
	if err := f.check(); err != nil {
		return err
	}
	p.faults = f
	return nil
}

// SetLeak sets the leak in kg/h at data plate charge; it slows as the charge falls.
func (p *Plant) SetLeak(kgPerHour float64) { p.leak = kgPerHour / 3600 }

// State is what the system shows at this moment: lagging temperatures and
// pressures, hunting included.
func (p *Plant) State() State { return p.loop.over(p.shown, p.sys) }

// IceKg is the ice on the evaporator.
func (p *Plant) IceKg() float64 { return p.ice.kg }

// Settled is where everything is heading if nothing changes, the ice included.
func (p *Plant) Settled() (State, error) {
	return p.sys.Steady(p.charge, p.Conditions(), p.ice.on(p.sys, p.faults))
}

const (
	plantStep  = 5 * time.Second // between steady solves
	leastShare = 0.05            // of the data plate charge; less is not simulated
)

// Advance moves the clock on. An error says that the system found no state to
// run in; what it showed last then stands.
func (p *Plant) Advance(d time.Duration) error {
	p.err = nil
	for d > 0 {
		dt := min(d, plantStep)
		p.clock += dt
		d -= dt
		p.step(dt.Seconds())
	}
	return p.err
}

// Rest stops the compressor for a while with the indoor fan on, as a technician
// does to thaw a coil: the ice melts, the leak goes on, and the readings after
// it begin again from where they were.
func (p *Plant) Rest(d time.Duration) {
	p.clock += d
	p.ice.rest(p.sys, d.Seconds())
	p.charge = math.Max(p.charge-p.leak*d.Seconds()*p.charge/p.sys.NameplateKg, 0.01*p.sys.NameplateKg)
	p.settled, p.loose = p.charge, 0
}

func (p *Plant) step(dt float64) {
	s := p.sys
	out := p.leak * dt * math.Max(p.charge/s.NameplateKg, 0)
	p.charge = math.Max(p.charge-out, 0.01*s.NameplateKg)

	// Migration: once round the circuit at the present flow.
	flow := math.Max(p.shown.FlowKgS, 0.1*s.flow)
	round := math.Min(math.Max(p.charge/flow, 15), 240)
	f := 1 - math.Exp(-dt/round)
	p.settled += f * (p.charge - p.settled)
	boil := p.loose * f
	p.loose -= boil

	if p.gustSize > 0 {
		decay := math.Exp(-dt / 150)
		p.gust = p.gust*decay + p.gustSize*math.Sqrt(1-decay*decay)*p.rng.NormFloat64()
	}
	if err := p.solve(); err != nil {
		p.err = err
		return
	}
	t := p.target
	// Liquid boiling off in the suction line takes its heat from the vapour.
	if boil > 0 && t.FlowKgS > 0 {
		chill := 1.6e5 * boil / dt / (t.FlowKgS * 1000)
		t.SuctionLineK = math.Max(t.SuctionLineK-chill, math.Min(t.EvaporatingK, t.SuctionLineK))
		t.DischargeLineK -= 0.8 * math.Min(chill, 25)
	}
	p.relax(&t, dt)
	p.ice.grow(s, &p.target, dt)
	p.loop.run(p.sys, &p.target, p.faults, dt)
}

// relax moves what is shown towards the target.
func (p *Plant) relax(t *State, dt float64) {
	s := p.sys
	kw := s.capacity / 1000
	// Metal of about 1.5 kg/kW in each coil and 3 kg/kW in the compressor.
	metal := 1.5 * kw * 700
	ua := s.capacity / s.spec.CondensingOverAmbientK
	high := 12 + metal/ua
	low := 8 + metal/(s.capacity/math.Max(s.spec.EvaporatorTDK, 5))
	if s.spec.Device == ElectronicValve {
		low += 40 // its controller steps towards the setting
	}
	shell := 3 * kw * 480 / (math.Max(t.FlowKgS, 0.2*s.flow) * 1000)
	shell = math.Min(math.Max(shell, 90), 600)

	h := &p.shown
	was := *h
	*h = *t // whatever is not lagged
	lag := func(v *float64, from, tau float64) { *v = from + (1-math.Exp(-dt/tau))*(*v-from) }
	lag(&h.SuctionPressurePa, was.SuctionPressurePa, low)
	lag(&h.LiquidPressurePa, was.LiquidPressurePa, high)
	lag(&h.DischargePressurePa, was.DischargePressurePa, high)
	lag(&h.CondenserOutletPressurePa, was.CondenserOutletPressurePa, high)
	lag(&h.SuctionLineK, was.SuctionLineK, low+20)
	lag(&h.LiquidLineK, was.LiquidLineK, high+15)
	lag(&h.DropLegK, was.DropLegK, high+15)
	lag(&h.DischargeLineK, was.DischargeLineK, shell)
	lag(&h.SupplyDryK, was.SupplyDryK, low+40)
	lag(&h.SupplyWetK, was.SupplyWetK, low+40)
	lag(&h.LiquidVapor, was.LiquidVapor, high)
	lag(&h.PowerW, was.PowerW, high)
	lag(&h.CapacityW, was.CapacityW, low)
	lag(&h.FlowKgS, was.FlowKgS, low)
	s.derive(h)
}

// derive works out what a technician derives from the shown readings.
func (s *System) derive(h *State) {
	h.EvaporatingK = s.fluid.dewT(h.SuctionPressurePa)
	h.CondensingK = s.fluid.bubbleT(h.LiquidPressurePa)
	// A line is never under the bubble point of what boils in it.
	h.SuctionLineK = math.Max(h.SuctionLineK, s.fluid.bubbleT(h.SuctionPressurePa))
	h.SuperheatK = h.SuctionLineK - h.EvaporatingK
	h.SubcoolingK = h.CondensingK - h.LiquidLineK
}

// ConditionsAt are those the schedule has for a moment of the plant's clock,
// without gusts.
func (p *Plant) ConditionsAt(t time.Duration) Conditions {
	w := p.weather
	if len(w) == 0 {
		return p.conditions
	}
	if t <= w[0].At {
		return w[0].Conditions
	}
	for i := 1; i < len(w); i++ {
		if t < w[i].At {
			a, b := w[i-1], w[i]
			u := float64(t-a.At) / float64(b.At-a.At)
			mix := func(x, y float64) float64 { return x + u*(y-x) }
			return Conditions{
				mix(a.Conditions.OutdoorK, b.Conditions.OutdoorK),
				mix(a.Conditions.ReturnDryK, b.Conditions.ReturnDryK),
				mix(a.Conditions.ReturnWetK, b.Conditions.ReturnWetK),
				mix(a.Conditions.BarometerPa, b.Conditions.BarometerPa),
			}
		}
	}
	return w[len(w)-1].Conditions
}

func (p *Plant) solve() error {
	c := p.Conditions()
	c.OutdoorK += p.gust
	st, err := p.sys.steadyFrom(&p.warm, math.Max(p.settled, leastShare*p.sys.NameplateKg), c, p.ice.on(p.sys, p.faults))
	if err != nil {
		return err
	}
	p.target = st
	return nil
}
