package charge

import (
	"math"
	"time"

	"chargehand/charge/belief"
)

// mind is the session's side of package belief: it turns readings and setup
// into that package's terms and its answers into ours. A new mind begins when
// something was put right, since the system is another one from then on.
type mind struct {
	b      *belief.Belief // nil before the first reading that may be believed
	prior  float64        // odds of an orifice before any reading
	goal   belief.Goal
	plan   belief.Plan
	fresh  bool             // plan is that of goal and of every reading so far
	bands  map[float64]Fork // forecasts since the newest reading, by kg
	names  []belief.Cause   // causes since then
	seen   int              // the newest reading it was shown
	before *mind            // as it was before the newest reading
}

func newMind(*state) *mind { return &mind{} }

// start makes the belief when the first reading arrives: by then the checks
// are in.
func (m *mind) start(st *state) {
	s := &st.setup
	u := belief.Unit{
		Refrigerant:       st.med.name,
		CapacityW:         orZero(s.Capacity.Watts()),
		UsualKgPerTon:     belief.UsualKgPerTon * st.med.lightness,
		NameplateKg:       orZero(st.full()),
		TargetSubcoolingK: orZero(s.TargetSubcooling.Kelvins()),
		TargetSuperheatK:  orZero(s.TargetSuperheat.Kelvins()),
		Receiver:          s.Arrangement == Receiver,
		AirSideChecked:    st.looked(Filter) && st.looked(EvaporatorCoil) && st.looked(Blower),
		CondenserChecked:  st.looked(CondenserCoil) && st.looked(CondenserFan),
		Stream:            st.opt.Stream,
	}
	switch s.Application {
	case MediumTemperature:
		u.Application = belief.MediumTemperature
	case LowTemperature:
		u.Application = belief.LowTemperature
	}
	switch s.Device {
	case FixedOrifice:
		u.Device = belief.FixedOrifice
	case ExpansionValve:
		u.Device = belief.ExpansionValve
	}
	m.b = belief.New(u)
	d := m.b.Device()
	m.prior = d.FixedOrifice / d.ExpansionValve
}

// looked reports an item found or put in order.
func (st *state) looked(i Item) bool {
	f, ok := st.checks[i]
	return ok && (f.state == CheckOK || f.state == CheckCorrected)
}

func orZero(x float64) float64 {
	if given(x) {
		return x
	}
	return 0
}

// see shows a reading to the belief.
func (m *mind) see(st *state, r *reading) {
	if m.b == nil {
		if !r.Settled { // the first reading anchors everything: it must be a settled one
			return
		}
		m.before = &mind{}
		m.start(st)
	} else {
		m.keep()
	}
	m.seen = r.N
	v := belief.NewReading()
	v.Minutes = r.At.Sub(st.began).Minutes()
	if r.sinceChange >= 0 {
		v.SinceChange = r.sinceChange.Minutes()
	}
	v.NetKg = r.netKg
	v.SuctionPa, v.LiquidPa = r.SuctionPa, r.LiquidPa
	v.SuctionLineK, v.LiquidLineK = r.SuctionLineK, r.LiquidLineK
	v.EvaporatingK, v.CondensingK = r.EvaporatingK, r.CondensingK
	v.SuperheatK, v.SubcoolingK = r.SuperheatK, r.SubcoolingK
	v.OutdoorK, v.ReturnDryK, v.ReturnWetK = r.OutdoorK, r.ReturnDryK, r.ReturnWetK
	v.SupplyDryK, v.DischargeK = r.SupplyDryK, r.DischargeK
	v.DropLegK = rawTemperature(r.raw, "drop_leg").Kelvin()
	v.CondenserOutletSaturationK = r.outletSatK
	if st.headControlled(r) {
		v.CondensingK = math.NaN() // held up by the control: it says nothing of the condenser
	}
	v.Ice = st.mayIce(r)
	v.CompressorA = r.currentA
	switch r.Glass {
	case GlassClear:
		v.SightGlass = belief.GlassClear
	case GlassBubbles:
		v.SightGlass = belief.GlassBubbles
	case GlassFoam:
		v.SightGlass = belief.GlassFoam
	}
	v.SuctionSlopeKPerPa, v.LiquidSlopeKPerPa = slope(st.med.dew, r.SuctionPa), slope(st.med.bub, r.LiquidPa)
	m.b.Observe(v)
	m.fresh, m.bands, m.names = false, map[float64]Fork{}, m.b.Causes()
}

// keep remembers the mind as it is, for an undo of the coming reading.
func (m *mind) keep() {
	k := *m
	var old *belief.Belief
	if m.before != nil {
		old = m.before.b
	}
	k.b, k.before = m.b.CloneOver(old), nil
	m.before = &k
}

// device is the belief in the device. A device stated in the setup stands as
// the verdict whatever the readings say; conflict tells when they disagree.
func (m *mind) device(st *state) DeviceBelief {
	d := DeviceBelief{FixedOrifice: 0.5, ExpansionValve: 0.5, Verdict: DeviceUnknown}
	if m.b != nil {
		p := m.b.Device()
		d.FixedOrifice, d.ExpansionValve = p.FixedOrifice, p.ExpansionValve
		switch p.Verdict {
		case belief.FixedOrifice:
			// However sure the numbers look: with next to no liquid at the device
			// a valve is wide open, and falling superheat settles nothing.
			if r := st.believed(); r != nil && r.SubcoolingK >= verdictSubcool {
				d.Verdict = FixedOrifice
			}
		case belief.ExpansionValve:
			if r := st.believed(); r != nil && !(r.SubcoolingK < starvedSubcool && r.SuperheatK > starvedSuperheat) {
				d.Verdict = ExpansionValve
			}
		}
	}
	switch st.setup.Device {
	case FixedOrifice, ExpansionValve:
		d.Stated, d.Verdict = true, st.setup.Device
		if m.b == nil {
			d.FixedOrifice, d.ExpansionValve = 0, 1
			if d.Verdict == FixedOrifice {
				d.FixedOrifice, d.ExpansionValve = 1, 0
			}
		}
	}
	return d
}

