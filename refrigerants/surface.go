package refrigerants

import (
	"fmt"
	"math"

	"chargehand/refrigerants/helmholtz"
)

// Surface gives single-phase properties for the hot path by bicubic patches in
// (p, w), w = sqrt(theta + offset), theta the superheat over the dew point or
// the subcooling under the bubble point. Node values and slopes come from the
// equations of state; at saturation the surface equals the Curve exactly.
//
// Vapour is known from the dew point to 445 K, liquid from the bubble point to
// 180 K (or the triple point), both over the pressures of the curve; elsewhere
// the answer is NaN. Against the equations of state it is within 2e-6 in density,
// 0.5 J/kg in enthalpy and 2e-4 in heat capacity. It allocates nothing, is
// immutable and safe for concurrent use.
type Surface struct {
	vapor, liquid grid
}

// SinglePhase is a state on the surface.
type SinglePhase struct {
	Density      float64 // kg/m3
	Enthalpy     float64 // J/kg
	Entropy      float64 // J/(kg K)
	HeatCapacity float64 // isobaric, J/(kg K)
}

const (
	surfaceHighT = 445.0 // K, vapour
	wOffset      = 4.0   // K, sets how fine the patches are at saturation
	wStep        = 0.5   // sqrt(K), width of a patch
	minColumns   = 6
	edge         = 1e-6 // K past saturation still taken for saturation
)

var w0 = math.Sqrt(wOffset)

const (
	propVolume = iota
	propH
	propS
	propCp
)

// corner is a property at a node: f, df/dp, df/dw, d2f/dpdw at constant theta or p.
type corner struct{ f, p, w, pw float64 }

// grid is one phase: a row of nodes for every grid pressure of its line.
type grid struct {
	line  *saturationTable
	sign  float64 // T = Tsat + sign*theta
	rows  []int32 // index in nodes of the first node of each row
	nodes [][4]corner
	limit float64 // K, highest (vapour) or lowest (liquid) temperature
}

// Surface returns the single-phase surface, built on first use in some tens of
// milliseconds. It is safe for concurrent use.
func (r *Refrigerant) Surface() (*Surface, error) { return r.surface() }

func (r *Refrigerant) newSurface() (*Surface, error) {
	c, err := r.Curve()
	if err != nil {
		return nil, err
	}
	m := r.model
	s := &Surface{}
	s.vapor = grid{line: &c.vapor, sign: 1, limit: max(surfaceHighT, m.dew.HighT)}
	if err = s.vapor.build(m, m.dew, vaporVolume); err == nil {
		s.liquid = grid{line: &c.liquid, sign: -1, limit: m.bubble.LowT}
		err = s.liquid.build(m, m.bubble, liquidVolume)
	}
	if err != nil {
		return nil, fmt.Errorf("refrigerants: %s: surface: %w", r.rec.Name, err)
	}
	return s, nil
}

func (g *grid) build(m *model, l *helmholtz.Line, volume func(*helmholtz.State) (float64, float64, float64)) error {
	type satNode struct{ T, dTdp, rho float64 }
	var sat []satNode
	l.Nodes(func(_ int, T, dTdp, rho, _ float64) { sat = append(sat, satNode{T, dTdp, rho}) })
	var nodes []node
	for k, n := range sat {
		// Columns to pass the limit from this row and from its neighbours.
		far := n.T
		if g.sign > 0 && k > 0 {
			far = sat[k-1].T
		} else if g.sign < 0 && k+1 < len(sat) {
			far = sat[k+1].T
		}
		span := math.Max(0, g.sign*(g.limit-far))
		cols := max(minColumns, 2+int(math.Ceil((math.Sqrt(span+wOffset)-w0)/wStep)))
		p := helmholtz.GridPressure(g.line.first + k)
		rho, prev := n.rho, n.T
		nodes = nodes[:0]
		for j := 0; j < cols; j++ {
			w := w0 + float64(j)*wStep
			T := n.T + g.sign*(w*w-wOffset)
			if j > 0 {
				start := rho
				if g.sign > 0 {
					start *= prev / T
				} else if T > l.LowT {
					start = l.NearDensity(T)
				}
				var ok bool
				if rho, ok = m.density(p, T, start, g.sign > 0); !ok {
					return fmt.Errorf("density at %.6g Pa, %.2f K: %w", p, T, ErrNotConverged)
				}
			}
			s := m.mix.At(T, rho)
			s.Pressure = p
			nodes = append(nodes, newNode(&s, n.dTdp, volume))
			prev = T
		}
		g.rows = append(g.rows, int32(len(g.nodes)))
		g.append(nodes)
	}
	g.rows = append(g.rows, int32(len(g.nodes)))
	g.slopeCp()
	return nil
}

