package rig

import (
	"fmt"
	"math"
)

func pick(v *float64, def float64) {
	if *v == 0 {
		*v = def
	}
}

// withDefaults fills in every field left at zero.
func (p Spec) withDefaults() Spec {
	comfort := p.Application == Comfort
	sel := func(a, b float64) float64 {
		if comfort {
			return a
		}
		return b
	}
	pick(&p.CapacityW, 10550)
	if p.Design == (Conditions{}) {
		p.Design = p.Application.Rating()
	}
	pick(&p.Design.BarometerPa, 101325)
	pick(&p.DesignSuperheatK, sel(6.7, 8))
	pick(&p.DesignSubcoolingK, 5.5)
	pick(&p.CondensingOverAmbientK, 11)
	pick(&p.EvaporatorTDK, sel(20.2, 6.5))
	pick(&p.CondenserAirKgPerJ, 1.45e-4*math.Max(1, 9.5/p.CondensingOverAmbientK))
	pick(&p.EvaporatorAirKgPerJ, sel(6.2e-5, 2.0e-4))
	pick(&p.CondenserVapor, 0.65)
	pick(&p.CondenserLiquid, 0.45)
	pick(&p.EvaporatorVapor, 0.35)
	pick(&p.EvaporatorAirShare, 0.70)
	pick(&p.CondenserAirShare, 0.75)
	pick(&p.VolumetricBest, 0.97)
	pick(&p.Clearance, 0.042)
	pick(&p.IsentropicBest, 0.68)
	pick(&p.IsentropicRatio, sel(2.8, 3.5))
	pick(&p.ShellLoss, 0.06)
	pick(&p.SuctionDropK, 0.7)
	pick(&p.SuctionGainK, sel(1.0, 3))
	pick(&p.EvaporatorDropK, 1.5)
	pick(&p.CondenserDropK, 0.6)
	pick(&p.LiquidLineM, 10)
	pick(&p.LiquidDropPerM, 2000)
	pick(&p.CondenserVolume, 1)
	pick(&p.EvaporatorVolume, 1)
	pick(&p.OilKg, 0.11e-3*p.CapacityW)
	pick(&p.ReceiverLevel, 0.25)
	pick(&p.VaporChoke, 2.5)
	pick(&p.ValveCapacity, 1.6)
	if p.Device.IsValve() {
		pick(&p.CondenserSlip, 0.45)
		pick(&p.EvaporatorSlip, 0.14)
	} else {
		pick(&p.CondenserSlip, 0.60)
		pick(&p.EvaporatorSlip, 0.29)
	}
	switch p.Device {
	case ThermostaticValve:
		pick(&p.FlashingMargin, 0.6)
		pick(&p.ValveGradientK, 3.5)
	case ElectronicValve:
		pick(&p.FlashingMargin, 0.6)
		pick(&p.ValveGradientK, 0.4)
	default:
		pick(&p.FlashingMargin, 0.32)
	}
	return p
}

// SpecError says which field of a Spec cannot be built and why.
type SpecError struct {
	Field string
	Why   string
}

func (e *SpecError) Error() string { return "rig: " + e.Field + ": " + e.Why }

// Size builds the system that gives the capacity, superheat and subcooling of
// the Spec at its design conditions with its data plate charge in.
func Size(spec Spec) (*System, error) {
	p := spec.withDefaults()
	fl, err := p.check()
	if err != nil {
		return nil, err
	}
	s := &System{spec: p, fluid: fl, capacity: p.CapacityW, teLow: fl.lo, tcHigh: fl.hi}
	d := s.design()
	s.sizeLines(d)
	if err := s.sizeCompressor(d); err != nil {
		return nil, err
	}
	s.evapAir = p.EvaporatorAirKgPerJ * p.CapacityW
	if err := s.sizeEvaporator(d); err != nil {
		return nil, err
	}
	s.condAir = p.CondenserAirKgPerJ * p.CapacityW
	s.condTwo, s.condVapor, s.condLiquid = resistance{1, 1}, resistance{1, 1}, resistance{1, 1}
	if p.Device.IsValve() {
		s.valve = p.valve(d.sh5)
	}
	var pt point
	k, err := s.sizeDevice(d, &pt)
	if err != nil {
		return nil, err
	}
	if err := s.sizeCondenser(k, d.te, d.tc, &pt); err != nil {
		return nil, err
	}

	// Data plate: the inventory at the design point, solved as any other.
	if k, err = s.begin(p.Design, Faults{}); err != nil {
		return nil, err
	}
	if !k.solveAt(d.te, d.tc, s.designZ, &pt) {
		return nil, &SpecError{"Spec", "no design point: the sizes asked for do not fit each other"}
	}
	k.hold(&pt)
	s.NameplateKg = pt.inv.Total()
	s.tabulate(k, &pt)
	return s, nil
}

