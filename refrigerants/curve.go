package refrigerants

import (
	"math"

	"chargehand/refrigerants/helmholtz"
)

// Curve is the saturation curve of a refrigerant for the hot path: piecewise
// cubics through solved points, their slopes taken from the equations of state
// along the saturation line. Against a full solve it is within 1e-5 K up to 0.98
// of the critical temperature and 5e-4 K beyond. It allocates nothing, is
// immutable and safe for concurrent use. Arguments outside PressureRange (or the
// temperatures belonging to it) give NaN.
type Curve struct {
	liquid, vapor saturationTable
	low, high     float64
}

// Saturated is a state on the saturation curve.
type Saturated struct {
	Temperature float64 // K
	Density     float64 // kg/m3
	Enthalpy    float64 // J/kg
	Entropy     float64 // J/(kg K)
}

// cubic is c0 + c1 u + c2 u^2 + c3 u^3 over one interval, u from 0 to 1.
type cubic [4]float64

func (c *cubic) at(u float64) float64 { return c[0] + u*(c[1]+u*(c[2]+u*c[3])) }

// newCubic runs from f0 to f1 with end slopes d0, d1 per unit of u.
func newCubic(f0, d0, f1, d1 float64) cubic {
	return cubic{f0, d0, 3*(f1-f0) - 2*d0 - d1, 2*(f0-f1) + d0 + d1}
}

// saturationTable is one line, bubble or dew. Intervals in pressure are those
// of helmholtz.GridKey: 16 to the octave and found without a logarithm.
type saturationTable struct {
	first     int // grid key of the first interval
	lowP      float64
	highP     float64
	t         []cubic // T(p), K
	rest      []restCubics
	lowT      float64
	highT     float64
	t0        float64 // start and inverse width of the temperature grid of p
	perKelvin float64
	p         []cubic // p(T), Pa
}

// restCubics are the further properties over one pressure interval. volume is
// the density of liquid, and p/density of vapour (which varies little).
type restCubics struct{ volume, h, s cubic }

// Curve returns the saturation curve, built on first use in a few
// milliseconds. It is safe for concurrent use.
func (r *Refrigerant) Curve() (*Curve, error) { return r.curve() }

func (r *Refrigerant) newCurve() (*Curve, error) {
	m, err := r.solved()
	if err != nil {
		return nil, err
	}
	c := &Curve{
		liquid: newSaturationTable(m, m.bubble, liquidVolume),
		vapor:  newSaturationTable(m, m.dew, vaporVolume),
	}
	c.low = math.Max(c.liquid.lowP, c.vapor.lowP)
	c.high = math.Min(c.liquid.highP, c.vapor.highP)
	return c, nil
}

// node is one grid point of a table in a coordinate system (p, theta) where
// theta is the distance from saturation: values and derivatives of volume, h, s.
type node struct{ v, vp, vt, h, hp, ht, s, sp, st, cp float64 }

// vaporVolume and liquidVolume give the volume variable of each phase with its
// derivatives in p and T.
func vaporVolume(s *helmholtz.State) (v, vp, vt float64) {
	v = s.Pressure / s.Density
	return v, 1/s.Density - v/(s.Density*s.DpDRho), -v / s.Density * s.DrhoDT()
}

func liquidVolume(s *helmholtz.State) (v, vp, vt float64) {
	return s.Density, 1 / s.DpDRho, s.DrhoDT()
}

// newNode turns a state into a node. dTdp is the slope of the saturation line
// that theta counts from; p replaces the state's own pressure, which for a
// liquid carries rounding.
func newNode(s *helmholtz.State, dTdp float64, volume func(*helmholtz.State) (float64, float64, float64)) node {
	v, vp, vt := volume(s)
	n := node{v: v, vt: vt, h: s.Enthalpy, ht: s.HeatCapacity, s: s.Entropy, st: s.HeatCapacity / s.Temperature, cp: s.HeatCapacity}
	n.vp = vp + vt*dTdp
	n.hp = s.DhDp() + n.ht*dTdp
	n.sp = s.DsDp() + n.st*dTdp
	return n
}

