package rig

import "math"

// Inventory is where the charge is, kg.
type Inventory struct {
	Condenser, LiquidLine, Receiver, Evaporator, SuctionLine, Accumulator, Compressor float64
}

// Total is the whole charge.
func (i Inventory) Total() float64 {
	return i.Condenser + i.LiquidLine + i.Receiver + i.Evaporator + i.SuctionLine + i.Accumulator + i.Compressor
}

// hold fills in the inventory of a solved point.
func (k *working) hold(p *point) {
	s := k.s
	f := s.fluid
	var inv Inventory

	// Condenser: zones by share of the face.
	zn := p.zones
	total := zn.total()
	xOut := math.Max(0, (p.hCond-p.liq3.h)/p.hfg3)
	rhoV := 0.5 * (p.dewC.rho*p.dewC.t/p.t2 + p.dewC.rho)
	rhoL := p.liq3.rho
	if zn.liquid > 0 {
		rhoL = 0.5 * (p.liq3.rho + f.liquidRho(p.p3-k.pnc, p.tCond))
	}
	xIn := math.Min(1, math.Max(0, (p.h2-p.liq3.h)/p.hfg3)) // under 0 where liquid is pumped: no zone is two-phase then
	mean := zn.vapor*rhoV + zn.two*twoPhaseDensity(xOut, xIn, p.liq3.rho, p.dewC.rho, s.spec.CondenserSlip, p.m*(1-p.bypass)/s.flow) + zn.liquid*rhoL
	inv.Condenser = s.condVolume * mean / total

	// Liquid line between its two ends.
	var enter float64
	if p.xMix > 0 {
		enter = pointDensity(p.xMix, p.liq3.rho, p.rhoG3, lineSlip)
	} else {
		enter = f.liquidRho(p.p3-k.pnc, p.tMix)
	}
	leave := p.in.rhoL
	if p.in.x > 0 {
		leave = pointDensity(p.in.x, p.in.rhoL, p.in.rhoG, lineSlip)
	}
	inv.LiquidLine = s.liquidVolume * 0.5 * (enter + leave)

	if v := s.spec.ReceiverM3; v > 0 {
		inv.Receiver = v * (p.level*p.liq3.rho + (1-p.level)*p.rhoG3)
	}

	// Evaporator.
	e := &p.evap
	l5 := f.liquid(p.p5)
	xe := 1.0
	if e.excess < 0 {
		xe = math.Max(e.in, 1+e.excess/(p.vap5.h-l5.h))
	}
	rhoDry := p.vap5.rho * 0.5 * (1 + p.vap5.t/e.t)
	inv.Evaporator = s.evapVolume * (e.two*twoPhaseDensity(e.in, xe, l5.rho, p.vap5.rho, s.spec.EvaporatorSlip, p.m/s.flow) + e.dry*rhoDry)

	// Suction side: vapour, or wet by its quality.
	v1 := f.vapor(p.p1)
	l1 := f.liquid(p.p1)
	x1 := math.Min(1, (p.h1-l1.h)/(v1.h-l1.h))
	rho1 := p.rho1
	if x1 < 1 {
		rho1 = pointDensity(math.Max(x1, 0), l1.rho, v1.rho, lineSlip)
	}
	inv.SuctionLine = s.suctionVolume * rho1
	if v := s.spec.AccumulatorM3; v > 0 {
		// Liquid carried over stands until the bleed hole returns it as fast
		// as it comes; a tenth of the flow as liquid fills the vessel.
		fill := 1 - math.Exp(-(1-x1)/0.04)
		inv.Accumulator = v * (0.85*fill*l1.rho + (1-0.85*fill)*v1.rho)
	}
	// Compressor: vapour in the shell and refrigerant in the oil, 4 % of its
	// mass at design (physics of the sump: solubility follows pressure).
	inv.Compressor = s.shellVolume*math.Min(p.rho1, v1.rho) + 0.04*s.oilKg*p.p1/s.designPe
	p.inv = inv
}
