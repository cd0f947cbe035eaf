package helmholtz

import (
	"encoding/json"
	"math"
	"math/rand"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The tests use the data files of the parent package.

func load(t testing.TB, file string, v any) {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "data", file))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(b, v))
}

func fluid(t testing.TB, name string) *Fluid {
	t.Helper()
	var r struct{ Equation FluidData }
	load(t, strings.NewReplacer("(", "", ")", "").Replace(name)+".json", &r)
	f, err := NewFluid(name, r.Equation)
	require.NoError(t, err)
	return f
}

func published(t testing.TB) *PairsData {
	t.Helper()
	p := &PairsData{}
	load(t, "pairs.json", p)
	return p
}

// mixture makes a blend of the named fluids by mole fractions.
func mixture(t testing.TB, names []string, z ...float64) *Mixture {
	t.Helper()
	var fs []*Fluid
	for _, n := range names {
		fs = append(fs, fluid(t, n))
	}
	m, err := NewMixture(fs, z, published(t))
	require.NoError(t, err)
	return m
}

var pures = []string{"R-22", "R-134a", "R-32", "R-125", "R-143a", "R-1234yf", "R-1234ze(E)", "R-290", "R-600a", "R-600",
	"R-601a", "R-744", "R-152a", "R-227ea", "R-717", "R-123", "R-124", "R-142b", "R-12"}

// blends exercises every pair and departure function.
func blends(t testing.TB) []*Mixture {
	return []*Mixture{
		mixture(t, []string{"R-32", "R-125"}, 0.7, 0.3),
		mixture(t, []string{"R-32", "R-125", "R-1234yf", "R-134a", "R-1234ze(E)"}, 0.43, 0.19, 0.15, 0.18, 0.05),
		mixture(t, []string{"R-32", "R-125", "R-134a", "R-600", "R-601a"}, 0.16, 0.37, 0.43, 0.03, 0.01),
		mixture(t, []string{"R-744", "R-32", "R-1234yf"}, 0.06, 0.36, 0.58),
		mixture(t, []string{"R-22", "R-124", "R-142b"}, 0.68, 0.18, 0.14),
		mixture(t, []string{"R-125", "R-143a", "R-22"}, 0.05, 0.48, 0.47),
		mixture(t, []string{"R-125", "R-134a", "R-600a"}, 0.6, 0.34, 0.06),
		mixture(t, []string{"R-32", "R-125", "R-143a", "R-134a"}, 0.26, 0.19, 0.11, 0.44),
	}
}

// derivative is a fourth-order central difference.
func derivative(f func(x float64) float64, x, h float64) float64 {
	return (8*(f(x+h)-f(x-h)) - (f(x+2*h) - f(x-2*h))) / (12 * h)
}

func near(t *testing.T, want, got, scale float64, what ...any) {
	t.Helper()
	assert.InDelta(t, want, got, 1e-7*(scale+math.Abs(want)), what...)
}

