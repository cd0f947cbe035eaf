package rig

import "math"

// State is everything about a settled system, what a technician can read and
// what only the rig knows. Pressures are absolute.
type State struct {
	ChargeKg   float64
	Conditions Conditions

	// At the service ports.
	SuctionPressurePa   float64 // suction service valve, outdoor unit
	LiquidPressurePa    float64 // liquid service valve (after the receiver where there is one)
	DischargePressurePa float64
	SuctionLineK        float64
	LiquidLineK         float64
	DischargeLineK      float64
	SupplyDryK          float64
	SupplyWetK          float64

	// Receiver systems.
	DropLegK                  float64 // condenser outlet pipe
	CondenserOutletPressurePa float64
	ReceiverLevel             float64 // 0..1
	BypassShare               float64 // hot gas passing the condenser

	// Derived as a technician derives them: dew point for the suction side,
	// bubble point for the liquid side.
	EvaporatingK float64
	CondensingK  float64
	SuperheatK   float64 // at the suction service port; 0 with wet suction, of a zeotrope under 0 by some of the glide
	SubcoolingK  float64 // at the liquid service port; about 0 with vapour in the line

	// CutOut says that the head needed by this charge lies past 0.98 of the
	// critical temperature, where any high-pressure control has stopped the
	// compressor (R-410A: 613 psig). LowCutOut says that the system is all but
	// empty and a low-pressure control has done so. The state is then the last one
	// it could run in, and Inventory does not add up to ChargeKg.
	CutOut    bool
	LowCutOut bool

	// Only the rig knows.
	CoilSuperheatK   float64 // at the evaporator outlet
	CoilEvaporatingK float64 // dew point there
	CondensingInK    float64 // dew point at the condenser inlet
	LiquidVapor      float64 // vapour share by mass at the liquid port (sight glass)
	DeviceVapor      float64 // vapour share entering the device
	SuctionQuality   float64 // 1 when superheated
	FlowKgS          float64
	CapacityW        float64
	PowerW           float64
	CondenserHeatW   float64
	SensibleW        float64
	CondensateKgS    float64
	ValveOpening     float64 // over the design flow; 1 for fixed devices
	ValveWideOpen    bool
	LiquidZone       float64 // share of the condenser's face under liquid
	DryZone          float64 // share of the evaporator's face superheating
	Inventory        Inventory
	EnergyResidual   float64 // of the loop, relative to capacity
	EntropyMade      float64 // by the compressor, W/K, shell loss counted at suction temperature
}

// state reads a solved point.
func (k *working) state(p *point) State {
	s := k.s
	f := s.fluid
	st := State{
		ChargeKg: p.inv.Total(), Conditions: k.cond,
		SuctionPressurePa: p.p1, LiquidPressurePa: p.p3, DischargePressurePa: p.pHead,
		SuctionLineK: p.t1, LiquidLineK: p.tMix,
		DropLegK: p.tCond, CondenserOutletPressurePa: p.p3,
		ReceiverLevel: p.level, BypassShare: p.bypass,
		EvaporatingK: p.dew1, CondensingK: f.bubbleT(p.p3),
		CoilSuperheatK: p.evap.t - p.vap5.t, CoilEvaporatingK: p.vap5.t,
		CondensingInK: p.dewC.t,
		LiquidVapor:   p.xMix, DeviceVapor: p.in.x,
		FlowKgS: p.m, CapacityW: p.evap.heat, PowerW: p.power, CondenserHeatW: p.condHeat,
		ValveOpening: p.opening,
		LiquidZone:   p.zones.liquid / p.zones.total(), DryZone: p.evap.dry,
		Inventory: p.inv,
	}
	if p.tripped > 0 {
		st.CutOut, st.LowCutOut, st.ChargeKg = !p.empty, p.empty, p.tripped
	}
	// Discharge at total head.
	if vd := f.vapor(p.pHead); p.h2 > vd.h {
		st.DischargeLineK = f.vaporT(p.pHead, p.h2)
	} else {
		st.DischargeLineK = vd.t
	}
	if s.spec.Device.IsValve() {
		st.ValveWideOpen = p.opening > 0.985*k.valve.open
	}
	v1, l1 := f.vapor(p.p1), f.liquid(p.p1)
	st.SuctionQuality = math.Min(1, (p.h1-l1.h)/(v1.h-l1.h))
	k.supply(p, &st)
	k.contaminate(&st)
	st.SuperheatK = st.SuctionLineK - st.EvaporatingK
	if math.Abs(st.SuperheatK) < 1e-9 {
		st.SuperheatK = 0
	}
	st.SubcoolingK = st.CondensingK - st.LiquidLineK

	// First law over the loop: what the streams gave against what they took.
	in := p.evap.heat + p.lineGain + p.power
	out := p.condHeat + p.shell + p.lineLoss
	// The condenser side again from the air: zones, air flow, effectiveness.
	st.EnergyResidual = (in - out + p.condHeat*p.r2) / s.capacity
	st.EntropyMade = k.entropy(p)
	return st
}

