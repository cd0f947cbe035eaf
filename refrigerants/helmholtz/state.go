package helmholtz

import "math"

// State is a single-phase state of the overall composition, on a mass basis.
type State struct {
	Pressure     float64 // Pa
	Temperature  float64 // K
	Density      float64 // kg/m3
	Enthalpy     float64 // J/kg
	Entropy      float64 // J/(kg K)
	HeatCapacity float64 // cp, J/(kg K)
	SpeedOfSound float64 // m/s; NaN where the state is not mechanically stable

	// Analytic derivatives.
	DpDT   float64 // (dp/dT) at constant density, Pa/K
	DpDRho float64 // (dp/drho) at constant temperature, Pa m3/kg
}

// DhDp returns (dh/dp) at constant temperature, J/(kg Pa):
// v (1 - T beta) with beta = (dp/dT)/(rho dp/drho).
func (s *State) DhDp() float64 {
	return (1 - s.Temperature*s.DpDT/(s.Density*s.DpDRho)) / s.Density
}

// DsDp returns (ds/dp) at constant temperature, J/(kg K Pa): -(dv/dT) at
// constant pressure.
func (s *State) DsDp() float64 { return -s.DpDT / (s.Density * s.Density * s.DpDRho) }

// DrhoDT returns (drho/dT) at constant pressure, kg/(m3 K).
func (s *State) DrhoDT() float64 { return -s.DpDT / s.DpDRho }

// ideal sums the components' ideal-gas temperature parts. The gas constant of
// a component's paper differs from the blend's in the sixth digit; its heat
// capacity is taken as published, while mixing and density terms use the
// blend's constant, so that all Maxwell relations hold exactly.
func (m *Mixture) ideal(T, rho float64, z *Composition) (a, t, tt float64) {
	for i := 0; i < m.n; i++ {
		f := m.fluids[i]
		q := f.Data.GasConstant / m.r
		ai, ti, tti := f.ideal(f.Data.ReducingT / T)
		x := z[i]
		a += x * (q*ai + math.Log(x*rho*m.v.own[i]))
		t += x * q * ti
		tt += x * q * tti
	}
	return a, t, tt
}

// At evaluates the overall composition as one phase at temperature (K) and
// density (kg/m3). It does not ask whether that phase is stable.
func (m *Mixture) At(T, density float64) State {
	rho := density / m.molarMass
	var pt point
	b := &m.bulk
	pt.set(b.tr/T, rho/b.rhor, b.merged.maxD, b.merged.maxL)
	s := b.merged.sum(&pt)
	a0, t0, tt0 := m.ideal(T, rho, &m.z)
	r := m.r / m.molarMass
	z := 1 + s.D
	dpT := 1 + s.D - s.TD   // (dp/dT)/(rho R)
	dpR := 1 + 2*s.D + s.DD // (dp/drho)/(R T)
	cv := -(tt0 + s.TT)     // cv/R
	cp := cv + dpT*dpT/dpR  // cp/R
	w2 := dpR + dpT*dpT/cv  // w^2 M/(R T)
	return State{
		Pressure:     density * r * T * z,
		Temperature:  T,
		Density:      density,
		Enthalpy:     r * T * (z + t0 + s.T),
		Entropy:      r * (t0 + s.T - a0 - s.A),
		HeatCapacity: r * cp,
		SpeedOfSound: math.Sqrt(r * T * w2),
		DpDT:         density * r * dpT,
		DpDRho:       r * T * dpR,
	}
}

// Density solves p(T, rho) = p by Newton's method from start (kg/m3), which
// must lie on the branch wanted. From a vapour density at or above the root, or
// a liquid density at or below it, one step crosses over and the rest approach
// monotonically, because p(rho) is concave on the vapour and convex on the
// liquid branch. ok is false if the iteration leaves the stable branch.
func (m *Mixture) Density(p, T, start float64) (density float64, ok bool) {
	b := &m.bulk
	var pt point
	var iso isotherm
	pt.set(b.tr/T, start/m.molarMass/b.rhor, b.merged.maxD, b.merged.maxL)
	b.merged.isotherm(pt.lnTau, &iso)
	rt := m.r * T
	rho := start / m.molarMass
	for it := 0; it < maxIterations; it++ {
		D, DD := b.merged.sumDelta(&pt, &iso)
		pr := rt * (1 + 2*D + DD)
		if !(pr > 0) {
			return 0, false
		}
		d := (p - rt*rho*(1+D)) / pr
		if d < -0.5*rho {
			d = -0.5 * rho
		} else if d > 0.5*rho {
			d = 0.5 * rho
		}
		rho += d
		if math.Abs(d) < stepTolerance*rho {
			return rho * m.molarMass, true
		}
		pt.setDelta(rho/b.rhor, b.merged.maxD, b.merged.maxL)
	}
	return 0, false
}

// FluidDensity solves p(T, rho) = p well above the critical temperature, where
// pressure rises with density without a break: Newton kept in a bracket.
func (m *Mixture) FluidDensity(p, T float64) (density float64, ok bool) {
	b := &m.bulk
	var pt point
	var iso isotherm
	rt := m.r * T
	lo, hi := 0.0, 4*b.rhor
	rho := math.Min(p/rt, b.rhor)
	pt.set(b.tr/T, rho/b.rhor, b.merged.maxD, b.merged.maxL)
	b.merged.isotherm(pt.lnTau, &iso)
	for range 3 * maxIterations {
		D, DD := b.merged.sumDelta(&pt, &iso)
		d := (p - rt*rho*(1+D)) / (rt * (1 + 2*D + DD))
		if d > 0 {
			lo = rho
		} else {
			hi = rho
		}
		if math.Abs(d) < stepTolerance*rho {
			return (rho + d) * m.molarMass, true
		}
		if rho += d; !(rho > lo && rho < hi) {
			rho = 0.5 * (lo + hi)
		}
		pt.setDelta(rho/b.rhor, b.merged.maxD, b.merged.maxL)
	}
	return 0, false
}