func TestTermDerivatives(t *testing.T) {
	rng := rand.New(rand.NewSource(1))
	check := func(ts *terms, tau, delta float64, what string) {
		at := func(tau, delta float64) sums {
			var p point
			p.set(tau, delta, ts.maxD, ts.maxL)
			return ts.sum(&p)
		}
		s := at(tau, delta)
		lt, ld := math.Log(tau), math.Log(delta)
		const h = 3e-4 // small beside the 1/50 of tau^50 in R-134a
		byT := func(pick func(sums) float64) float64 {
			return derivative(func(x float64) float64 { return pick(at(math.Exp(x), delta)) }, lt, h)
		}
		byD := func(pick func(sums) float64) float64 {
			return derivative(func(x float64) float64 { return pick(at(tau, math.Exp(x))) }, ld, h)
		}
		a := func(s sums) float64 { return s.A }
		T := func(s sums) float64 { return s.T }
		D := func(s sums) float64 { return s.D }
		// d(tau a_tau)/d ln tau = tau a_tau + tau^2 a_tautau, and likewise.
		const scale = 10
		near(t, byT(a), s.T, scale, "%s tau at %g %g", what, tau, delta)
		near(t, byD(a), s.D, scale, "%s delta at %g %g", what, tau, delta)
		near(t, byT(T), s.T+s.TT, 10*scale, "%s tau tau at %g %g", what, tau, delta)
		near(t, byD(D), s.D+s.DD, 10*scale, "%s delta delta at %g %g", what, tau, delta)
		near(t, byD(T), s.TD, 10*scale, "%s tau delta at %g %g", what, tau, delta)
		near(t, byT(D), s.TD, 10*scale, "%s delta tau at %g %g", what, tau, delta)
	}
	for _, name := range pures {
		f := fluid(t, name)
		for range 30 {
			check(&f.residual, 0.85+1.0*rng.Float64(), 0.02+2.6*rng.Float64(), name)
		}
	}
	// The critical terms of R-744 matter close to its critical point only.
	f := fluid(t, "R-744")
	for range 50 {
		check(&f.residual, 1.02+0.05*rng.Float64(), 0.7+0.25*rng.Float64(), "R-744 near critical")
	}
	for _, m := range blends(t) {
		for range 10 {
			check(&m.bulk.merged, 0.9+0.8*rng.Float64(), 0.02+2.4*rng.Float64(), "blend")
		}
	}
}

func TestIdealDerivatives(t *testing.T) {
	for _, name := range pures {
		f := fluid(t, name)
		for _, tau := range []float64{0.8, 1, 1.3, 2} {
			lt := math.Log(tau)
			_, tt1, tt2 := f.ideal(tau)
			near(t, derivative(func(x float64) float64 { a, _, _ := f.ideal(math.Exp(x)); return a }, lt, 3e-4), tt1, 1, name)
			near(t, derivative(func(x float64) float64 { _, b, _ := f.ideal(math.Exp(x)); return b }, lt, 3e-4), tt1+tt2, 1, name)
		}
	}
}

// alphar of a mixture at temperature and concentrations, by definition and in
// the plainest way: the independent path for the composition derivatives.
func alphar(m *Mixture, T float64, c *Composition) float64 {
	rho := 0.0
	for i := 0; i < m.n; i++ {
		rho += c[i]
	}
	var x Composition
	for i := 0; i < m.n; i++ {
		x[i] = c[i] / rho
	}
	tr, vr := 0.0, 0.0
	for i := 0; i < m.n; i++ {
		tr += x[i] * x[i] * m.t.own[i]
		vr += x[i] * x[i] * m.v.own[i]
		for j := i + 1; j < m.n; j++ {
			tr += m.t.c[i][j] * x[i] * x[j] * (x[i] + x[j]) / (m.t.b[i][j]*x[i] + x[j])
			vr += m.v.c[i][j] * x[i] * x[j] * (x[i] + x[j]) / (m.v.b[i][j]*x[i] + x[j])
		}
	}
	var p point
	p.set(tr/T, rho*vr, m.maxD, m.maxL)
	a := 0.0
	for i := 0; i < m.n; i++ {
		a += x[i] * m.fluids[i].residual.sum(&p).A
	}
	for k := 0; k < m.np; k++ {
		q := &m.pair[k]
		a += x[q.i] * x[q.j] * q.res.sum(&p).A
	}
	return a
}

