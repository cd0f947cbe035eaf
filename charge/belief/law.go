package belief

import "math"

// The channels compared with a reading. Each is a temperature or a temperature difference in K.
const (
	chSH    = iota // superheat at the suction valve
	chSC           // subcooling at the liquid valve
	chEvap         // evaporating temperature less the return dry bulb (negative)
	chCond         // condensing temperature less the outdoor temperature
	chSplit        // return less supply dry bulb
	chDisch        // discharge line less condensing temperature
	channels
)

// weather holds the air conditions a prediction is made for, K.
type weather struct{ out, dry, wet float64 }

// law is the response of one plausible system to its charge and to the weather, as smooth curves over the
// charge fraction x (1 = the charge the maker meant). All temperatures are in K and differences from the
// weather of the session's first reading, ref.
//
//	superheat of the open device   (dt + gain) (1 - exp(-L)),  L = a d (1 + b d),  d = x0 - x
//	of a valve                     the larger of that and the held value, smoothly
//	subcooling                     k u / (1 + r u),  u = x - xk where positive, smoothly
//	evaporating temperature        falls by es for each unit of charge short of x0 - ed
//
// The exponential is the dry end of the evaporator: refrigerant vapour there approaches the air as
// 1 - exp(-NTU), and its NTU is the share of coil that the shrinking two-phase zone gives up.
type law struct {
	device Device

	x0, a, b, gain float64 // open device
	dt             float64 // return dry bulb less evaporating temperature when fed, at ref
	es, ed, we     float64
	hold, drift    float64 // held superheat of a valve and its fall per unit of charge
	holdDry        float64 // change of held superheat per K of return air
	xk, k, r, wk   float64
	seal           float64 // how much faster an orifice starves per unit of charge once vapour enters it, less one; under zero where slower
	rho            float64 // share of the subcooling slope left once an orifice floods
	scAdd          float64 // subcooling feigned by non-condensable gas
	cond, ce, cc   float64 // condensing over outdoor, fed; its fall per K of evaporating drop; rise per K of subcooling
	split, disch   float64
	xHold, evHeld  float64 // charge at which a valve begins to hold; fall of evaporating temperature past it
	flood          float64 // fall of discharge temperature per unit of charge past flooding

	x0Out, x0Wet, xkOut, evOut, evWet, evDry float64 // weather: change per K
	condOut, condWet                         float64
	ref                                      weather
}

// ramp is a smooth max(u, 0) with a corner rounded over about w.
func ramp(u, w float64) float64 { return 0.5 * (u + math.Sqrt(u*u+w*w)) }

// at returns the settled channels at charge fraction x in weather w, before the particle's own offsets.
func (l *law) at(x float64, w weather) (y [channels]float64) {
	dOut, dWet, dDry := w.out-l.ref.out, w.wet-l.ref.wet, w.dry-l.ref.dry
	x0 := l.x0 + l.x0Out*dOut + l.x0Wet*dWet
	d := x0 - x
	xk := l.xk + l.xkOut*dOut
	unsealed := l.unsealed(x, xk)
	drop := l.drop(d, unsealed)
	evap := -l.dt + l.evOut*dOut + l.evWet*dWet + (l.evDry-1)*dDry - drop - l.held(x) // less the return dry bulb of now
	reach := max(-evap+l.gain, 1)
	dp := ramp(d, 0.008)
	if l.seal != 0 { // where the seal lies over x0 too, the coil does not dry as charge goes in
		dp = max(dp+l.seal*unsealed, (1+min(l.seal, 0))*dp)
	}
	sh := reach * (1 - exp(-l.a*dp*(1+l.b*dp)))
	if l.device == ExpansionValve {
		h := max(l.hold-l.drift*(x-l.xk)+l.holdDry*dDry, 0)
		sh = h + ramp(sh-h, 0.8)
	}
	u, flooded := ramp(x-xk, l.wk), 0.0
	if l.device == FixedOrifice {
		flooded = ramp(-d, 0.01)
		u -= (1 - l.rho) * flooded
		if u < 0 {
			u = 0
		}
	}
	sc := l.k * u / (1 + l.r*u)
	y[chSH], y[chEvap] = sh, evap
	y[chCond] = l.cond + l.condOut*dOut + l.condWet*dWet - l.ce*drop + l.cc*sc
	if y[chCond] < 2 {
		y[chCond] = 2
	}
	sc = min(sc+l.scAdd, y[chCond]+1)
	y[chSC] = sc
	g := sh / reach
	short := 1 - splitPerDrop*drop
	if short < 0.2 {
		short = 0.2
	}
	y[chSplit] = (l.split + splitPerDryness*(dDry-dWet)) * (1 - 0.1*g) * short
	y[chDisch] = l.disch + dischPerSuperheat*sh + dischPerDrop*drop - l.flood*flooded
	return y
}

// unsealed is by how much charge fraction x falls short of sealing the outlet at xk, where that matters.
func (l *law) unsealed(x, xk float64) float64 {
	if l.seal == 0 {
		return 0
	}
	return ramp(xk-x, 0.012)
}

// drop is how far the evaporating temperature lies under its fed level, d short of the open device's x0 and unsealed by
// so much. Flow that is lost without the seal lowers it; a coil that dries slower does not raise it.
func (l *law) drop(d, unsealed float64) float64 {
	if l.seal > 0 {
		d += l.seal * unsealed
	}
	return l.es * ramp(d-l.ed, l.we)
}

// held is how far the evaporating temperature of a valve falls as the valve closes against more charge.
func (l *law) held(x float64) float64 {
	if l.device != ExpansionValve {
		return 0
	}
	return l.evHeld * ramp(x-l.xHold, 0.02)
}

// headless is how far the outdoor air of the first reading lies under what a valve needs for its head, K.
func (l *law) headless() float64 { return max(zeroF+lowHead-l.ref.out, 0) }

// subcooling is the subcooling at charge fraction x and the weather of the first reading, short of flooding.
func (l *law) subcooling(x float64) float64 {
	u := ramp(x-l.xk, l.wk)
	return l.k * u / (1 + l.r*u)
}

// needs is the charge short of x0 at which the open device's coil is dry to the extent need, the L of law.
func (l *law) needs(need float64) float64 {
	if l.b > 0.01 {
		return (math.Sqrt(1+4*l.b*need/l.a) - 1) / (2 * l.b)
	}
	return need / l.a
}

// charge is the charge fraction at which the coil is that dry. Where the device is no longer sealed it dries sooner.
func (l *law) charge(need float64) float64 {
	d := l.needs(need)
	if l.seal != 0 && l.x0-d < l.xk {
		d -= l.seal / (1 + l.seal) * (l.xk - l.x0 + d)
	}
	return l.x0 - d
}
