package rig

import (
	"math"

	"chargehand/charge/moistair"
)

// Both coils are moving-boundary: the face is shared between the zones, each
// zone getting its share of the air and of the conductance, so that the
// effectiveness of a zone does not depend on its size. With fresh air across
// every stretch of tube the refrigerant is the mixed stream of a cross-flow
// exchanger, whose temperature closes on the air's exponentially (Incropera
// and DeWitt, Fundamentals of Heat and Mass Transfer, table 11.3, one fluid
// mixed), and every zone has a closed form in its share of the face.

// resistance is the heat transfer resistance of a whole face given to one zone,
// split in an air and a refrigerant side.
type resistance struct{ air, ref float64 } // K/W at design flows

// conductances gives UA of a whole face, W/K, for air flow and refrigerant flow
// relative to design. Air side after the plate-fin correlations, h ~ V^0.55
// (Wang, Chi and Chang 2000, in the range of comfort coils); refrigerant side
// Re^0.8 for one phase (Dittus and Boelter) and G^0.5 for two (between film
// condensation and forced-convection boiling).
func (r resistance) conductance(airPow, refPow float64) float64 {
	return 1 / (r.air/airPow + r.ref/refPow)
}

func effectiveness(ua, capacity float64) float64 { return 1 - math.Exp(-ua/capacity) }

// logMean is the logarithmic mean of two temperature differences, continued
// for differences at or under zero so that a solver sees a slope.
func logMean(a, b float64) float64 {
	const tiny = 1e-3
	if a < tiny || b < tiny {
		m := math.Min(a, b)
		if m < tiny {
			return tiny * math.Exp(math.Max((m-tiny)/2, -40))
		}
	}
	d := a - b
	if math.Abs(d) < 1e-3*(a+b) {
		m := (a + b) / 2
		return m - d*d/(12*m)
	}
	return d / math.Log(a/b)
}

// enteringAir is what the evaporator needs to know of the air entering it.
type enteringAir struct {
	dry, wet, ratio, enthalpy, baro float64
	flow                            float64 // kg/s of dry air
	cp                              float64 // J/(kg K) of moist air
	flowPow                         float64 // (flow/design)^0.55
}

// entering is the return air of conditions; how much of it flows is the fan's.
func entering(c Conditions) (enteringAir, error) {
	w, err := moistair.HumidityRatioFromWetBulb(c.ReturnDryK, c.ReturnWetK, c.BarometerPa)
	return enteringAir{
		dry: c.ReturnDryK, wet: c.ReturnWetK, ratio: w, baro: c.BarometerPa,
		enthalpy: airEnthalpy(c.ReturnDryK, w), cp: airCp + w*vaporCp,
	}, err
}

// twoPhaseFlux is the heat a whole face at the two-phase temperature t takes
// from the air, W: the larger of the dry and of the wet coil. The wet coil
// works on enthalpy potential with the saturation specific heat (Threlkeld
// 1970; Braun, Klein and Mitchell 1989, equations for a totally wet coil).
func (a *enteringAir) twoPhaseFlux(r resistance, t, refPow float64) (q float64, wet bool) {
	ra, rr := r.air/a.flowPow, r.ref/refPow
	c := a.flow * a.cp
	dry := c * effectiveness(1/(ra+rr), c) * (a.dry - t)
	hs := saturatedEnthalpy(t, a.baro)
	if a.enthalpy <= hs {
		return dry, false
	}
	// Chord of the saturation line from the refrigerant's temperature to where
	// the wetted surface lies, about halfway to the entering wet bulb.
	ts := t + 0.5*math.Max(a.wet-t, 0.5)
	cs := (saturatedEnthalpy(ts, a.baro) - hs) / (ts - t)
	uo := 1 / (ra * a.cp) // air side on enthalpy, kg/s
	ua := uo / (1 + cs/a.cp*rr/ra)
	q = a.flow * (1 - math.Exp(-ua/a.flow)) * (a.enthalpy - hs)
	if q < dry {
		return dry, false
	}
	return q, true
}

// dryoutWidth smooths the end of evaporation over this share of the face: the
// circuits of a coil do not dry out at one place, and droplets travel with
// vapour that already reads superheated (a measured superheat near zero is not
// a sharp corner).
const dryoutWidth = 0.012

// evaporated is the outcome of the evaporator for a given flow.
type evaporated struct {
	h, t     float64 // leaving enthalpy and temperature
	excess   float64 // leaving enthalpy over that of saturated vapour
	two, dry float64 // shares of the face evaporating and superheating
	heat     float64 // W
	wetHeat  float64 // W taken by the two-phase part
	wet      bool    // whether the two-phase part condenses moisture
	tTwo     float64 // mean two-phase temperature
	in       float64 // entering quality
}

// evaporate runs m kg/s entering at h4 through the evaporator, whose outlet
// pressure is p with saturated vapour v.
func (s *System) evaporate(a *enteringAir, m, h4, p float64, v saturated, e *evaporated) {
	rel := m / s.flow
	pIn := p + s.evaporatorDrop*math.Pow(rel, 1.8)
	l := s.fluid.liquid(pIn)
	hfg := v.h - l.h
	x := math.Max((h4-l.h)/hfg, 0)
	tIn := l.t + x*(s.fluid.dewT(pIn)-l.t)
	e.in = x
	e.tTwo = 0.5 * (tIn + v.t)
	flux, wet := a.twoPhaseFlux(s.evapTwo, e.tTwo, math.Pow(rel, 0.5))
	flux = math.Max(flux, 1e-6*s.capacity)
	need := m * (v.h - h4) / flux
	over := (1 - need) / dryoutWidth
	switch {
	case over > 35:
		e.dry = 1 - need
	case over < -35:
		e.dry = 0
	default:
		e.dry = dryoutWidth * math.Log1p(math.Exp(over))
	}
	e.two = 1 - e.dry
	deficit := m*(v.h-h4) - flux*e.two // W still in droplets
	c := a.flow * a.cp
	cp := s.vaporCp(p, v)
	eps := effectiveness(s.evapVapor.conductance(a.flowPow, math.Pow(rel, 0.8)), c)
	rise := (a.dry - v.t) * (1 - math.Exp(-e.dry*c*eps/(m*cp)))
	e.excess = cp*rise - deficit/m
	if e.excess >= 0 {
		e.t = v.t + e.excess/cp
		e.h = s.fluid.vaporH(p, e.t)
	} else {
		e.h = v.h + e.excess
		e.t = v.t
	}
	e.heat = m * (e.h - h4)
	e.wetHeat = flux * e.two
	e.wet = wet
}

// vaporCp is the mean heat capacity of vapour just over saturation, J/(kg K).
func (s *System) vaporCp(p float64, v saturated) float64 {
	const span = 8.0
	return (s.fluid.vaporH(p, v.t+span) - v.h) / span
}