func TestCompositionDerivatives(t *testing.T) {
	rng := rand.New(rand.NewSource(2))
	for _, m := range blends(t) {
		for range 6 {
			T := 250 + 80*rng.Float64()
			rho := 500 + 12000*rng.Float64()
			var c Composition
			for i := 0; i < m.n; i++ {
				c[i] = rho * (0.05 + rng.Float64()) / float64(m.n)
			}
			var ph phase
			m.at(T, &c, &ph)
			total := func(c *Composition) float64 {
				s := 0.0
				for i := 0; i < m.n; i++ {
					s += c[i]
				}
				return s
			}
			for i := 0; i < m.n; i++ {
				moved := func(x float64) Composition {
					d := c
					d[i] = math.Exp(x)
					return d
				}
				lc := math.Log(c[i])
				// M_i = d(rho alphar)/d rho_i
				psi := func(x float64) float64 { d := moved(x); return total(&d) * alphar(m, T, &d) }
				near(t, derivative(psi, lc, 3e-4)/c[i], ph.m[i], 10, "M_%d", i)
				var q phase
				for k := 0; k < m.n; k++ {
					byC := derivative(func(x float64) float64 { d := moved(x); m.at(T, &d, &q); return q.m[k] }, lc, 3e-4)
					near(t, byC, ph.h[k][i], 100, "dM_%d/dln rho_%d", k, i)
				}
				byP := derivative(func(x float64) float64 { d := moved(x); m.at(T, &d, &q); return q.p }, lc, 3e-4)
				near(t, byP, ph.pC[i], 10*m.r*T*rho, "dp/dln rho_%d", i)
				byT := derivative(func(x float64) float64 { m.at(math.Exp(x), &c, &q); return q.m[i] }, math.Log(T), 3e-4)
				near(t, byT, ph.mT[i], 100, "dM_%d/dlnT", i)
			}
			var q phase
			byT := derivative(func(x float64) float64 { m.at(math.Exp(x), &c, &q); return q.p }, math.Log(T), 3e-4)
			near(t, byT, ph.pT, 10*m.r*T*rho, "dp/dlnT")
			// The matrix of chemical potentials is symmetric.
			for i := 0; i < m.n; i++ {
				for j := 0; j < i; j++ {
					near(t, ph.h[i][j]/c[j], ph.h[j][i]/c[i], 100/rho, "symmetry")
				}
			}
			// Gibbs-Duhem: sum c_i d ln f_i = dp/(R T) along each concentration.
			for j := 0; j < m.n; j++ {
				s := c[j]
				for i := 0; i < m.n; i++ {
					s += c[i] * ph.h[i][j]
				}
				near(t, ph.pC[j]/(m.r*T), s, rho, "Gibbs-Duhem")
			}
		}
	}
}

// The phase of the overall composition takes a shorter way to the same figures.
func TestBulkPhaseAgreesWithGeneralPhase(t *testing.T) {
	for _, m := range blends(t) {
		var a, b phase
		var c Composition
		for i := 0; i < m.n; i++ {
			c[i] = 9000 * m.z[i]
		}
		m.atBulk(280, 9000, &a)
		m.at(280, &c, &b)
		near(t, b.p, a.p, 1)
		near(t, b.pRho, a.pRho, 1)
		for i := 0; i < m.n; i++ {
			near(t, b.m[i], a.m[i], 1)
			sum := 0.0
			for j := 0; j < m.n; j++ {
				sum += b.h[i][j]
			}
			near(t, sum, a.mRho[i], 10)
		}
		s := m.At(280, 9000*m.molarMass)
		near(t, a.p, s.Pressure, 1)
	}
}

// One component written twice is the pure fluid.
func TestSameComponentTwiceIsPure(t *testing.T) {
	f := fluid(t, "R-32")
	one, err := NewMixture([]*Fluid{f}, []float64{1}, nil)
	require.NoError(t, err)
	ps := &PairsData{GasConstant: f.Data.GasConstant, Pairs: []PairData{{I: "R-32", J: "R-32", BetaT: 1, GammaT: 1, BetaV: 1, GammaV: 1}}}
	two, err := NewMixture([]*Fluid{f, f}, []float64{0.3, 0.7}, ps)
	require.NoError(t, err)
	a, err := one.Line(Bubble, 200, 340)
	require.NoError(t, err)
	b, err := two.Line(Bubble, 200, 340)
	require.NoError(t, err)
	for _, T := range []float64{210, 273.15, 330} {
		x, ok := a.AtTemperature(T)
		require.True(t, ok)
		y, ok := b.AtTemperature(T)
		require.True(t, ok)
		assert.InEpsilon(t, x.Pressure, y.Pressure, 1e-10)
		assert.InEpsilon(t, x.Bulk, y.Bulk, 1e-10)
		assert.InEpsilon(t, 0.3/0.7, y.Incipient[0]/y.Incipient[1], 1e-9)
	}
}

