package helmholtz

import "math"

// Caloric holds molar enthalpy (J/mol), molar entropy (J/(mol K)) and molar
// mass (kg/mol) of a phase of its own composition.
type Caloric struct{ H, S, M float64 }

// CaloricAt evaluates a phase of molar concentrations c (mol/m3) at T (K).
func (m *Mixture) CaloricAt(T float64, c *Composition) Caloric {
	n := m.n
	rho := 0.0
	for i := 0; i < n; i++ {
		rho += c[i]
	}
	var x Composition
	for i := 0; i < n; i++ {
		x[i] = c[i] / rho
	}
	var tr, vr reduced
	m.t.at(&x, n, &tr)
	m.v.at(&x, n, &vr)
	var pt point
	var s parts
	pt.set(tr.y/T, rho*vr.y, m.maxD, m.maxL)
	m.split(&pt, &x, &s)
	a0, t0, _ := m.ideal(T, rho, &x)
	out := Caloric{
		H: m.r * T * (1 + s.total.D + t0 + s.total.T),
		S: m.r * (t0 + s.total.T - a0 - s.total.A),
	}
	for i := 0; i < n; i++ {
		out.M += x[i] * m.fluids[i].Data.MolarMass
	}
	return out
}

// Split is a two-phase state of the overall composition.
type Split struct {
	Temperature float64     // K
	VaporMoles  float64     // moles of vapour per mole in all
	Liquid      Composition // mol/m3 by component
	Vapor       Composition
}

// splitVars are the unknowns of a split: ln T, ln of the liquid's and the vapour's concentrations.
type splitVars [2*MaxComponents + 1]float64

// solveSplit solves phase equilibrium at pressure p and vapour fraction beta
// from the start in x. Equations: equal fugacities, both pressures equal to p, and
// the mass balance of all components but one.
func (m *Mixture) solveSplit(p, beta float64, x *splitVars) bool {
	n := m.n
	nv := 2*n + 1
	var liq, vap phase
	var cl, cv Composition
	var a [2*MaxComponents + 1]row
	for range maxIterations {
		T := math.Exp(x[0])
		var rl, rv float64
		for i := 0; i < n; i++ {
			cl[i], cv[i] = math.Exp(x[1+i]), math.Exp(x[1+n+i])
			rl += cl[i]
			rv += cv[i]
		}
		m.at(T, &cl, &liq)
		m.at(T, &cv, &vap)
		for i := range a {
			a[i] = row{}
		}
		for i := 0; i < n; i++ {
			q := &a[i]
			q[0] = vap.mT[i] - liq.mT[i]
			for k := 0; k < n; k++ {
				q[1+k] = -liq.h[i][k]
				q[1+n+k] = vap.h[i][k]
			}
			q[1+i]--
			q[1+n+i]++
			q[nv] = x[1+i] + liq.m[i] - x[1+n+i] - vap.m[i]
		}
		ql, qv := &a[n], &a[n+1]
		ql[0], qv[0] = liq.pT/p, vap.pT/p
		for k := 0; k < n; k++ {
			ql[1+k], qv[1+n+k] = liq.pC[k]/p, vap.pC[k]/p
		}
		ql[nv], qv[nv] = 1-liq.p/p, 1-vap.p/p
		for i := 0; i < n-1; i++ {
			q := &a[n+2+i]
			xi, yi := cl[i]/rl, cv[i]/rv
			for k := 0; k < n; k++ {
				q[1+k] = -(1 - beta) * xi * cl[k] / rl
				q[1+n+k] = -beta * yi * cv[k] / rv
			}
			q[1+i] += (1 - beta) * xi
			q[1+n+i] += beta * yi
			q[nv] = m.z[i] - (1-beta)*xi - beta*yi
		}
		if !eliminate(a[:nv]) {
			return false
		}
		big := 0.0
		for i := 0; i < nv; i++ {
			big = math.Max(big, math.Abs(a[i][nv]))
		}
		if !(big < 1e6) {
			return false
		}
		f := 1.0
		if big > maxStep {
			f = maxStep / big
		}
		for i := 0; i < nv; i++ {
			x[i] += f * a[i][nv]
		}
		if big < stepTolerance {
			return rl > 1.05*rv
		}
	}
	return false
}

// Flash finds the two-phase state at pressure p (Pa) at which the overall
// molar enthalpy (J/mol), or entropy (J/(mol K)) if so asked, is target. bubble
// and dew are the ends of the two-phase region at p. ok is false if target lies
// outside or the solution fails.
func (m *Mixture) Flash(p, target float64, bubble, dew *Saturated, entropy bool) (out Split, ok bool) {
	n := m.n
	// Ends of the region as starting values.
	var lo, hi splitVars
	lo[0], hi[0] = math.Log(bubble.Temperature), math.Log(dew.Temperature)
	for i := 0; i < n; i++ {
		lo[1+i] = math.Log(m.z[i] * bubble.Bulk / m.molarMass)
		lo[1+n+i] = math.Log(bubble.Incipient[i])
		hi[1+i] = math.Log(dew.Incipient[i])
		hi[1+n+i] = math.Log(m.z[i] * dew.Bulk / m.molarMass)
	}
	value := func(b float64, x *splitVars) float64 {
		out = m.newSplit(b, x)
		l, v := m.CaloricAt(out.Temperature, &out.Liquid), m.CaloricAt(out.Temperature, &out.Vapor)
		if entropy {
			return (1-b)*l.S + b*v.S - target
		}
		return (1-b)*l.H + b*v.H - target
	}
	f0, f1 := value(0, &lo), value(1, &hi)
	tol := 1e-11 * math.Abs(f1-f0)
	if math.Abs(f1) <= tol {
		return out, true
	}
	if math.Abs(f0) <= tol {
		value(0, &lo)
		return out, true
	}
	if !(f0 < 0 && f1 > 0) {
		return out, false
	}
	// Regula falsi with the Illinois weight: nearly linear, always bracketed.
	// Each solve starts between the ends, bowed as the last solution was.
	b0, b1 := 0.0, 1.0
	x := lo
	var bow splitVars
	side := 0
	for range maxIterations {
		b := b0 - f0*(b1-b0)/(f1-f0)
		if n > 1 {
			for i := range x {
				x[i] = lo[i] + b*(hi[i]-lo[i]) + b*(1-b)*bow[i]
			}
			if !m.solveSplit(p, b, &x) {
				return out, false
			}
			for i := range x {
				bow[i] = (x[i] - lo[i] - b*(hi[i]-lo[i])) / (b * (1 - b))
			}
		} else {
			x = lo
		}
		f := value(b, &x)
		if math.Abs(f) <= tol || b1-b0 < 1e-13 {
			return out, true
		}
		if f < 0 {
			b0, f0 = b, f
			if side == -1 {
				f1 /= 2
			}
			side = -1
		} else {
			b1, f1 = b, f
			if side == 1 {
				f0 /= 2
			}
			side = 1
		}
	}
	return out, false
}

func (m *Mixture) newSplit(b float64, x *splitVars) Split {
	s := Split{Temperature: math.Exp(x[0]), VaporMoles: b}
	for i := 0; i < m.n; i++ {
		s.Liquid[i], s.Vapor[i] = math.Exp(x[1+i]), math.Exp(x[1+m.n+i])
	}
	return s
}