// append adds a row. Mixed derivatives come from differences along the row.
func (g *grid) append(row []node) {
	for j := range row {
		n := &row[j]
		dw := g.sign * 2 * (w0 + float64(j)*wStep) // dT/dw
		g.nodes = append(g.nodes, [4]corner{
			{n.v, n.vp, n.vt * dw, slope(len(row), j, func(i int) float64 { return row[i].vp })},
			{n.h, n.hp, n.ht * dw, slope(len(row), j, func(i int) float64 { return row[i].hp })},
			{n.s, n.sp, n.st * dw, slope(len(row), j, func(i int) float64 { return row[i].sp })},
			{n.cp, 0, slope(len(row), j, func(i int) float64 { return row[i].cp }), 0},
		})
	}
}

// slope is the fourth-order difference quotient of f at j of n points, per w.
func slope(n, j int, f func(int) float64) float64 {
	o := min(max(j-2, 0), n-5)
	c := &differences[j-o]
	s := 0.0
	for i, v := range c {
		s += v * f(o+i)
	}
	return s / (12 * wStep)
}

// differences are five-point first-derivative weights (times 12) at each of
// the five points (Abramowitz and Stegun 1964, Table 25.2).
var differences = [5][5]float64{
	{-25, 48, -36, 16, -3},
	{-3, -10, 18, -6, 1},
	{1, -8, 0, 8, -1},
	{-1, 6, -18, 10, 3},
	{3, -16, 36, -48, 25},
}

// slopeCp fills in the pressure derivatives of cp, by differences across rows.
func (g *grid) slopeCp() {
	rows := len(g.rows) - 1
	pAt := func(k int) float64 { return helmholtz.GridPressure(g.line.first + k) }
	for k := 0; k < rows; k++ {
		for j := 0; j < g.cols(k); j++ {
			lo, hi := k, k
			if k > 0 && j < g.cols(k-1) {
				lo = k - 1
			}
			if k+1 < rows && j < g.cols(k+1) {
				hi = k + 1
			}
			if lo == hi {
				continue
			}
			c := &g.node(k, j)[propCp]
			a, b := &g.node(lo, j)[propCp], &g.node(hi, j)[propCp]
			c.p = quadraticSlope(pAt(lo), pAt(k), pAt(hi), a.f, c.f, b.f)
			c.pw = quadraticSlope(pAt(lo), pAt(k), pAt(hi), a.w, c.w, b.w)
		}
	}
}

// quadraticSlope is the derivative at x1 of the parabola through three points;
// where two coincide, of the straight line through the others.
func quadraticSlope(x0, x1, x2, f0, f1, f2 float64) float64 {
	switch {
	case x0 == x1:
		return (f2 - f1) / (x2 - x1)
	case x1 == x2:
		return (f1 - f0) / (x1 - x0)
	}
	a, b := x1-x0, x2-x1
	return ((f1-f0)/a*b + (f2-f1)/b*a) / (a + b)
}

func (g *grid) cols(k int) int           { return int(g.rows[k+1] - g.rows[k]) }
func (g *grid) node(k, j int) *[4]corner { return &g.nodes[int(g.rows[k])+j] }

// basis are the cubic Hermite weights at u in an interval of the given width:
// of the two end values and of the two end slopes.
type basis struct{ f0, f1, d0, d1 float64 }

func newBasis(u, width float64) basis {
	v := 1 - u
	uu, vv := u*u, v*v
	return basis{vv * (1 + 2*u), uu * (1 + 2*v), u * vv * width, -uu * v * width}
}

// place is a position found on the grid.
type place struct {
	a, b   int // nodes of the lower and upper row, lower column
	bp, bw basis
	ok     bool
}

func (g *grid) row(p float64) (k int, u, width float64) {
	key := helmholtz.GridKey(p)
	return key - g.line.first, helmholtz.GridFraction(p), helmholtz.GridPressure(key+1) - helmholtz.GridPressure(key)
}

// find locates (p, T); ok is false outside the phase or the grid.
func (g *grid) find(p, T float64) (at place) {
	if !(p >= g.line.lowP && p <= g.line.highP) {
		return at
	}
	k, u, width := g.row(p)
	theta := g.sign * (T - g.line.t[k].at(u))
	if !(theta > 0) {
		if !(theta >= -edge) {
			return at
		}
		theta = 0
	}
	if g.sign*(g.limit-T) < -edge {
		return at
	}
	x := (math.Sqrt(theta+wOffset) - w0) * (1 / wStep)
	j := int(x)
	at.a, at.b = int(g.rows[k])+j, int(g.rows[k+1])+j
	at.bp = newBasis(u, width)
	at.bw = newBasis(x-float64(j), wStep)
	at.ok = at.a+1 < int(g.rows[k+1]) && at.b+1 < int(g.rows[k+2])
	return at
}

// blend interpolates property i at a place.
func (g *grid) blend(at *place, i int) float64 {
	a0, a1 := &g.nodes[at.a][i], &g.nodes[at.a+1][i]
	b0, b1 := &g.nodes[at.b][i], &g.nodes[at.b+1][i]
	q := &at.bp
	f0 := q.f0*a0.f + q.f1*b0.f + q.d0*a0.p + q.d1*b0.p
	f1 := q.f0*a1.f + q.f1*b1.f + q.d0*a1.p + q.d1*b1.p
	d0 := q.f0*a0.w + q.f1*b0.w + q.d0*a0.pw + q.d1*b0.pw
	d1 := q.f0*a1.w + q.f1*b1.w + q.d0*a1.pw + q.d1*b1.pw
	w := &at.bw
	return w.f0*f0 + w.f1*f1 + w.d0*d0 + w.d1*d1
}

