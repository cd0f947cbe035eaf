package helmholtz

import "math"

// parts holds alphar at one (tau, delta) split the way composition derivatives
// need it: total, and by component k the derivative with respect to x_k of
// alphar, tau alphar_tau and delta alphar_delta, less their mean over x.
type parts struct {
	total sums
	a     Composition // alphar_k - sum x alphar_k
	t     Composition
	d     Composition
	dep   [MaxComponents * (MaxComponents - 1) / 2]float64 // departure values, by pair
}

func (m *Mixture) split(p *point, x *Composition, out *parts) {
	n := m.n
	var tot sums
	for i := 0; i < n; i++ {
		s := m.fluids[i].residual.sum(p)
		tot.add(x[i], &s)
		out.a[i], out.t[i], out.d[i] = s.A, s.T, s.D
	}
	for k := 0; k < m.np; k++ {
		q := &m.pair[k]
		s := q.res.sum(p)
		xi, xj := x[q.i], x[q.j]
		tot.add(xi*xj, &s)
		out.a[q.i] += xj * s.A
		out.t[q.i] += xj * s.T
		out.d[q.i] += xj * s.D
		out.a[q.j] += xi * s.A
		out.t[q.j] += xi * s.T
		out.d[q.j] += xi * s.D
		out.dep[k] = s.A
	}
	var ma, mt, md float64
	for i := 0; i < n; i++ {
		ma += x[i] * out.a[i]
		mt += x[i] * out.t[i]
		md += x[i] * out.d[i]
	}
	for i := 0; i < n; i++ {
		out.a[i] -= ma
		out.t[i] -= mt
		out.d[i] -= md
	}
	out.total = tot
}

// bulk holds what depends on the overall composition alone.
type bulk struct {
	tr, rhor float64
	lnZ      Composition
	a, b     Composition // d ln(T_r)/d ln-type factors of tau and delta, see doc.go
	merged   terms       // all terms, weighted: the blend as if one fluid
}

func (m *Mixture) newBulk() bulk {
	var t, v reduced
	m.t.at(&m.z, m.n, &t)
	m.v.at(&m.z, m.n, &v)
	b := bulk{tr: t.y, rhor: 1 / v.y, a: t.first}
	for i := 0; i < m.n; i++ {
		b.b[i] = 1 + v.first[i]
		b.lnZ[i] = math.Log(m.z[i])
	}
	add := func(w float64, ts *terms) {
		for _, p := range ts.power {
			p.n *= w
			b.merged.power = append(b.merged.power, p)
		}
		for _, c := range ts.bell {
			c.n *= w
			b.merged.bell = append(b.merged.bell, c)
		}
		b.merged.maxD = max(b.merged.maxD, ts.maxD)
		b.merged.maxL = max(b.merged.maxL, ts.maxL)
	}
	for i := 0; i < m.n; i++ {
		add(m.z[i], &m.fluids[i].residual)
	}
	for k := 0; k < m.np; k++ {
		add(m.z[m.pair[k].i]*m.z[m.pair[k].j], &m.pair[k].res)
	}
	return b
}

// phase is one phase at (T, concentrations) with the derivatives that phase
// equilibrium needs. M_i is the residual chemical potential over RT, so
// ln(fugacity_i) = ln(rho_i) + M_i + ln(RT).
type phase struct {
	p    float64     // pressure
	pT   float64     // dp/d ln T
	pRho float64     // dp/d ln rho at fixed composition
	m    Composition // M_i
	mT   Composition // dM_i/d ln T
	mRho Composition // dM_i/d ln rho at fixed composition
	pC   Composition // dp/d ln rho_i
	h    square      // dM_i/d ln rho_j
}

// atBulk evaluates the phase of the overall composition.
func (m *Mixture) atBulk(T, rho float64, ph *phase) {
	var pt point
	var s parts
	pt.set(m.bulk.tr/T, rho/m.bulk.rhor, m.maxD, m.maxL)
	m.split(&pt, &m.z, &s)
	m.common(T, rho, &s, &m.bulk.a, &m.bulk.b, ph)
}

func (m *Mixture) common(T, rho float64, s *parts, a, b *Composition, ph *phase) {
	t := &s.total
	rt := m.r * T * rho
	ph.p = rt * (1 + t.D)
	ph.pT = rt * (1 + t.D - t.TD)
	ph.pRho = rt * (1 + 2*t.D + t.DD)
	for i := 0; i < m.n; i++ {
		ph.m[i] = t.A + t.T*a[i] + t.D*b[i] + s.a[i]
		ph.mT[i] = -(t.T + (t.T+t.TT)*a[i] + t.TD*b[i] + s.t[i])
		ph.mRho[i] = t.D + t.TD*a[i] + (t.D+t.DD)*b[i] + s.d[i]
	}
}

// at evaluates a phase of any composition, with the matrix of composition
// derivatives.
func (m *Mixture) at(T float64, c *Composition, ph *phase) {
	n := m.n
	rho := 0.0
	for i := 0; i < n; i++ {
		rho += c[i]
	}
	var x Composition
	inv := 1 / rho
	for i := 0; i < n; i++ {
		x[i] = c[i] * inv
	}
	var tr, vr reduced
	m.t.at(&x, n, &tr)
	m.v.at(&x, n, &vr)
	var pt point
	var s parts
	pt.set(tr.y/T, rho*vr.y, m.maxD, m.maxL)
	m.split(&pt, &x, &s)
	a := &tr.first
	b := vr.first
	for i := 0; i < n; i++ {
		b[i]++
	}
	m.common(T, rho, &s, a, &b, ph)

	// Second composition derivatives of alphar come from departures alone.
	var dep square
	var u Composition
	U := 0.0
	for k := 0; k < m.np; k++ {
		q := &m.pair[k]
		v := s.dep[k]
		dep[q.i][q.j], dep[q.j][q.i] = v, v
		u[q.i] += x[q.j] * v
		u[q.j] += x[q.i] * v
		U += 2 * x[q.i] * x[q.j] * v
	}
	t := &s.total
	rt := m.r * T
	for i := 0; i < n; i++ {
		ci, di := t.TT*a[i]+t.TD*b[i]+s.t[i], t.TD*a[i]+t.DD*b[i]+s.d[i]+t.D
		for j := 0; j < n; j++ {
			h := ci*a[j] + di*b[j] + a[i]*s.t[j] + b[i]*s.d[j] + t.D*b[i] +
				t.T*tr.second[i][j] + t.D*vr.second[i][j] + dep[i][j] - u[i] - u[j] + U
			ph.h[i][j] = x[j] * h
		}
	}
	for j := 0; j < n; j++ {
		s := 1.0
		for k := 0; k < n; k++ {
			s += ph.h[k][j] / x[j] * x[k]
		}
		ph.pC[j] = rt * c[j] * s
	}
}
