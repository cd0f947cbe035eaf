package helmholtz

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// The largest delta exponents the tables below hold; the compiler refuses
// larger ones (none of the published equations comes near).
const (
	maxDeltaPower = 19
	maxExpPower   = 7
)

// sums holds a reduced residual Helmholtz energy and its logarithmic
// derivatives, each multiplied by as many factors of tau and delta as it has
// derivatives, so that every member is dimensionless and sums over terms.
type sums struct {
	A  float64 // alphar
	T  float64 // tau * d(alphar)/d(tau)
	D  float64 // delta * d(alphar)/d(delta)
	TT float64 // tau^2 * d2(alphar)/d(tau)2
	TD float64 // tau*delta * d2(alphar)/d(tau)d(delta)
	DD float64 // delta^2 * d2(alphar)/d(delta)2
}

func (s *sums) add(w float64, o *sums) {
	s.A += w * o.A
	s.T += w * o.T
	s.D += w * o.D
	s.TT += w * o.TT
	s.TD += w * o.TD
	s.DD += w * o.DD
}

// point holds what all terms at one (tau, delta) share: the integer powers of
// delta and the factors exp(-delta^l), each computed once.
type point struct {
	tau, delta, lnTau float64
	pow               [maxDeltaPower + 1]float64 // delta^k
	exp               [maxExpPower + 1]float64   // exp(-delta^l), 1 for l = 0
	l1                [maxExpPower + 1]float64   // l delta^l
	l2                [maxExpPower + 1]float64   // l^2 delta^l
}

func (p *point) set(tau, delta float64, maxD, maxL int) {
	p.tau, p.lnTau = tau, math.Log(tau)
	p.setDelta(delta, maxD, maxL)
}

func (p *point) setDelta(delta float64, maxD, maxL int) {
	p.delta = delta
	if maxD < maxL {
		maxD = maxL
	}
	p.pow[0] = 1
	for k := 1; k <= maxD; k++ {
		p.pow[k] = p.pow[k-1] * delta
	}
	p.exp[0], p.l1[0], p.l2[0] = 1, 0, 0
	for l := 1; l <= maxL; l++ {
		d := p.pow[l]
		p.exp[l] = math.Exp(-d)
		p.l1[l] = float64(l) * d
		p.l2[l] = float64(l*l) * d
	}
}

// powerTerm is n delta^d tau^t exp(-delta^l), without the exponential if l = 0.
type powerTerm struct {
	n, t float64
	d, l uint8
}

// powerGroup is the run of power terms with the same d and l: on an isotherm
// they are one term.
type powerGroup struct {
	d, l       uint8
	start, end int32
}

// bellTerm is any term with a shape of its own in tau and delta besides the
// powers: n delta^d tau^t exp(f(delta) + g(tau)).
type bellTerm struct {
	kind                    bellKind
	n, t                    float64
	d                       uint8
	eta, beta, gamma, eps   float64 // Gaussian, inverse Gaussian
	b                       float64 // inverse Gaussian
	l                       uint8   // double exponential
	m                       float64
	na, nb, nA, nB, nC, nD_ float64 // non-analytic (beta is shared)
}

type bellKind uint8

const (
	// gaussian: f = -eta (delta-eps)^2, g = -beta (tau-gamma)^2
	// (Setzmann and Wagner 1991).
	gaussian bellKind = iota
	// doubleExponential: f = -delta^l, g = -tau^m (Lemmon and Jacobsen 2005).
	doubleExponential
	// inverseGaussian: f = -eta (delta-eps)^2, g = 1/(b + beta (tau-gamma)^2)
	// (Gao et al. 2023, the two near-critical terms).
	inverseGaussian
	// nonAnalytic: n Delta^b delta Psi (Span and Wagner 1996, eq. 6.1).
	nonAnalytic
)

// terms is one residual function ready for evaluation.
type terms struct {
	power      []powerTerm // sorted by d and l once finished
	group      []powerGroup
	bell       []bellTerm
	maxD, maxL int
}

