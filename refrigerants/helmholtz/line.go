package helmholtz

import (
	"errors"
	"fmt"
	"math"
)

// Line is the bubble or dew line of a Mixture: solved points close enough
// together that interpolation starts any further solve within a part in a
// million of its answer. It is immutable and safe for concurrent use.
//
// Nodes stand at pressures whose binary mantissa has only its first gridBits
// bits set: 16 to the octave, found from the bits of a pressure without a
// logarithm.
type Line struct {
	m     *Mixture
	side  Side
	first int // grid key of the first node
	nodes []solution

	LowT, HighT float64 // K, where the line may be used
	LowP, HighP float64 // Pa
}

// gridBits is the number of mantissa bits that tell two grid pressures apart.
const gridBits = 4

// GridKey returns the index of the grid interval holding p, GridPressure its
// lower end.
func GridKey(p float64) int        { return int(math.Float64bits(p) >> (52 - gridBits)) }
func GridPressure(key int) float64 { return math.Float64frombits(uint64(key) << (52 - gridBits)) }
func GridFraction(p float64) float64 { // position in the interval, 0 to 1, linear in p
	return math.Float64frombits(math.Float64bits(p)<<gridBits&(1<<52-1)|0x3ff<<52) - 1
}

// ErrNotConverged reports a solver that gave up.
var ErrNotConverged = errors.New("helmholtz: not converged")

// Line traces the bubble or dew line from lowT to highT (K).
func (m *Mixture) Line(side Side, lowT, highT float64) (*Line, error) {
	l := &Line{m: m, side: side, LowT: lowT, HighT: highT}
	pc := 0.0
	for i := 0; i < m.n; i++ {
		pc += m.z[i] * m.fluids[i].Data.Start.PSat.Yr
	}
	start, ok := solution{}, false
	var key int
	for _, f := range []float64{0.2, 0.1, 0.3, 0.05, 0.4} {
		key = GridKey(f * pc)
		p := GridPressure(key)
		m.coldStart(side, p, &start)
		if ok = m.saturate(side, false, math.Log(p), &start); ok {
			break
		}
	}
	if !ok {
		return nil, fmt.Errorf("%w: no first point of the saturation line", ErrNotConverged)
	}
	down, err := l.march(start, key, -1, math.Log(lowT))
	if err != nil {
		return nil, err
	}
	up, err := l.march(start, key, 1, math.Log(highT))
	if err != nil {
		return nil, err
	}
	l.first = key - len(down)
	for i := len(down) - 1; i >= 0; i-- {
		l.nodes = append(l.nodes, down[i])
	}
	l.nodes = append(append(l.nodes, start), up...)
	var s Saturated
	if s, ok = l.AtTemperature(lowT); ok {
		l.LowP = s.Pressure
		s, ok = l.AtTemperature(highT)
		l.HighP = s.Pressure
	}
	if !ok {
		return nil, fmt.Errorf("%w: ends of the saturation line", ErrNotConverged)
	}
	return l, nil
}

// march goes along the grid from s in one direction until ln T passes the end.
func (l *Line) march(s solution, key, dir int, end float64) ([]solution, error) {
	var out []solution
	prev := s
	for (end-s.x[0])*float64(dir) > 0 {
		key += dir
		lnP := math.Log(GridPressure(key))
		h := lnP - s.lnP
		next := s
		for i := range next.x {
			d := s.dx[i]
			if len(out) > 0 { // curvature from the last two tangents
				d += 0.5 * h * (s.dx[i] - prev.dx[i]) / (s.lnP - prev.lnP)
			}
			next.x[i] += h * d
		}
		if !l.m.saturate(l.side, false, lnP, &next) {
			// One try in eight smaller steps before giving up.
			next = s
			for k := 1; k <= 8; k++ {
				q := s.lnP + h*float64(k)/8
				for i := range next.x {
					next.x[i] += h / 8 * next.dx[i]
				}
				if !l.m.saturate(l.side, false, q, &next) {
					return nil, fmt.Errorf("%w: saturation line stops at %.2f K", ErrNotConverged, math.Exp(s.x[0]))
				}
			}
		}
		prev, s = s, next
		out = append(out, s)
		if len(out) > 600 {
			return nil, fmt.Errorf("%w: saturation line does not end", ErrNotConverged)
		}
	}
	return out, nil
}

