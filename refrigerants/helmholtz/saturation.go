package helmholtz

import "math"

// Side names which phase has the overall composition.
type Side uint8

const (
	Bubble Side = iota // liquid of the overall composition, first bubble
	Dew                // vapour of the overall composition, last drop
)

const (
	maxIterations = 40
	stepTolerance = 1e-9 // largest change of ln T, ln rho, ln rho_i accepted as final; Newton squares it
	maxStep       = 0.25 // damping far from the solution
)

// Saturated is one point of the bubble or dew line.
type Saturated struct {
	Temperature float64     // K
	Pressure    float64     // Pa
	Bulk        float64     // kg/m3, the phase of the overall composition
	Incipient   Composition // mol/m3 by component, the other phase
	Iterations  int
}

// vars are the unknowns of the saturation problem:
// ln T, ln rho of the bulk phase, ln rho_i of the incipient phase.
type vars [MaxComponents + 2]float64

// solution is a converged point with its tangent along the saturation line.
type solution struct {
	lnP float64
	x   vars
	dx  vars // dx/d ln p
	it  int
}

// The saturation problem. Unknowns as in vars; equations: equal fugacity of
// each component, equal pressure, and the specification (pressure or
// temperature). Newton with the analytic Jacobian; a second right-hand side
// gives the tangent dx/dlnp of the saturation line for the price of one more
// column.
//
// The starting point x is replaced by the solution. ok is false if it did not
// converge, and trivial solutions (both phases alike) count as not converged.
func (m *Mixture) saturate(side Side, fixT bool, lnP float64, s *solution) bool {
	n := m.n
	x := &s.x
	p := math.Exp(lnP)
	var bulk, inc phase
	var c Composition
	var j [MaxComponents + 2]row
	nv := n + 2
	for it := 1; it <= maxIterations; it++ {
		T, rho := math.Exp(x[0]), math.Exp(x[1])
		for i := 0; i < n; i++ {
			c[i] = math.Exp(x[2+i])
		}
		m.atBulk(T, rho, &bulk)
		m.at(T, &c, &inc)
		for i := 0; i < n; i++ {
			row := &j[i]
			row[0] = inc.mT[i] - bulk.mT[i]
			row[1] = -1 - bulk.mRho[i]
			for k := 0; k < n; k++ {
				row[2+k] = inc.h[i][k]
			}
			row[2+i]++
			row[nv] = m.lnZ(i) + x[1] + bulk.m[i] - x[2+i] - inc.m[i]
			row[nv+1] = 0
		}
		vap, liq := &inc, &bulk
		if side == Dew {
			vap, liq = liq, vap
		}
		scale := p
		if fixT {
			scale = math.Max(math.Abs(vap.p), 1e-3*math.Abs(liq.p))
		}
		row := &j[n]
		row[0] = (inc.pT - bulk.pT) / scale
		row[1] = -bulk.pRho / scale
		for k := 0; k < n; k++ {
			row[2+k] = inc.pC[k] / scale
		}
		row[nv] = (bulk.p - inc.p) / scale
		row[nv+1] = 0
		row = &j[n+1]
		*row = [rowSize]float64{}
		if fixT {
			row[0] = 1
		} else {
			// The vapour's pressure: the liquid's is too steep to lead.
			if side == Bubble {
				row[0] = inc.pT / p
				for k := 0; k < n; k++ {
					row[2+k] = inc.pC[k] / p
				}
			} else {
				row[0], row[1] = bulk.pT/p, bulk.pRho/p
			}
			row[nv] = 1 - vap.p/p
		}
		row[nv+1] = 1
		if !eliminate(j[:nv]) {
			return false
		}
		big := 0.0
		for i := 0; i < nv; i++ {
			big = math.Max(big, math.Abs(j[i][nv]))
		}
		if !(big < 1e6) { // also NaN
			return false
		}
		f := 1.0
		if big > maxStep {
			f = maxStep / big
		}
		for i := 0; i < nv; i++ {
			x[i] += f * j[i][nv]
		}
		if big < stepTolerance {
			s.it = it
			for i := 0; i < nv; i++ {
				s.dx[i] = j[i][nv+1]
			}
			s.lnP = lnP
			if fixT {
				// vap.p was before the last step: carry it along. And the tangent
				// came out per ln T; make it per ln p.
				step, d := 0.0, vap.pT
				if side == Bubble {
					for k := 0; k < n; k++ {
						step += inc.pC[k] * j[2+k][nv]
						d += inc.pC[k] * s.dx[2+k]
					}
				} else {
					step = bulk.pRho * j[1][nv]
					d += bulk.pRho * s.dx[1]
				}
				d /= vap.p
				s.lnP = math.Log(vap.p + step)
				for i := 0; i < nv; i++ {
					s.dx[i] /= d
				}
			}
			return m.distinct(side, s)
		}
	}
	return false
}

func (m *Mixture) lnZ(i int) float64 { return m.bulk.lnZ[i] }

// distinct refuses the trivial solution and phases in the wrong places.
func (m *Mixture) distinct(side Side, s *solution) bool {
	inc := 0.0
	for i := 0; i < m.n; i++ {
		inc += math.Exp(s.x[2+i])
	}
	r := s.x[1] - math.Log(inc) // ln of bulk over incipient density
	if side == Dew {
		r = -r
	}
	return r > 0.05
}

// coldStart guesses a point at pressure p from the components' own saturation
// pressures (Raoult) and liquid densities.
func (m *Mixture) coldStart(side Side, p float64, s *solution) {
	lo, hi := 0.2*m.bulk.tr, 1.2*m.bulk.tr
	var k Composition
	for it := 0; it < 60; it++ {
		T := 0.5 * (lo + hi)
		sum := 0.0
		for i := 0; i < m.n; i++ {
			k[i] = m.fluids[i].startPressure(T) / p
			if side == Bubble {
				sum += m.z[i] * k[i]
			} else {
				sum += m.z[i] / k[i]
			}
		}
		if (sum > 1) == (side == Bubble) {
			hi = T
		} else {
			lo = T
		}
	}
	T := 0.5 * (lo + hi)
	var x Composition // incipient
	sum := 0.0
	for i := 0; i < m.n; i++ {
		x[i] = m.z[i] * k[i]
		if side == Dew {
			x[i] = m.z[i] / k[i]
		}
		sum += x[i]
	}
	liq := m.z
	if side == Dew {
		liq = x
	}
	vl := 0.0
	for i := 0; i < m.n; i++ {
		x[i] /= sum
		vl += liq[i] / m.fluids[i].startLiquidDensity(T)
	}
	if side == Dew {
		vl /= sum
	}
	gas := p / (m.r * T) * 1.15
	rho, other := 1/vl, gas
	if side == Dew {
		rho, other = gas, 1/vl
	}
	s.x[0], s.x[1] = math.Log(T), math.Log(rho)
	for i := 0; i < m.n; i++ {
		s.x[2+i] = math.Log(x[i] * other)
	}
}