// The order of components does not matter, though betas belong to an order.
func TestSwappedOrder(t *testing.T) {
	names := []string{"R-744", "R-32", "R-1234yf"}
	a := mixture(t, names, 0.06, 0.36, 0.58)
	b := mixture(t, []string{names[2], names[0], names[1]}, 0.58, 0.06, 0.36)
	for _, rho := range []float64{20, 300, 1000} {
		x, y := a.At(290, rho), b.At(290, rho)
		assert.InEpsilon(t, x.Pressure, y.Pressure, 1e-11)
		assert.InEpsilon(t, x.Enthalpy, y.Enthalpy, 1e-11)
		assert.InEpsilon(t, x.HeatCapacity, y.HeatCapacity, 1e-11)
	}
}

// A solved point has equal pressures and fugacities in both phases.
func TestEquilibriumConditions(t *testing.T) {
	for _, m := range blends(t) {
		for _, side := range []Side{Bubble, Dew} {
			l, err := m.Line(side, 210, 330)
			require.NoError(t, err)
			for T := 215.0; T < 330; T += 17 {
				s, ok := l.AtTemperature(T)
				require.True(t, ok)
				var bulk, inc phase
				rho := s.Bulk / m.molarMass
				m.atBulk(T, rho, &bulk)
				m.at(T, &s.Incipient, &inc)
				assert.InEpsilon(t, s.Pressure, bulk.p, 1e-7) // a liquid's pressure is rounded to about 1e-8 of its stiffness
				assert.InEpsilon(t, s.Pressure, inc.p, 1e-7)
				for i := 0; i < m.n; i++ {
					fb := math.Log(m.z[i]*rho) + bulk.m[i]
					fi := math.Log(s.Incipient[i]) + inc.m[i]
					assert.InDelta(t, fb, fi, 1e-9, "ln fugacity")
				}
				assert.LessOrEqual(t, s.Iterations, 4)
				again, ok := l.AtPressure(s.Pressure)
				require.True(t, ok)
				assert.InDelta(t, T, again.Temperature, 1e-7)
			}
		}
	}
}

func TestGridKeys(t *testing.T) {
	for _, p := range []float64{1, 1.0625, 1e5, 123456, 4e6, 5e-3} {
		k := GridKey(p)
		lo, hi := GridPressure(k), GridPressure(k+1)
		assert.True(t, lo <= p && p < hi)
		assert.InDelta(t, (p-lo)/(hi-lo), GridFraction(p), 1e-12)
	}
}

func TestBadDataAreRefused(t *testing.T) {
	good := fluid(t, "R-32")
	bad := good.Data
	bad.MolarMass = 0
	_, err := NewFluid("x", bad)
	assert.ErrorContains(t, err, "molar mass")
	bad = good.Data
	bad.Residual = ResidualData{Polynomial: [][3]float64{{1, 1, 1.5}}}
	_, err = NewFluid("x", bad)
	assert.ErrorContains(t, err, "exponent of delta")
	bad.Residual = ResidualData{}
	_, err = NewFluid("x", bad)
	assert.ErrorContains(t, err, "no residual terms")
	bad = good.Data
	bad.Start = StartData{}
	_, err = NewFluid("x", bad)
	assert.ErrorContains(t, err, "starting values")

	other := fluid(t, "R-717")
	_, err = NewMixture([]*Fluid{good, other}, []float64{0.5, 0.5}, published(t))
	assert.ErrorContains(t, err, "R-32 / R-717")
	_, err = NewMixture([]*Fluid{good}, []float64{0.5}, nil)
	assert.ErrorContains(t, err, "sum")
	_, err = NewMixture([]*Fluid{good, other}, []float64{1, 0}, published(t))
	assert.ErrorContains(t, err, "positive")
	_, err = NewMixture(nil, nil, nil)
	assert.Error(t, err)
}