func (ts *terms) addPower(n, t, d, l float64) error {
	if d != math.Trunc(d) || d < 0 || d > maxDeltaPower {
		return fmt.Errorf("exponent of delta %g is not a whole number from 0 to %d", d, maxDeltaPower)
	}
	if l != math.Trunc(l) || l < 0 || l > maxExpPower {
		return fmt.Errorf("exponent of delta inside the exponential %g is not a whole number from 0 to %d", l, maxExpPower)
	}
	ts.power = append(ts.power, powerTerm{n: n, t: t, d: uint8(d), l: uint8(l)})
	ts.maxD = max(ts.maxD, int(d))
	ts.maxL = max(ts.maxL, int(l))
	return nil
}

func (ts *terms) addBell(b bellTerm) {
	ts.bell = append(ts.bell, b)
	ts.maxD = max(ts.maxD, int(b.d))
	ts.maxL = max(ts.maxL, int(b.l))
}

// maxGroups bounds the pairs of d and l that occur, so that an isotherm fits in
// a fixed array.
const maxGroups = 96

// finish sorts the power terms into groups. It must be called once after the
// last term.
func (ts *terms) finish() error {
	slices.SortStableFunc(ts.power, func(a, b powerTerm) int {
		return cmp.Or(cmp.Compare(a.l, b.l), cmp.Compare(a.d, b.d))
	})
	ts.group = nil
	for i, k := range ts.power {
		if n := len(ts.group); n == 0 || ts.group[n-1].d != k.d || ts.group[n-1].l != k.l {
			ts.group = append(ts.group, powerGroup{d: k.d, l: k.l, start: int32(i)})
		}
		ts.group[len(ts.group)-1].end = int32(i + 1)
	}
	if len(ts.group) > maxGroups {
		return fmt.Errorf("%d pairs of delta exponents, at most %d fit", len(ts.group), maxGroups)
	}
	return nil
}

// sum evaluates alphar and its derivatives in one pass. It goes term by term:
// groups are short, and taking their factors out costs more than it saves.
func (ts *terms) sum(p *point) sums {
	var s sums
	lnTau := p.lnTau
	for i := range ts.power {
		k := &ts.power[i]
		e := k.n * math.Exp(k.t*lnTau) * p.pow[k.d] * p.exp[k.l]
		d := float64(k.d) - p.l1[k.l]
		te := k.t * e
		s.A += e
		s.T += te
		s.D += d * e
		s.TT += te * (k.t - 1)
		s.TD += te * d
		s.DD += e * (d*(d-1) - p.l2[k.l])
	}
	for i := range ts.bell {
		ts.bell[i].add(p, &s)
	}
	return s
}

// isotherm holds the power terms summed by group at one tau, for solvers that
// move in density alone.
type isotherm [maxGroups]float64

func (ts *terms) isotherm(lnTau float64, out *isotherm) {
	for i := range ts.group {
		g := &ts.group[i]
		e := 0.0
		for _, k := range ts.power[g.start:g.end] {
			e += k.n * math.Exp(k.t*lnTau)
		}
		out[i] = e
	}
}

// sumDelta gives delta alphar_delta and delta^2 alphar_deltadelta on an isotherm.
func (ts *terms) sumDelta(p *point, iso *isotherm) (D, DD float64) {
	for i := range ts.group {
		g := &ts.group[i]
		e := iso[i] * p.pow[g.d] * p.exp[g.l]
		d := float64(g.d) - p.l1[g.l]
		D += d * e
		DD += e * (d*(d-1) - p.l2[g.l])
	}
	if len(ts.bell) > 0 {
		var s sums
		for i := range ts.bell {
			ts.bell[i].add(p, &s)
		}
		D += s.D
		DD += s.DD
	}
	return D, DD
}