func (g *grid) property(p, T float64, i int) float64 {
	at := g.find(p, T)
	if !at.ok {
		return math.NaN()
	}
	return g.blend(&at, i)
}

func (g *grid) state(p, T float64) SinglePhase {
	at := g.find(p, T)
	if !at.ok {
		n := math.NaN()
		return SinglePhase{n, n, n, n}
	}
	s := SinglePhase{g.blend(&at, propVolume), g.blend(&at, propH), g.blend(&at, propS), g.blend(&at, propCp)}
	if g.sign > 0 {
		s.Density = p / s.Density
	}
	return s
}

// invert finds the temperature at which property i (h or s, which grow with
// temperature) has the value f at pressure p.
func (g *grid) invert(p, f float64, i int) float64 {
	if !(p >= g.line.lowP && p <= g.line.highP) {
		return math.NaN()
	}
	k, u, width := g.row(p)
	q := newBasis(u, width)
	at := func(j int) (value, slope float64) {
		a, b := &g.nodes[int(g.rows[k])+j][i], &g.nodes[int(g.rows[k+1])+j][i]
		return q.f0*a.f + q.f1*b.f + q.d0*a.p + q.d1*b.p, q.f0*a.w + q.f1*b.w + q.d0*a.pw + q.d1*b.pw
	}
	last := min(g.cols(k), g.cols(k+1)) - 1
	f *= g.sign // so that the property grows with theta
	lo, hi := 0, last
	flo, dlo := at(lo)
	fhi, dhi := at(hi)
	flo, dlo, fhi, dhi = flo*g.sign, dlo*g.sign, fhi*g.sign, dhi*g.sign
	if !(f > flo) {
		if f >= flo-edge*dlo {
			return g.line.t[k].at(u)
		}
		return math.NaN()
	}
	if !(f <= fhi) {
		return math.NaN()
	}
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		v, d := at(mid)
		if v *= g.sign; v <= f {
			lo, flo, dlo = mid, v, d*g.sign
		} else {
			hi, fhi, dhi = mid, v, d*g.sign
		}
	}
	c := newCubic(flo, dlo*wStep, fhi, dhi*wStep)
	x := (f - flo) / (fhi - flo)
	for range 8 {
		d := (c.at(x) - f) / (c[1] + x*(2*c[2]+x*3*c[3]))
		x -= d
		if math.Abs(d) < 1e-12 {
			break
		}
	}
	w := w0 + (float64(lo)+x)*wStep
	T := g.line.t[k].at(u) + g.sign*(w*w-wOffset)
	if g.sign*(g.limit-T) < -edge {
		return math.NaN()
	}
	return T
}

// Vapor returns the superheated vapour at absolute pressure pPa (Pa), tK (K).
func (s *Surface) Vapor(pPa, tK float64) SinglePhase { return s.vapor.state(pPa, tK) }

// Liquid returns the subcooled liquid at absolute pressure pPa (Pa), tK (K).
func (s *Surface) Liquid(pPa, tK float64) SinglePhase { return s.liquid.state(pPa, tK) }

// VaporEnthalpy returns the enthalpy of vapour (J/kg).
func (s *Surface) VaporEnthalpy(pPa, tK float64) float64 { return s.vapor.property(pPa, tK, propH) }

// VaporDensity returns the density of vapour (kg/m3).
func (s *Surface) VaporDensity(pPa, tK float64) float64 {
	return pPa / s.vapor.property(pPa, tK, propVolume)
}

// VaporEntropy returns the entropy of vapour (J/(kg K)).
func (s *Surface) VaporEntropy(pPa, tK float64) float64 { return s.vapor.property(pPa, tK, propS) }

// LiquidEnthalpy returns the enthalpy of liquid (J/kg).
func (s *Surface) LiquidEnthalpy(pPa, tK float64) float64 { return s.liquid.property(pPa, tK, propH) }

// LiquidDensity returns the density of liquid (kg/m3).
func (s *Surface) LiquidDensity(pPa, tK float64) float64 {
	return s.liquid.property(pPa, tK, propVolume)
}

// VaporTemperature returns the temperature (K) of vapour of enthalpy hJkg (J/kg).
func (s *Surface) VaporTemperature(pPa, hJkg float64) float64 {
	return s.vapor.invert(pPa, hJkg, propH)
}

// VaporTemperatureAtEntropy returns the temperature (K) of vapour of entropy
// sJkgK (J/(kg K)).
func (s *Surface) VaporTemperatureAtEntropy(pPa, sJkgK float64) float64 {
	return s.vapor.invert(pPa, sJkgK, propS)
}

// LiquidTemperature returns the temperature (K) of liquid of enthalpy hJkg (J/kg).
func (s *Surface) LiquidTemperature(pPa, hJkg float64) float64 {
	return s.liquid.invert(pPa, hJkg, propH)
}