// check refuses what cannot be built, defaults filled in, and finds the
// refrigerant.
func (p *Spec) check() (*fluid, error) {
	switch {
	case p.Device < FixedOrifice || p.Device > ElectronicValve:
		return nil, &SpecError{"Device", "not one of the four devices"}
	case !(p.CapacityW >= 100 && p.CapacityW <= 1e6):
		return nil, &SpecError{"CapacityW", fmt.Sprintf("%g W is outside 100 W to 1 MW", p.CapacityW)}
	}
	fl, err := lookup(p.Refrigerant)
	if err != nil {
		return nil, err
	}
	te, tc := p.Design.ReturnDryK-p.EvaporatorTDK, p.Design.OutdoorK+p.CondensingOverAmbientK
	switch {
	case te < fl.lo+5:
		return nil, &SpecError{"EvaporatorTDK", fmt.Sprintf("evaporating at %s is under what the properties of %s cover: make the difference to the return air smaller", kelvin(te), p.Refrigerant)}
	case tc > fl.hi-2:
		return nil, &SpecError{"CondensingOverAmbientK", fmt.Sprintf("condensing at %s is too near the critical point of %s: design for cooler outdoor air or a smaller difference", kelvin(tc), p.Refrigerant)}
	case p.DesignSubcoolingK > 0.9*p.CondensingOverAmbientK:
		return nil, &SpecError{"DesignSubcoolingK", fmt.Sprintf("%.1f K is more than the condenser's %.1f K over ambient allows", p.DesignSubcoolingK, p.CondensingOverAmbientK)}
	case p.HeadPressurePa > 0 && p.ReceiverM3 == 0:
		return nil, &SpecError{"HeadPressurePa", "a flooding head-pressure control needs a receiver: give ReceiverM3"}
	}
	return fl, nil
}

// designPoint is the state of the loop the parts are sized for, numbered round
// it: 1 suction service port, 3 condenser outlet, 4 device, 5 evaporator outlet.
type designPoint struct {
	te, tc         float64
	p5, t5, h5     float64
	sh5            float64 // superheat at the coil
	v5             saturated
	p1, h1, rho1   float64
	pc, p3, t3, h4 float64
}

