package rig

import "math"

// condenserZones are the shares of the face each zone asks for.
type condenserZones struct{ vapor, two, liquid float64 }

func (z condenserZones) total() float64 { return z.vapor + z.two + z.liquid }

// condense finds the share of the condenser's face each zone asks for.
func (k *working) condense(p *point) {
	s := k.s
	f := s.fluid
	m := p.m * (1 - p.bypass)
	p.hCond, p.tCond = p.hMix, p.tMix
	if p.bypass > 0 {
		p.hCond = (p.hMix - p.bypass*p.h2) / (1 - p.bypass)
		if p.hCond < p.liq3.h {
			p.tCond = f.liquidT(p.p3-k.pnc, p.hCond)
		} else {
			p.tCond = p.liq3.t
		}
	}
	rel := m / s.flow
	c := k.condAir
	two := effectiveness(k.condUA*s.condTwo.conductance(k.airPow, math.Sqrt(rel)), c)
	rel8 := math.Pow(rel, 0.8)
	ta := k.outdoor

	var zn condenserZones
	top := math.Min(p.h2, p.dewC.h)
	if p.h2 > p.dewC.h {
		p.t2 = f.vaporT(p.pc, p.h2)
		vap := effectiveness(k.condUA*s.condVapor.conductance(k.airPow, rel8), c)
		lm := logMean(p.t2-ta, p.dewC.t-ta)
		zn.vapor = m * (p.h2 - p.dewC.h) / (c * vap * lm)
	} else {
		p.t2 = p.dewC.t
	}
	low := math.Max(p.hCond, p.liq3.h)
	if top > low {
		tLow := p.liq3.t
		if p.hCond > p.liq3.h {
			tLow += (p.hCond - p.liq3.h) / p.hfg3 * (p.dewC.t - p.liq3.t)
		}
		zn.two = m * (top - low) / (c * two * logMean(p.dewC.t-ta, tLow-ta))
	}
	if p.hCond < p.liq3.h {
		liq := effectiveness(k.condUA*s.condLiquid.conductance(k.airPow, rel8), c)
		cp := (p.liq3.h - p.hCond) / math.Max(p.liq3.t-p.tCond, 1e-6)
		theta := (p.tCond - ta) / math.Max(p.liq3.t-ta, 1e-3)
		const least = 1e-3
		units := 0.0
		if theta > least {
			units = -math.Log(theta)
		} else {
			units = -math.Log(least) + (least-theta)/least
		}
		zn.liquid = units * m * cp / (c * liq)
	}
	p.zones = zn
	total := zn.total()
	p.r2 = 1/total - 1
	p.condHeat = m * (p.h2 - p.hCond)
}