func (k *bellTerm) add(p *point, s *sums) {
	tau, delta := p.tau, p.delta
	// With e the term, df and tf its logarithmic derivatives and ddf, ttf the
	// logarithmic derivatives of those: delta^2 e_dd = e (df^2 - df + ddf).
	var x, df, ddf, tf, ttf float64
	switch k.kind {
	case gaussian:
		dd, dt := delta-k.eps, tau-k.gamma
		x = -k.eta*dd*dd - k.beta*dt*dt
		df = -2 * k.eta * delta * dd
		ddf = -2 * k.eta * delta * (delta + dd)
		tf = -2 * k.beta * tau * dt
		ttf = -2 * k.beta * tau * (tau + dt)
	case doubleExponential:
		tm := math.Exp(k.m * p.lnTau)
		x = -p.pow[k.l] - tm
		df, ddf = -p.l1[k.l], -p.l2[k.l]
		tf, ttf = -k.m*tm, -k.m*k.m*tm
	case inverseGaussian:
		dd, dt := delta-k.eps, tau-k.gamma
		q := k.b + k.beta*dt*dt
		x = -k.eta*dd*dd + 1/q
		df = -2 * k.eta * delta * dd
		ddf = -2 * k.eta * delta * (delta + dd)
		g := -2 * k.beta * dt / (q * q)
		gt := -2*k.beta/(q*q) + 8*k.beta*k.beta*dt*dt/(q*q*q)
		tf = tau * g
		ttf = tau * (g + tau*gt)
	case nonAnalytic:
		k.addNonAnalytic(p, s)
		return
	}
	e := k.n * p.pow[k.d] * math.Exp(k.t*p.lnTau+x)
	df += float64(k.d)
	tf += k.t
	s.A += e
	s.T += e * tf
	s.D += e * df
	s.TT += e * (tf*(tf-1) + ttf)
	s.TD += e * tf * df
	s.DD += e * (df*(df-1) + ddf)
}

// addNonAnalytic adds a critical-region term, with the derivatives of Span and
// Wagner (1996), Table 32.
func (k *bellTerm) addNonAnalytic(p *point, s *sums) {
	tau, delta := p.tau, p.delta
	x, y := delta-1, tau-1
	if k.nC*x*x+k.nD_*y*y > 60 { // the term is under 1e-26 of anything
		return
	}
	if math.Abs(x) < 1e-7 { // the powers of x below have no limit in floating point
		x = 1e-7
	}
	X := x * x
	h := 1 / (2 * k.beta)
	xh := math.Pow(X, h-1) // X^(1/(2 beta) - 1)
	theta := -y + k.nA*X*xh
	xa := math.Pow(X, k.na-1)
	del := theta*theta + k.nB*X*xa
	delD := x * (k.nA*theta*4*h*xh + 2*k.nB*k.na*xa)
	delDD := delD/x + 4*k.nB*k.na*(k.na-1)*xa + 8*k.nA*k.nA*h*h*X*xh*xh + k.nA*theta*8*h*(h-1)*xh
	b2 := math.Pow(del, k.nb-2)
	b1 := b2 * del
	b0 := b1 * del
	bD := k.nb * b1 * delD
	bDD := k.nb * (b1*delDD + (k.nb-1)*b2*delD*delD)
	bT := -2 * theta * k.nb * b1
	bTT := 2*k.nb*b1 + 4*theta*theta*k.nb*(k.nb-1)*b2
	bDT := -k.nA*k.nb*4*h*b1*x*xh - 2*theta*k.nb*(k.nb-1)*b2*delD
	psi := math.Exp(-k.nC*X - k.nD_*y*y)
	psiD := -2 * k.nC * x * psi
	psiDD := (2*k.nC*X - 1) * 2 * k.nC * psi
	psiT := -2 * k.nD_ * y * psi
	psiTT := (2*k.nD_*y*y - 1) * 2 * k.nD_ * psi
	psiDT := 4 * k.nC * k.nD_ * x * y * psi

	n := k.n
	s.A += n * b0 * delta * psi
	s.D += delta * n * (b0*(psi+delta*psiD) + bD*delta*psi)
	s.DD += delta * delta * n * (b0*(2*psiD+delta*psiDD) + 2*bD*(psi+delta*psiD) + bDD*delta*psi)
	s.T += tau * n * delta * (bT*psi + b0*psiT)
	s.TT += tau * tau * n * delta * (bTT*psi + 2*bT*psiT + b0*psiTT)
	s.TD += tau * delta * n * (b0*(psiT+delta*psiDT) + delta*bD*psiT + bT*(psi+delta*psiD) + bDT*delta*psi)
}