// design works the loop out from the Spec, and with it the design flow.
func (s *System) design() (d designPoint) {
	p, fl := &s.spec, s.fluid
	d.te = p.Design.ReturnDryK - p.EvaporatorTDK
	d.tc = p.Design.OutdoorK + p.CondensingOverAmbientK
	outdoor := p.Design.OutdoorK

	// Low side.
	d.p5 = fl.dewP(d.te)
	d.v5 = fl.vapor(d.p5)
	d.p1 = fl.dewP(d.te - p.SuctionDropK)
	sh5 := p.DesignSuperheatK - p.SuctionDropK - p.SuctionGainK // at the coil
	if sh5 < 0.5*p.DesignSuperheatK {
		// A small superheat leaves little for a warm line.
		sh5 = p.DesignSuperheatK - p.SuctionDropK - math.Max(0.1, 0.5*p.DesignSuperheatK-p.SuctionDropK)
	}
	// Nor can the coil's superheat come near its whole temperature difference:
	// the rest is taken up by the line.
	if most := 0.72 * p.EvaporatorTDK; sh5 > most {
		sh5 = most
	}
	sh5 = math.Max(sh5, 0.2)
	d.sh5, d.t5 = sh5, d.te+sh5
	d.h5 = fl.vaporH(d.p5, d.t5)
	t1 := d.te - p.SuctionDropK + p.DesignSuperheatK
	if t1 < d.t5 {
		t1 = d.t5 + 0.05
	}
	d.h1 = fl.vaporH(d.p1, t1)
	d.rho1 = fl.vaporRho(d.p1, t1)

	// High side.
	d.pc = fl.bubbleP(d.tc)
	d.p3 = fl.bubbleP(d.tc - p.CondenserDropK)
	liq3 := fl.liquid(d.p3)
	if p.ReceiverM3 > 0 {
		d.t3 = outdoor + (liq3.t-outdoor)*math.Exp(-drainUnits(p.ReceiverLevel))
		s.designZ = p.ReceiverLevel
	} else {
		d.t3 = liq3.t - p.DesignSubcoolingK
		if d.t3 < outdoor+0.2 {
			d.t3 = outdoor + 0.2
		}
		s.designZ = math.Log((liq3.t - outdoor) / (d.t3 - outdoor))
	}
	h3 := fl.liquidH(d.p3, d.t3)
	s.liquidCp = (liq3.h - fl.liquidH(d.p3, liq3.t-4)) / 4
	s.liquidNTU = 0.004 * p.LiquidLineM
	d.h4 = h3 + s.liquidCp*(1-math.Exp(-s.liquidNTU))*(outdoor-d.t3)
	s.flow = p.CapacityW / (d.h5 - d.h4)
	s.designTe, s.designTc, s.designPc, s.designPe = d.te, d.tc, d.pc, d.p1
	return d
}

// sizeLines sets drops, lines and volumes by rules of proportion: bores grow
// with the square root of capacity, coils with capacity.
func (s *System) sizeLines(d designPoint) {
	p, fl := &s.spec, s.fluid
	outdoor := p.Design.OutdoorK
	s.evaporatorDrop = fl.dewP(d.te+p.EvaporatorDropK) - d.p5
	s.suctionDrop = d.p5 - d.p1
	s.suctionRho = d.v5.rho
	s.condenserDrop = d.pc - d.p3
	s.liquidDrop = p.LiquidDropPerM * p.LiquidLineM
	s.liquidRho = fl.liquidRho(d.p3, d.t3)
	if outdoor > d.t5 {
		cp := (fl.vaporH(d.p5, d.te+8) - d.v5.h) / 8
		s.suctionNTU = -math.Log(1 - math.Min(0.9, (d.h1-d.h5)/(cp*(outdoor-d.t5))))
	}
	kw := p.CapacityW / 1000
	shrink := 1.0
	if p.MicroChannel {
		shrink = 0.4
	}
	s.condVolume = 0.48e-3 * kw * p.CondenserVolume * shrink * math.Pow(11/p.CondensingOverAmbientK, 0.6)
	s.evapVolume = 0.46e-3 * kw * p.EvaporatorVolume
	if p.Application != Comfort {
		s.evapVolume *= 1.6 // more coil for a small difference
	}
	s.liquidVolume = 4.9e-5 * kw / 10.55 * p.LiquidLineM // 5/16 in bore at 3 ton
	s.suctionVolume = 2.7e-4 * kw / 10.55 * p.LiquidLineM
	s.shellVolume = 0.36e-3 * kw
	s.oilKg = p.OilKg
}

func (s *System) sizeCompressor(d designPoint) error {
	p := &s.spec
	etaV := p.VolumetricBest - p.Clearance*(math.Pow(d.pc/d.p1, 1/1.15)-1)
	if etaV < 0.3 {
		return &SpecError{"Clearance", fmt.Sprintf("volumetric efficiency of %.2f at a pressure ratio of %.1f: give a smaller clearance or milder design conditions", etaV, d.pc/d.p1)}
	}
	s.displacement = s.flow / (etaV * d.rho1)
	return nil
}