func newSaturationTable(m *model, l *helmholtz.Line, volume func(*helmholtz.State) (float64, float64, float64)) saturationTable {
	t := saturationTable{lowP: l.LowP, highP: l.HighP, lowT: l.LowT, highT: l.HighT}
	var prev node
	var prevT, prevD float64
	l.Nodes(func(key int, T, dTdp, density, _ float64) {
		s := m.mix.At(T, density)
		s.Pressure = helmholtz.GridPressure(key)
		n := newNode(&s, dTdp, volume)
		if len(t.t) == 0 && prevT == 0 {
			t.first = key
		} else {
			w := s.Pressure - helmholtz.GridPressure(key-1)
			t.t = append(t.t, newCubic(prevT, prevD*w, T, dTdp*w))
			t.rest = append(t.rest, restCubics{
				newCubic(prev.v, prev.vp*w, n.v, n.vp*w),
				newCubic(prev.h, prev.hp*w, n.h, n.hp*w),
				newCubic(prev.s, prev.sp*w, n.s, n.sp*w),
			})
		}
		prev, prevT, prevD = n, T, dTdp
	})
	t.invert()
	return t
}

// invert builds p(T) on a grid of about 1 K from T(p).
func (t *saturationTable) invert() {
	n := int(math.Ceil(t.highT - t.lowT))
	t.t0 = t.lowT
	t.perKelvin = float64(n) / (t.highT - t.lowT)
	width := 1 / t.perKelvin
	var p0, d0 float64
	k := 0
	for i := 0; i <= n; i++ {
		T := t.t0 + float64(i)*width
		if i == n {
			T = t.highT
		}
		for k < len(t.t)-1 && t.t[k].at(1) < T {
			k++
		}
		c := &t.t[k]
		u := 0.5
		for range 30 {
			d := (c.at(u) - T) / (c[1] + u*(2*c[2]+u*3*c[3]))
			u -= d
			if math.Abs(d) < 1e-14 {
				break
			}
		}
		lo, hi := helmholtz.GridPressure(t.first+k), helmholtz.GridPressure(t.first+k+1)
		p := lo + u*(hi-lo)
		d := (hi - lo) / (c[1] + u*(2*c[2]+u*3*c[3]))
		if i > 0 {
			t.p = append(t.p, newCubic(p0, d0*width, p, d*width))
		}
		p0, d0 = p, d
	}
}

func (t *saturationTable) temperature(p float64) float64 {
	if !(p >= t.lowP && p <= t.highP) {
		return math.NaN()
	}
	return t.t[helmholtz.GridKey(p)-t.first].at(helmholtz.GridFraction(p))
}

func (t *saturationTable) pressure(T float64) float64 {
	if !(T >= t.lowT && T <= t.highT) {
		return math.NaN()
	}
	x := (T - t.t0) * t.perKelvin
	k := min(int(x), len(t.p)-1)
	return t.p[k].at(x - float64(k))
}

// state holds the volume variable of the table where its density stands.
func (t *saturationTable) state(p float64) Saturated {
	if !(p >= t.lowP && p <= t.highP) {
		n := math.NaN()
		return Saturated{n, n, n, n}
	}
	k, u := helmholtz.GridKey(p)-t.first, helmholtz.GridFraction(p)
	r := &t.rest[k]
	return Saturated{t.t[k].at(u), r.volume.at(u), r.h.at(u), r.s.at(u)}
}

// BubbleTemperature returns the bubble point (K) at absolute pressure pPa (Pa).
func (c *Curve) BubbleTemperature(pPa float64) float64 { return c.liquid.temperature(pPa) }

// DewTemperature returns the dew point (K) at absolute pressure pPa (Pa).
func (c *Curve) DewTemperature(pPa float64) float64 { return c.vapor.temperature(pPa) }

// BubblePressure returns the absolute pressure (Pa) of the bubble point at tK (K).
func (c *Curve) BubblePressure(tK float64) float64 { return c.liquid.pressure(tK) }

// DewPressure returns the absolute pressure (Pa) of the dew point at tK (K).
func (c *Curve) DewPressure(tK float64) float64 { return c.vapor.pressure(tK) }

// Liquid returns the saturated liquid at the bubble point of pPa (Pa).
func (c *Curve) Liquid(pPa float64) Saturated { return c.liquid.state(pPa) }

// Vapor returns the saturated vapour at the dew point of pPa (Pa).
func (c *Curve) Vapor(pPa float64) Saturated {
	s := c.vapor.state(pPa)
	s.Density = pPa / s.Density // the table holds p/density
	return s
}

// PressureRange returns the absolute pressures (Pa) between which both bubble
// and dew point are known: from 180 K (or the triple point) to 0.99 of the
// critical temperature.
func (c *Curve) PressureRange() (low, high float64) { return c.low, c.high }
