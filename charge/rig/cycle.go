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
		q *= math.Min(1, p.xMix*20) // a boiling stream has little superheat to give or take
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

// outlet turns z into the state entering the liquid line.
func (k *working) outlet(p *point, v3 saturated) {
	s := k.s
	z := p.z
	p.level = 0
	units := z
	if s.spec.ReceiverM3 > 0 {
		// Liquid drains out of the condenser a little under saturation as
		// soon as any stands in the receiver.
		units = 0.06 * math.Min(1, math.Max(z, 0)/0.15)
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