// valve is the law of a valve whose coil has this superheat at design.
func (p *Spec) valve(superheat float64) valveLaw {
	gradient := p.ValveGradientK
	// The valve must be able to shut: some static superheat is left.
	if travel := gradient * (1 - p.ValveBleed); travel > 0.7*superheat {
		gradient *= 0.7 * superheat / travel
	}
	return valveLaw{
		open: p.ValveCapacity, bleed: p.ValveBleed, gradient: gradient,
		static: superheat - gradient*(1-p.ValveBleed),
	}
}

// sizeDevice gives the device the bore that passes the design flow; pt is left
// at the design point as far as the device.
func (s *System) sizeDevice(d designPoint, pt *point) (*working, error) {
	p := &s.spec
	k, err := s.begin(p.Design, Faults{})
	if err != nil {
		return nil, err
	}
	if k.tset > d.tc {
		return nil, &SpecError{"HeadPressurePa", "its setting lies above the condensing pressure at design"}
	}
	if !k.pressures(d.te, d.tc, s.designZ, pt) {
		return nil, &SpecError{"Design", "no pressures for these temperatures"}
	}
	k.liquidSide(pt, s.flow)
	if p.Device == CapillaryTube {
		s.port = s.flow / capillary(&pt.in, pt.p5)
	} else {
		s.port = s.flow / shortTube(&pt.in, pt.p5, p.FlashingMargin, p.VaporChoke)
	}
	return k, nil
}

// sizeEvaporator bisects the logarithm of its conductance for the coil superheat.
func (s *System) sizeEvaporator(d designPoint) error {
	p := &s.spec
	a, err := entering(p.Design)
	if err != nil {
		return &SpecError{"Design", err.Error()}
	}
	a.flowPow = 1
	set := func(r float64) {
		s.evapTwo = resistance{r * p.EvaporatorAirShare, r * (1 - p.EvaporatorAirShare)}
		s.evapVapor = zone(r, p.EvaporatorAirShare, p.EvaporatorVapor)
	}
	var e evaporated
	for range 12 {
		a.flow = s.evapAir
		base := a.flow * a.cp
		lo, hi := math.Log(1e-2/base), math.Log(100/base)
		for range 60 {
			mid := (lo + hi) / 2
			set(math.Exp(mid))
			s.evaporate(&a, s.flow, d.h4, d.p5, d.v5, &e)
			if e.t > d.t5 {
				lo = mid // too good a coil: more resistance
			} else {
				hi = mid
			}
		}
		if math.Abs(e.t-d.t5) < 1e-6 && math.Exp(lo)*base > 0.05 {
			// The wet-bulb line must not be asked for more than its air holds.
			return nil
		}
		s.evapAir *= 1.25
	}
	return &SpecError{"EvaporatorTDK", "no coil reaches the capacity and superheat with this difference: make it larger"}
}

// zone gives a single-phase zone its resistances from its conductance relative
// to the two-phase zone, the air side being the same.
func zone(r, airShare, relative float64) resistance {
	air := r * airShare
	return resistance{air, math.Max(r/relative-air, 0.05*r)}
}

func (s *System) sizeCondenser(k *working, te, tc float64, pt *point) error {
	p := &s.spec
	for range 12 {
		k.condAir = s.condAir * airCp
		lo, hi := math.Log(5e-2/k.condAir), math.Log(100/k.condAir)
		for range 60 {
			mid := (lo + hi) / 2
			r := math.Exp(mid)
			s.condTwo = resistance{r * p.CondenserAirShare, r * (1 - p.CondenserAirShare)}
			s.condVapor = zone(r, p.CondenserAirShare, p.CondenserVapor)
			s.condLiquid = zone(r, p.CondenserAirShare, p.CondenserLiquid)
			if !k.at(te, tc, s.designZ, pt) {
				return &SpecError{"CondensingOverAmbientK", "no state at the design point"}
			}
			if pt.r2 > 0 {
				lo = mid
			} else {
				hi = mid
			}
		}
		if math.Abs(pt.r2) < 1e-6 {
			return nil
		}
		s.condAir *= 1.25
	}
	return &SpecError{"CondensingOverAmbientK", "no condenser rejects the heat with this difference: make it larger"}
}