// entropy is what the compressor makes, W/K; negative would break the second law.
func (k *working) entropy(p *point) float64 {
	f := k.s.fluid
	vd, ld := f.vapor(p.pHead), f.liquid(p.pHead)
	var s2 float64
	if p.h2 >= vd.h {
		s2 = f.vaporS(p.pHead, f.vaporT(p.pHead, p.h2))
	} else {
		s2 = ld.s + (p.h2-ld.h)/(vd.h-ld.h)*(vd.s-ld.s)
	}
	return p.m*(s2-p.s1) + p.shell/math.Max(k.outdoor, p.t1)
}

// supply finds the air leaving the coil. The wet part leaves on the straight
// line towards its effective surface (bypass factor of the air side), the dry
// part is cooled alone; they mix.
func (k *working) supply(p *point, st *State) {
	a := &k.air
	e := &p.evap
	q := e.heat
	hOut := a.enthalpy - q/a.flow
	flow := a.flow * math.Max(e.two, 1e-6)
	tOut, wOut := a.dry-q/(a.flow*a.cp), a.ratio
	if e.wet && e.wetHeat > 0 {
		// Effective surface of the wet part.
		ua := a.flowPow / k.s.evapTwo.air
		reach := 1 - math.Exp(-ua/(a.flow*a.cp))
		hWet := a.enthalpy - e.wetHeat/flow
		hSurf := a.enthalpy - (a.enthalpy-hWet)/reach
		tSurf := saturationTemperature(hSurf, a.baro, e.tTwo+2)
		tWet := a.dry - reach*(a.dry-tSurf)
		// Humidity from enthalpy and temperature; never more than saturated.
		w := (hWet - airCp*(tWet-freeze)) / (latent0 + vaporCp*(tWet-freeze))
		if w > a.ratio {
			w = a.ratio
			tWet = freeze + (hWet-w*latent0)/(airCp+w*vaporCp)
		}
		tDry := a.dry
		if e.dry > 1e-6 {
			tDry = a.dry - math.Max(q-e.wetHeat, 0)/(a.flow*e.dry*a.cp)
		}
		tOut = e.two*tWet + e.dry*tDry
		wOut = (hOut - airCp*(tOut-freeze)) / (latent0 + vaporCp*(tOut-freeze))
		if wOut > a.ratio {
			wOut = a.ratio
			tOut = freeze + (hOut-wOut*latent0)/(airCp+wOut*vaporCp)
		}
	}
	if ws := saturatedRatio(tOut, a.baro); wOut > ws {
		tOut = saturationTemperature(hOut, a.baro, tOut)
		wOut = saturatedRatio(tOut, a.baro)
	}
	st.SupplyDryK = tOut
	st.SupplyWetK = wetBulb(tOut, wOut, a.baro)
	st.SensibleW = a.flow * a.cp * (a.dry - tOut)
	st.CondensateKgS = a.flow * (a.ratio - wOut)
}

// contaminate shifts the pressures of a charge that is partly another
// refrigerant: Raoult's law on the vapour pressures at the same temperatures.
// The cycle itself is left as it is, which is fair for small shares.
func (k *working) contaminate(st *State) {
	if k.contaminant == nil {
		return
	}
	f, o, w := k.s.fluid, k.contaminant, k.share
	mix := func(p float64) float64 {
		t := f.dewT(p)
		if t < o.lo || t > o.hi {
			return p
		}
		return p * (1 - w + w*o.dewP(t)/f.dewP(t))
	}
	st.SuctionPressurePa = mix(st.SuctionPressurePa)
	st.LiquidPressurePa = mix(st.LiquidPressurePa)
	st.DischargePressurePa = mix(st.DischargePressurePa)
	st.CondenserOutletPressurePa = mix(st.CondenserOutletPressurePa)
	st.EvaporatingK = f.dewT(st.SuctionPressurePa)
	st.CondensingK = f.bubbleT(math.Min(st.LiquidPressurePa, f.bubbleP(f.hi)))
}
