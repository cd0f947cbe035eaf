package refrigerants

import (
	"fmt"

	"chargehand/refrigerants/helmholtz"
)

// State is a single-phase state. Enthalpy and entropy have the reference state
// of the equations of state (200 kJ/kg and 1 kJ/(kg K) for saturated liquid at
// 0 °C for most pure fluids): compare differences.
type State struct {
	Pressure     float64 // Pa, absolute
	Temperature  float64 // K
	Density      float64 // kg/m3
	Enthalpy     float64 // J/kg
	Entropy      float64 // J/(kg K)
	HeatCapacity float64 // isobaric, J/(kg K)
	SpeedOfSound float64 // m/s
}

// extrapolated is the temperature (K) up to which vapour states are given even
// where the paper of an equation of state claims less: 180 °C, past any
// discharge line. Helmholtz equations extrapolate well in the vapour.
const extrapolated = 453.15

// slack (K) by which a temperature may lie on the wrong side of saturation and
// still name the phase asked for: rounding of a saturated state handed back.
const slack = 1e-6

// clearOf (K) is the distance from saturation past which interpolation tells the
// phase.
const clearOf = 0.1

func public(s helmholtz.State) State {
	return State{s.Pressure, s.Temperature, s.Density, s.Enthalpy, s.Entropy, s.HeatCapacity, s.SpeedOfSound}
}

// Vapor returns the superheated (or just saturated) vapour at absolute
// pressure pPa (Pa) and temperature tK (K). A temperature below the dew point
// is an error: there is no vapour alone.
func (r *Refrigerant) Vapor(pPa, tK float64) (State, error) {
	m, err := r.solved()
	if err != nil {
		return State{}, err
	}
	s, err := r.vapor(m, pPa, tK)
	return public(s), err
}

func (r *Refrigerant) vapor(m *model, pPa, tK float64) (helmholtz.State, error) {
	d := m.dew
	if hot := fluidFrom * r.rec.Critical.T; tK >= hot && pPa > d.HighP {
		return r.fluid(m, pPa, tK, hot)
	}
	if !(pPa >= minVaporP && pPa <= d.HighP) {
		return helmholtz.State{}, &RangeError{r.rec.Name, "pressure", pPa, "Pa", minVaporP, d.HighP,
			fmt.Sprintf("of vapour under %.5g K", fluidFrom*r.rec.Critical.T)}
	}
	var start, low float64
	if pPa >= d.LowP {
		sat, rho := d.Near(pPa)
		if !(tK > sat+clearOf) { // near enough for the exact dew point to matter
			exact, ok := d.AtPressure(pPa)
			if !ok {
				return helmholtz.State{}, r.notConverged("dew point at pressure", pPa, tK)
			}
			sat, rho = exact.Temperature, exact.Bulk
		}
		low, start = sat, rho*sat/tK
	} else {
		// Under the lowest pressure of the dew line any temperature of its range is vapour.
		low, start = d.LowT, pPa*m.mix.MolarMass()/(m.mix.GasConstant()*tK)
	}
	if !(tK >= low-slack && tK <= m.maxT) {
		return helmholtz.State{}, &RangeError{r.rec.Name, "temperature", tK, "K", low, m.maxT, "of vapour at this pressure, from its dew point"}
	}
	rho, ok := m.density(pPa, tK, start, true)
	// On the vapour branch density falls from the dew point on; a root above it
	// is another branch.
	if !ok || pPa >= d.LowP && rho > start*tK/low*(1+1e-6) {
		return helmholtz.State{}, r.notConverged("vapour density", pPa, tK)
	}
	return m.mix.At(tK, rho), nil
}

// fluid is the state above the critical temperature and the pressures of the
// dew line, from a margin on where no two-phase region is near.
func (r *Refrigerant) fluid(m *model, pPa, tK, low float64) (helmholtz.State, error) {
	if !(pPa <= m.maxP) {
		return helmholtz.State{}, &RangeError{r.rec.Name, "pressure", pPa, "Pa", minVaporP, m.maxP, "of the equation of state"}
	}
	if !(tK <= m.maxT) {
		return helmholtz.State{}, &RangeError{r.rec.Name, "temperature", tK, "K", low, m.maxT, "at this pressure"}
	}
	rho, ok := m.mix.FluidDensity(pPa, tK)
	if !ok {
		return helmholtz.State{}, r.notConverged("density", pPa, tK)
	}
	return m.mix.At(tK, rho), nil
}

// fluidFrom is the fraction of the critical temperature from which states above
// the dew line's highest pressure are given.
const fluidFrom = 1.05

// minVaporP is the lowest pressure (Pa) of a vapour state: a hard vacuum.
const minVaporP = 1.0

// Liquid returns the subcooled (or just saturated) liquid at absolute pressure
// pPa (Pa) and temperature tK (K). A temperature above the bubble point is an
// error: there is no liquid alone.
func (r *Refrigerant) Liquid(pPa, tK float64) (State, error) {
	m, err := r.solved()
	if err != nil {
		return State{}, err
	}
	s, err := r.liquid(m, pPa, tK)
	return public(s), err
}

func (r *Refrigerant) liquid(m *model, pPa, tK float64) (helmholtz.State, error) {
	b := m.bubble
	if !(pPa >= b.LowP && pPa <= m.maxP) {
		return helmholtz.State{}, &RangeError{r.rec.Name, "pressure", pPa, "Pa", b.LowP, m.maxP, "of liquid"}
	}
	high := b.HighT
	if pPa < b.HighP {
		if high, _ = b.Near(pPa); !(tK < high-clearOf) {
			sat, ok := b.AtPressure(pPa)
			if !ok {
				return helmholtz.State{}, r.notConverged("bubble point at pressure", pPa, tK)
			}
			high = sat.Temperature
		}
	}
	if !(tK >= b.LowT-slack && tK <= high+slack) {
		return helmholtz.State{}, &RangeError{r.rec.Name, "temperature", tK, "K", b.LowT, high, "of liquid at this pressure, up to its bubble point"}
	}
	saturated := b.NearDensity(tK)
	rho, ok := m.density(pPa, tK, saturated, false)
	// Compression makes a liquid denser; a lighter root is another branch.
	if !ok || rho < saturated*(1-1e-2) {
		return helmholtz.State{}, r.notConverged("liquid density", pPa, tK)
	}
	return m.mix.At(tK, rho), nil
}

// density solves for the density near start; where vapour fails from there
// (close to the critical point) it comes from the ideal gas instead, the side
// from which Newton's method never overshoots.
func (m *model) density(p, T, start float64, vapor bool) (float64, bool) {
	rho, ok := m.mix.Density(p, T, start)
	if !ok && vapor {
		rho, ok = m.mix.Density(p, T, p*m.mix.MolarMass()/(m.mix.GasConstant()*T))
	}
	return rho, ok
}
