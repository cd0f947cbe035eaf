package rig

import "math"

// drawn goes from the evaporator outlet to the compressor with m kg/s and
// returns what the compressor draws from there.
func (k *working) drawn(p *point, m float64) float64 {
	s := k.s
	f := s.fluid
	rel := m / s.flow
	rel18 := math.Pow(rel, 1.8)

	// Suction line: friction and warmth. A wet line boils first.
	e := &p.evap
	rho5 := p.vap5.rho
	ds := math.Min(s.suctionDrop*rel18*s.suctionRho/rho5, 0.25*p.p5)
	p.p1 = p.p5 - ds
	cp := s.vaporCp(p.p5, p.vap5)
	gain := cp * (k.outdoor - e.t) * (1 - math.Exp(-s.suctionNTU/math.Max(rel, 1e-3)))
	p.lineGain = m * gain
	p.h1 = e.h + gain
	v1 := f.vapor(p.p1)
	p.dew1 = v1.t
	if p.h1 >= v1.h {
		p.t1 = f.vaporT(p.p1, p.h1)
		p.rho1 = f.vaporRho(p.p1, p.t1)
	} else {
		l1 := f.liquid(p.p1)
		x1 := math.Max(0.05, (p.h1-l1.h)/(v1.h-l1.h))
		p.t1 = v1.t - (1-x1)*(v1.t-l1.t)
		p.rho1 = 1 / (1/l1.rho + x1*(1/v1.rho-1/l1.rho))
		p.s1 = l1.s + x1*(v1.s-l1.s)
	}
	// Clearance form of the volumetric efficiency, polytropic index 1.15.
	ratio := p.pHead / p.p1
	etaV := s.spec.VolumetricBest - s.spec.Clearance*(math.Pow(ratio, 1/1.15)-1)
	etaV = math.Max(etaV, 0.02+0.03/ratio) * k.etaV
	return etaV * s.displacement * p.rho1
}

// compress finds discharge and power from the converged suction state.
func (k *working) compress(p *point) {
	s := k.s
	f := s.fluid
	v1 := f.vapor(p.p1)
	if p.h1 >= v1.h {
		p.s1 = f.vaporS(p.p1, p.t1)
	}
	vd := f.vapor(p.pHead)
	var h2s float64
	if p.s1 >= vd.s {
		h2s = f.vaporH(p.pHead, f.vaporTofS(p.pHead, p.s1))
	} else {
		h2s = vd.h - vd.t*(vd.s-p.s1)
	}
	// A flat parabola in the logarithm of pressure ratio.
	d := math.Log(p.pHead / p.p1 / s.spec.IsentropicRatio)
	eta := math.Max(s.spec.IsentropicBest*(1-0.22*d*d), 0.25) * k.etaS
	work := (h2s - p.h1) / eta
	p.power = p.m * work
	p.shell = s.spec.ShellLoss * p.power
	p.h2 = p.h1 + work - p.shell/p.m
}
