package rig

import "math"

// The cycle has three unknowns, found for a given condenser outlet:
//
//	te  dew temperature at the evaporator outlet
//	w   bubble temperature of the condenser, or, under the setting of a
//	    head-pressure control, how far its bypass is open
//	z   the state at the condenser outlet; charge is monotone in it
//
// Without a receiver z >= 0 is the number of transfer units of the subcooling
// zone and z < 0 the vapour share -z leaving a short condenser. With a receiver
// 0..1 is its level, and the condenser backs up only beyond 1.
//
// For these everything else is explicit but the mass flow, which the device
// sets in a search of one monotone unknown. Two residuals remain: the
// compressor draws what the device passes, and the condenser needs exactly its
// face.

// starvedBand is how far a head-pressure control lets the head fall per unit of
// vapour in the liquid line: short of charge it can no longer flood the
// condenser, and the head drops under its setting.
const starvedBand = 250.0 // K

// working is what does not change within one solve.
type working struct {
	s       *System
	cond    Conditions
	air     enteringAir
	outdoor float64
	condAir float64 // W/K
	airPow  float64 // condenser air side
	condUA  float64 // fouling, non-condensables
	etaV    float64
	etaS    float64
	pnc     float64 // Pa
	stuck   float64 // bypass that cannot shut
	blocked float64 // Pa s2/(kg m3): dp = blocked m2/rho
	valve   valveLaw
	bulb    float64
	warmM   float64
	tset    float64 // bubble temperature at the head-pressure setting, 0 for none

	contaminant *fluid
	share       float64 // of the contaminant
}

// point is one state of the loop, solved or not.
type point struct {
	te, w, z float64
	m        float64

	pc, pHead          float64 // condensing (refrigerant alone) and total pressure
	p3                 float64 // condenser outlet and liquid port, total
	liq3               saturated
	hfg3               float64
	rhoG3              float64
	hMix, tMix, xMix   float64 // entering the liquid line
	hCond, tCond       float64 // leaving the condenser
	level              float64
	bypass             float64
	in                 inlet
	h4                 float64
	p5                 float64
	vap5               saturated
	evap               evaporated
	p1, h1, t1, rho1   float64
	s1, dew1           float64
	lineGain, lineLoss float64 // W into the suction line, out of the liquid line
	h2, t2             float64
	power, shell       float64
	zones              condenserZones
	condHeat           float64 // from the air side
	dewC               saturated
	opening            float64
	r1, r2             float64
	inv                Inventory
	tripped            float64 // the charge asked for, when it lies past either end of the curve
	empty              bool    // past the low end
}

// at evaluates the loop for the three unknowns. It reports false when they lie
// outside what the properties cover.
func (k *working) at(te, w, z float64, p *point) bool {
	if !k.pressures(te, w, z, p) || !k.flow(p) {
		return false
	}
	k.compress(p)
	k.condense(p)
	return !math.IsNaN(p.r1) && !math.IsNaN(p.r2)
}

// pressures turns the unknowns into pressures on both sides.
func (k *working) pressures(te, w, z float64, p *point) bool {
	s := k.s
	f := s.fluid
	if !(te > s.teLow) || !(te < math.Min(k.air.dry+25, s.tcHigh-4)) {
		return false
	}
	p.te, p.w, p.z = te, w, z
	tc, b := w, k.stuck
	if k.tset > 0 {
		set := k.tset
		if z < 0 {
			set += starvedBand * z // the valve leans back as its receiver runs dry
		}
		if w < set {
			tc = set
			b += 0.02 * (set - w)
		}
	}
	p.bypass = math.Min(b, 0.9)
	if !(tc < s.tcHigh) || tc < s.teLow+2 {
		return false
	}
	p.pc = f.bubbleP(tc)
	p.pHead = p.pc + k.pnc
	p.dewC = f.vapor(p.pc)
	p.p5 = f.dewP(te)
	p.vap5 = f.vapor(p.p5)
	return p.pHead > p.p5*1.02
}

// flow finds the mass flow that the device passes at these pressures, and from
// it the mismatch with the compressor. (The other way round, mass flow from the
// compressor, has no single answer with wet suction: more flow is wetter, hence
// denser, hence more flow.)
func (k *working) flow(p *point) bool {
	md := k.s.flow
	m := k.warmM
	if !(m > 1e-4*md) || m > 5*md {
		m = md
	}
	lo, hi := math.Log(1e-5*md), math.Log(8*md)
	x := math.Log(m)
	var x0, f0 float64
	for i := range 80 {
		f := k.deviceMismatch(p, math.Exp(x))
		if math.IsNaN(f) {
			return false
		}
		if math.Abs(f) < 1e-12 {
			break
		}
		if f > 0 {
			lo = x
		} else {
			hi = x
		}
		next := x + f // for an orifice flow hardly depends on itself
		if k.s.spec.Device.IsValve() {
			next = x + f/40
		}
		if i > 0 && f != f0 {
			next = x - f*(x-x0)/(f-f0)
		}
		if !(next > lo && next < hi) || i > 40 {
			next = (lo + hi) / 2
		}
		x0, f0 = x, f
		if math.Abs(next-x) < 1e-13 {
			break
		}
		x = next
	}
	p.m = math.Exp(x)
	k.warmM = p.m
	if !k.s.spec.Device.IsValve() {
		k.s.evaporate(&k.air, p.m, p.h4, p.p5, p.vap5, &p.evap)
	}
	p.r1 = math.Log(p.m / k.drawn(p, p.m))
	return true
}

// deviceMismatch goes from the condenser outlet through the device with m kg/s;
// it is positive while the device would pass more.
func (k *working) deviceMismatch(p *point, m float64) float64 {
	s := k.s
	k.liquidSide(p, m)
	switch s.spec.Device {
	case FixedOrifice:
		p.opening = 1
		return math.Log(s.port * shortTube(&p.in, p.p5, s.spec.FlashingMargin, s.spec.VaporChoke) / m)
	case CapillaryTube:
		p.opening = 1
		return math.Log(s.port * capillary(&p.in, p.p5) / m)
	}
	p.opening = m / (s.port * shortTube(&p.in, p.p5, s.spec.FlashingMargin, s.spec.VaporChoke))
	s.evaporate(&k.air, m, p.h4, p.p5, p.vap5, &p.evap)
	sh := p.evap.t - p.vap5.t
	if p.evap.excess < 0 {
		sh = p.evap.excess / 1000
	}
	sh += k.bulb * (k.air.dry - p.evap.t)
	return k.valve.residual(sh, p.opening)
}