// hermite interpolates all variables between two nodes at ln p.
func hermite(a, b *solution, lnP float64, x *vars) {
	h := b.lnP - a.lnP
	u := (lnP - a.lnP) / h
	v := 1 - u
	fa, fb := (1+2*u)*v*v, u*u*(3-2*u)
	ga, gb := h*u*v*v, -h*u*u*v
	for i := range x {
		x[i] = fa*a.x[i] + fb*b.x[i] + ga*a.dx[i] + gb*b.dx[i]
	}
}

// AtPressure solves for the point at pressure p (Pa); p must lie on the line.
func (l *Line) AtPressure(p float64) (Saturated, bool) {
	k := GridKey(p) - l.first
	if k < 0 || k >= len(l.nodes) {
		return Saturated{}, false
	}
	k = min(k, len(l.nodes)-2)
	s := solution{lnP: math.Log(p)}
	hermite(&l.nodes[k], &l.nodes[k+1], s.lnP, &s.x)
	if !l.m.saturate(l.side, false, s.lnP, &s) {
		return Saturated{}, false
	}
	return l.m.saturated(&s, p), true
}

// Near returns temperature (K) and bulk density (kg/m3) on the line at p (Pa),
// interpolated: good to a part in a million, worse in the last interval before
// the critical point. p must lie on the line.
func (l *Line) Near(p float64) (T, density float64) {
	k := min(max(GridKey(p)-l.first, 0), len(l.nodes)-2)
	var x vars
	hermite(&l.nodes[k], &l.nodes[k+1], math.Log(p), &x)
	return math.Exp(x[0]), math.Exp(x[1]) * l.m.molarMass
}

// AtTemperature solves for the point at T (K); T must lie on the line.
func (l *Line) AtTemperature(T float64) (Saturated, bool) {
	s, ok := l.solveT(T)
	if !ok {
		return Saturated{}, false
	}
	return l.m.saturated(&s, math.Exp(s.lnP)), true
}

func (l *Line) solveT(T float64) (solution, bool) {
	s := solution{}
	if !l.near(math.Log(T), &s) {
		return s, false
	}
	ok := l.m.saturate(l.side, true, s.lnP, &s)
	return s, ok
}

// NearDensity returns the bulk density (kg/m3) on the line at T (K),
// interpolated to about a part in a million: a starting value. Past the ends of
// the line it is that of the end.
func (l *Line) NearDensity(T float64) float64 {
	s := solution{}
	first, last := &l.nodes[0], &l.nodes[len(l.nodes)-1]
	lnT := min(max(math.Log(T), first.x[0]), last.x[0])
	l.near(lnT, &s)
	return math.Exp(s.x[1]) * l.m.molarMass
}

// near interpolates the line at ln T; false outside it.
func (l *Line) near(lnT float64, s *solution) bool {
	lo, hi := 0, len(l.nodes)-1
	if !(lnT >= l.nodes[lo].x[0]-1e-9 && lnT <= l.nodes[hi].x[0]+1e-9) {
		return false
	}
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; l.nodes[mid].x[0] <= lnT {
			lo = mid
		} else {
			hi = mid
		}
	}
	a, b := &l.nodes[lo], &l.nodes[hi]
	h := b.x[0] - a.x[0]
	u := (lnT - a.x[0]) / h
	v := 1 - u
	s.lnP = (1+2*u)*v*v*a.lnP + u*u*(3-2*u)*b.lnP + h*u*v*(v/a.dx[0]-u/b.dx[0])
	hermite(a, b, s.lnP, &s.x)
	s.x[0] = lnT
	return true
}

func (m *Mixture) saturated(s *solution, p float64) Saturated {
	out := Saturated{Temperature: math.Exp(s.x[0]), Pressure: p, Bulk: math.Exp(s.x[1]) * m.molarMass, Iterations: s.it}
	for i := 0; i < m.n; i++ {
		out.Incipient[i] = math.Exp(s.x[2+i])
	}
	return out
}

// Nodes calls yield for every grid node in order of pressure, with the bulk
// density (kg/m3) and the tangents dT/dp and d(density)/dp along the line.
func (l *Line) Nodes(yield func(key int, T, dTdp, density, dRhodp float64)) {
	for i := range l.nodes {
		s := &l.nodes[i]
		p := GridPressure(l.first + i)
		T, rho := math.Exp(s.x[0]), math.Exp(s.x[1])*l.m.molarMass
		yield(l.first+i, T, T*s.dx[0]/p, rho, rho*s.dx[1]/p)
	}
}