// swings reports superheat seen to move as only that of a hunting valve does.
func (m *mind) swings() bool { return m.b != nil && m.b.Swings() }

// inferred is the probability of an orifice by the readings alone, without
// what the setup states.
func (m *mind) inferred() float64 {
	if m.b == nil {
		return 0.5
	}
	d := m.b.Device()
	odds := d.FixedOrifice / d.ExpansionValve / m.prior
	if math.IsInf(odds, 1) {
		return 1
	}
	return odds / (1 + odds)
}

// causes are the belief's, in our words and units.
func (m *mind) causes(c *sight) []Cause {
	if m.b == nil {
		return nil
	}
	var out []Cause
	for _, k := range m.names {
		if k.P < causeShown {
			continue
		}
		out = append(out, Cause{Name: k.Name, P: k.P, Evidence: causeEvidence(k.Name, c), Look: causeLook(k.Name)})
	}
	return out
}

// forecast is the next settled reading after kg more than at the newest
// reading.
func (m *mind) forecast(kg float64) Fork {
	nan := math.NaN()
	none := Bands{[3]float64{nan, nan, nan}, [3]float64{nan, nan, nan}}
	if m.b == nil {
		return Fork{none, none, none}
	}
	f, ok := m.bands[kg]
	if !ok {
		b := m.b.Forecast(kg)
		f = Fork{Both: Bands(b.Both), IfOrifice: Bands(b.IfOrifice), IfValve: Bands(b.IfValve)}
		m.bands[kg] = f
	}
	return f
}

// proposal is what the belief alone would do next.
type proposal struct {
	action Action
	kg     float64
	wait   time.Duration
	landed float64 // chance of being in the band afterwards
	beyond float64 // chance of being past it
	cause  string
	needs  []string
	tells  bool // the step is to show which device is inside
}

func (m *mind) propose(c *sight) proposal {
	if m.b == nil {
		return proposal{action: Measure}
	}
	g := c.goal()
	if !m.fresh || m.goal != g {
		m.goal, m.plan, m.fresh = g, m.b.Plan(g), true
	}
	p := proposal{kg: m.plan.Kg, wait: time.Duration(m.plan.WaitMinutes * float64(time.Minute)).Round(time.Minute),
		landed: m.plan.PLanded, beyond: m.plan.POvershoot, cause: m.plan.Cause, needs: m.plan.Needs, tells: m.plan.Tells}
	switch m.plan.Move {
	case belief.Measure:
		p.action = Measure
	case belief.Wait:
		p.action = Wait
	case belief.Add:
		p.action = Add
	case belief.Recover:
		p.action = Recover
	case belief.Hold:
		p.action = Stop
	case belief.Correct:
		p.action = Correct
	}
	return p
}

// goal is what the plan is to reach and what it must not pass.
func (c *sight) goal() belief.Goal {
	st := c.st
	b := func(t Target) belief.Band {
		if !t.Defined {
			return belief.Band{}
		}
		return belief.Band{Low: t.Low, Mid: t.Mid, High: t.High, Defined: true}
	}
	floor, _, _ := c.floor()
	orifice := c.tg.orifice
	if !orifice.Defined && orifice.Of == OfSuperheat && given(c.air.outK) && given(c.air.wetK) {
		// No orifice is charged to the chart's dash, but while a valve is
		// possible the step must still keep an orifice from flooding.
		orifice = band(orifice, floorComfort+0.5*superheatBand, 0.5*superheatBand, floorComfort)
	}
	_, discharge := st.dischargeLimits()
	g := belief.Goal{
		OrificeSuperheat: b(orifice),
		ValveSubcooling:  b(c.tg.valve),
		SuperheatFloorK:  floor,
		MaxAddKg:         st.stepMost(),
		RoomKg:           math.Inf(1),
		StepKg:           st.stepUnit(),
		FineStepKg:       st.fineUnit(),
		Receiver:         st.setup.Arrangement == Receiver,
		CondenserCeilK:   overOutdoorMost,
		SubcoolingCeilK:  c.subcoolingMost(),
		DischargeCeilK:   discharge,
	}
	if !given(st.size()) && c.device.Verdict == FixedOrifice && st.answers(4) {
		g.MaxAddKg = noCapacityMostOz * kgPerOz * st.med.lightness
	}
	if c.added == 0 {
		if first := st.tons() * firstOzTon * kgPerOz * st.med.lightness; given(first) {
			g.MaxAddKg = math.Min(g.MaxAddKg, math.Max(first, g.StepKg))
		}
		g.MaxAddKg = math.Min(g.MaxAddKg, mostFirstOz*kgPerOz*st.med.lightness)
	}
	if full := st.full(); given(full) {
		g.RoomKg, g.Full = math.Max(full*(1+plateOver)-c.net, 0), true
	}
	if b := c.barred(); given(b.kg) {
		g.RoomKg, g.Full = math.Max(math.Min(g.RoomKg, b.room(c.net, st.stepUnit())), 0), true
	}
	return g
}
