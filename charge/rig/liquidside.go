package rig

import "math"

// liquidSide goes from the condenser outlet to the device with m kg/s.
func (k *working) liquidSide(p *point, m float64) {
	s := k.s
	f := s.fluid
	rel := m / s.flow
	rel18 := math.Pow(rel, 1.8)

	// Condenser outlet and liquid port.
	drop := math.Min(s.condenserDrop*rel18, 0.3*p.pc)
	p3 := p.pc - drop
	p.p3 = p3 + k.pnc
	p.liq3 = f.liquid(p3)
	v3 := f.vapor(p3)
	p.hfg3 = v3.h - p.liq3.h
	p.rhoG3 = v3.rho
	k.outlet(p, v3)

	// Liquid line: friction, a restriction, the air around it.
	x, rho := p.xMix, p.liq3.rho
	if x > 0 {
		rho = 1 / (1/p.liq3.rho + x*(1/v3.rho-1/p.liq3.rho))
	}
	loss := s.liquidDrop*rel18*s.liquidRho/rho + k.blocked*m*m/rho
	// Never under the suction side: what is left goes to nothing smoothly.
	room := p.p3 - p.p5
	pin := p.p5 + room*soften(1-loss/room)
	ntu := 1 - math.Exp(-s.liquidNTU/math.Max(rel, 1e-3))
	q := s.liquidCp * ntu * (k.outdoor - p.tMix) // J/kg into the line
	if p.xMix > 0 {
		q *= traceOfVapor(p.xMix)
		q = math.Min(q, 0.02*p.hfg3)
	}
	h4 := p.hMix + q
	p.lineLoss = -m * q
	p.h4 = h4
	sat := math.Max(pin-k.pnc, p.p5)
	l := f.liquid(sat)
	g := f.vapor(sat)
	in := &p.in
	in.p, in.rhoL, in.rhoG, in.hfg, in.cp = pin, l.rho, g.rho, g.h-l.h, s.liquidCp
	if h4 > l.h {
		in.x = (h4 - l.h) / in.hfg
		in.t = l.t + in.x*(g.t-l.t)
		in.pSat = pin
		in.density = 1 / (1/l.rho + in.x*(1/g.rho-1/l.rho))
	} else {
		in.x = 0
		in.t = f.liquidT(sat, h4)
		in.pSat = math.Min(f.bubbleP(in.t), sat)
		in.rhoL = f.liquidRho(sat, in.t)
		in.density = in.rhoL
	}
}

// soften is x where there is plenty and goes to zero smoothly under it.
func soften(x float64) float64 {
	const w = 0.02
	return 0.5 * (x + math.Sqrt(x*x+w*w))
}

// outlet turns z into the state entering the liquid line.
func (k *working) outlet(p *point, v3 saturated) {
	s := k.s
	z := p.z
	p.level = 0
	units := z
	if s.spec.ReceiverM3 > 0 {
		units = drainUnits(z)
		p.level = math.Min(math.Max(z, 0), 1)
		if z > 1 {
			units += z - 1
		}
	}
	if z < 0 {
		x := math.Min(-z, 0.999)
		p.xMix = x
		p.hMix = p.liq3.h + x*p.hfg3
		p.tMix = p.liq3.t + x*(v3.t-p.liq3.t)
		return
	}
	p.xMix = 0
	p.tMix = k.outdoor + (p.liq3.t-k.outdoor)*math.Exp(-units)
	p.hMix = s.fluid.liquidH(p.p3-k.pnc, p.tMix)
}

// drainUnits are the transfer units of liquid draining into a receiver: it
// leaves the condenser a little under saturation as soon as any stands there.
func drainUnits(level float64) float64 { return 0.06 * math.Min(1, math.Max(level, 0)/0.15) }

// traceOfVapor is how much of a liquid line's warmth a line with vapour share x
// exchanges: a boiling stream has little to give or take. The first thousandths
// join it to the line that is all liquid, so that no charge falls into a gap
// between the two.
func traceOfVapor(x float64) float64 {
	const join = 2e-3
	boiling := math.Min(1, 20*x)
	if x >= join {
		return boiling
	}
	u := 1 - x/join
	return boiling + (1-boiling)*u*u
}
