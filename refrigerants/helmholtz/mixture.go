package helmholtz

import (
	"fmt"
	"math"
)

// MaxComponents is the largest number of components a Mixture takes. Solvers
// work in fixed arrays of this size and allocate nothing.
const MaxComponents = 6

// Composition holds mole fractions or molar concentrations by component.
type Composition [MaxComponents]float64

type square [MaxComponents][MaxComponents]float64

// Mixture is a fluid of one composition z: a pure fluid (one component, with
// the gas constant of its paper) or a blend in the multi-fluid model.
// It is immutable and safe for concurrent use.
type Mixture struct {
	n         int
	fluids    [MaxComponents]*Fluid
	z         Composition
	r         float64
	molarMass float64

	// Reducing functions Y = sum x_i^2 y_ii + sum_{i<j} c_ij x_i x_j (x_i+x_j)/(B_ij x_i + x_j).
	t, v reducing
	pair [MaxComponents * (MaxComponents - 1) / 2]pair
	np   int

	maxD, maxL int
	bulk       bulk // everything that depends on z alone
}

type reducing struct {
	own  [MaxComponents]float64
	c, b square // c = 2 beta gamma Y_ij, b = beta^2, for i < j
}

// pair is a departure function; its terms already carry the factor F.
type pair struct {
	i, j int
	res  terms
}

// NewMixture puts pure fluids together by mole fractions z (which must sum to
// one) with the binary parameters of ps. Every pair must be listed there.
func NewMixture(fluids []*Fluid, z []float64, ps *PairsData) (*Mixture, error) {
	n := len(fluids)
	if n == 0 || n > MaxComponents || len(z) != n {
		return nil, fmt.Errorf("helmholtz: %d components and %d mole fractions: 1 to %d of both are needed", n, len(z), MaxComponents)
	}
	m := &Mixture{n: n, r: fluids[0].Data.GasConstant}
	if n > 1 {
		m.r = ps.GasConstant
	}
	sum := 0.0
	for i, f := range fluids {
		if !(z[i] > 0) {
			return nil, fmt.Errorf("helmholtz: mole fraction of %s is %g, it must be positive", f.Name, z[i])
		}
		sum += z[i]
		m.fluids[i], m.z[i] = f, z[i]
		m.molarMass += z[i] * f.Data.MolarMass
		m.t.own[i], m.v.own[i] = f.Data.ReducingT, 1/f.Data.ReducingRho
		m.maxD = max(m.maxD, f.residual.maxD)
		m.maxL = max(m.maxL, f.residual.maxL)
	}
	if math.Abs(sum-1) > 1e-9 {
		return nil, fmt.Errorf("helmholtz: mole fractions sum to %.12g, not 1", sum)
	}
	for i := 0; i < n; i++ {
		for j := i + 1; j < n; j++ {
			if err := m.addPair(i, j, ps); err != nil {
				return nil, err
			}
		}
	}
	m.bulk = m.newBulk()
	if err := m.bulk.merged.finish(); err != nil {
		return nil, fmt.Errorf("helmholtz: %w", err)
	}
	return m, nil
}

func (m *Mixture) addPair(i, j int, ps *PairsData) error {
	a, b := m.fluids[i], m.fluids[j]
	p, ok := ps.Find(a.Name, b.Name)
	if !ok {
		return fmt.Errorf("helmholtz: no binary parameters for the pair %s / %s", a.Name, b.Name)
	}
	tij := math.Sqrt(m.t.own[i] * m.t.own[j])
	vij := math.Cbrt(m.v.own[i]) + math.Cbrt(m.v.own[j])
	vij = vij * vij * vij / 8
	m.t.c[i][j], m.t.b[i][j] = 2*p.BetaT*p.GammaT*tij, p.BetaT*p.BetaT
	m.v.c[i][j], m.v.b[i][j] = 2*p.BetaV*p.GammaV*vij, p.BetaV*p.BetaV
	if p.F == 0 {
		return nil
	}
	d, ok := ps.Departures[p.Departure]
	if !ok {
		return fmt.Errorf("helmholtz: pair %s / %s: no departure function named %q", a.Name, b.Name, p.Departure)
	}
	q := pair{i: i, j: j}
	for _, c := range d.Terms {
		if err := q.res.addPower(p.F*c[0], c[1], c[2], c[3]); err != nil {
			return fmt.Errorf("helmholtz: departure function %s: %w", p.Departure, err)
		}
	}
	if err := q.res.finish(); err != nil {
		return fmt.Errorf("helmholtz: departure function %s: %w", p.Departure, err)
	}
	m.maxD = max(m.maxD, q.res.maxD)
	m.maxL = max(m.maxL, q.res.maxL)
	m.pair[m.np] = q
	m.np++
	return nil
}

// N is the number of components.
func (m *Mixture) N() int { return m.n }

// MolarMass of the blend in kg/mol.
func (m *Mixture) MolarMass() float64 { return m.molarMass }

// GasConstant in J/(mol K): CODATA for blends, the paper's own for a pure fluid.
func (m *Mixture) GasConstant() float64 { return m.r }

// MoleFractions of the blend.
func (m *Mixture) MoleFractions() Composition { return m.z }

// reduced is a reducing function at a composition with the combinations of its
// derivatives that concentrations need (see doc.go): value Y,
// first[i] = (Y_i - sum x_k Y_k)/Y, second[i][j] = (Y_ij - u_i - u_j + U)/Y with
// u_i = sum_l x_l Y_il and U = sum x_k u_k.
type reduced struct {
	y      float64
	first  Composition
	second square
}

func (r *reducing) at(x *Composition, n int, out *reduced) {
	if n == 1 {
		out.y, out.first[0], out.second[0][0] = r.own[0], 0, 0
		return
	}
	var g Composition
	h := &out.second
	y := 0.0
	for i := 0; i < n; i++ {
		o := r.own[i]
		y += x[i] * x[i] * o
		g[i] = 2 * x[i] * o
		h[i][i] = 2 * o
	}
	for i := 0; i < n; i++ {
		for j := i + 1; j < n; j++ {
			c, b, xi, xj := r.c[i][j], r.b[i][j], x[i], x[j]
			var f, fi, fj, fii, fjj, fij float64
			if b == 1 {
				f, fi, fj, fij = xi*xj, xj, xi, 1
			} else {
				q := 1 / (b*xi + xj)
				f = xi * xj * (xi + xj) * q
				fi = (2*xi*xj + xj*xj - f*b) * q
				fj = (2*xi*xj + xi*xi - f) * q
				fii = (2*xj - 2*fi*b) * q
				fjj = (2*xi - 2*fj) * q
				fij = (2*xi + 2*xj - fi - fj*b) * q
			}
			y += c * f
			g[i] += c * fi
			g[j] += c * fj
			h[i][i] += c * fii
			h[j][j] += c * fjj
			h[i][j] = c * fij
			h[j][i] = c * fij
		}
	}
	var u Composition
	mean, U := 0.0, 0.0
	for i := 0; i < n; i++ {
		mean += x[i] * g[i]
		for l := 0; l < n; l++ {
			u[i] += x[l] * h[i][l]
		}
		U += x[i] * u[i]
	}
	inv := 1 / y
	for i := 0; i < n; i++ {
		out.first[i] = (g[i] - mean) * inv
		for j := 0; j < n; j++ {
			h[i][j] = (h[i][j] - u[i] - u[j] + U) * inv
		}
	}
	out.y = y
}
