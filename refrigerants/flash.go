package refrigerants

import (
	"math"

	"chargehand/refrigerants/helmholtz"
)

// Phase says what is present.
type Phase uint8

const (
	LiquidPhase Phase = iota
	TwoPhase
	VaporPhase
)

// String returns "liquid", "two-phase" or "vapor".
func (p Phase) String() string {
	return [...]string{"liquid", "two-phase", "vapor"}[min(p, VaporPhase)]
}

// Flash is the state found from pressure and enthalpy or entropy. In the
// two-phase region HeatCapacity and SpeedOfSound are not defined and zero.
type Flash struct {
	State
	Phase   Phase
	Quality float64 // mass of vapour over total mass: 0 in liquid, 1 in vapour
}

// AtEnthalpy finds the state at absolute pressure pPa (Pa) and enthalpy hJkg
// (J/kg), across liquid, two-phase and vapour. Two-phase states of a blend are
// true equilibria: both phases have their own composition.
func (r *Refrigerant) AtEnthalpy(pPa, hJkg float64) (Flash, error) {
	return r.flash(pPa, hJkg, quantityH)
}

// AtEntropy finds the state at absolute pressure pPa (Pa) and entropy sJkgK
// (J/(kg K)).
func (r *Refrigerant) AtEntropy(pPa, sJkgK float64) (Flash, error) {
	return r.flash(pPa, sJkgK, quantityS)
}

// caloric is the quantity given beside the pressure: enthalpy or entropy.
type caloric struct {
	name, unit string
	entropy    bool
}

var (
	quantityH = &caloric{"enthalpy", "J/kg", false}
	quantityS = &caloric{"entropy", "J/(kg K)", true}
)

func (q *caloric) of(s *helmholtz.State) float64 {
	if q.entropy {
		return s.Entropy
	}
	return s.Enthalpy
}

// slope is the derivative in temperature at constant pressure.
func (q *caloric) slope(s *helmholtz.State) float64 {
	if q.entropy {
		return s.HeatCapacity / s.Temperature
	}
	return s.HeatCapacity
}

func (r *Refrigerant) flash(p, f float64, q *caloric) (Flash, error) {
	m, err := r.solved()
	if err != nil {
		return Flash{}, err
	}
	low, high := math.Max(m.bubble.LowP, m.dew.LowP), math.Min(m.bubble.HighP, m.dew.HighP)
	if !(p >= low && p <= high) {
		return Flash{}, &RangeError{r.rec.Name, "pressure", p, "Pa", low, high, saturationWhy}
	}
	bubble, ok1 := m.bubble.AtPressure(p)
	dew, ok2 := m.dew.AtPressure(p)
	if !ok1 || !ok2 {
		return Flash{}, r.notConverged("saturation at pressure", p, 0)
	}
	liq := m.mix.At(bubble.Temperature, bubble.Bulk)
	vap := m.mix.At(dew.Temperature, dew.Bulk)
	switch {
	case f >= q.of(&vap):
		s, ok, edge := m.single(p, f, q, vap, m.maxT, true)
		if edge {
			return Flash{}, &RangeError{r.rec.Name, q.name, f, q.unit, r.coldest(m, p, q), q.of(&s), "at this pressure"}
		}
		if !ok {
			return Flash{}, r.notConverged("vapour at pressure and "+q.name, p, f)
		}
		return Flash{public(s), VaporPhase, 1}, nil
	case f <= q.of(&liq):
		s, ok, edge := m.single(p, f, q, liq, m.bubble.LowT, false)
		if edge {
			return Flash{}, &RangeError{r.rec.Name, q.name, f, q.unit, q.of(&s), r.hottest(m, p, q), "at this pressure"}
		}
		if !ok {
			return Flash{}, r.notConverged("liquid at pressure and "+q.name, p, f)
		}
		return Flash{public(s), LiquidPhase, 0}, nil
	case f > q.of(&liq) && f < q.of(&vap):
		s, ok := m.mix.Flash(p, f*m.mix.MolarMass(), &bubble, &dew, q.entropy)
		if !ok {
			return Flash{}, r.notConverged("two-phase state at pressure and "+q.name, p, f)
		}
		return m.mixed(p, &s), nil
	}
	return Flash{}, &RangeError{r.rec.Name, q.name, f, q.unit, r.coldest(m, p, q), r.hottest(m, p, q), "at this pressure"}
}

// coldest and hottest are the ends of the range of q at p, for messages.
func (r *Refrigerant) coldest(m *model, p float64, q *caloric) float64 {
	s, err := r.liquid(m, p, m.bubble.LowT)
	if err != nil {
		return math.Inf(-1)
	}
	return q.of(&s)
}

func (r *Refrigerant) hottest(m *model, p float64, q *caloric) float64 {
	s, err := r.vapor(m, p, m.maxT)
	if err != nil {
		return math.Inf(1)
	}
	return q.of(&s)
}

// single solves q(p, T) = f in one phase from its saturated state s towards
// the temperature end: Newton kept in a bracket. edge is true, and the state at
// the end returned, if f lies beyond it.
func (m *model) single(p, f float64, q *caloric, s helmholtz.State, end float64, vapor bool) (_ helmholtz.State, ok, edge bool) {
	at := func(T float64) bool {
		start := s.Density
		if vapor {
			start *= s.Temperature / T
		} else {
			start = m.bubble.NearDensity(T)
		}
		rho, ok := m.density(p, T, start, vapor)
		if ok {
			s = m.mix.At(T, rho)
		}
		return ok
	}
	sat := s
	lo, hi := s.Temperature, end
	if !vapor {
		lo, hi = end, s.Temperature
	}
	T := s.Temperature + (f-q.of(&s))/q.slope(&s)
	checked := false
	for range 60 {
		if !(T > lo && T < hi) {
			if !checked && (T >= hi) == vapor { // the far end: is f within it?
				checked = true
				if !at(end) {
					return s, false, false
				}
				if (q.of(&s) < f) == vapor && q.of(&s) != f {
					return s, false, true
				}
				s = sat
			}
			T = 0.5 * (lo + hi)
		}
		if !at(T) {
			return s, false, false
		}
		d := f - q.of(&s)
		if d > 0 {
			lo = T
		} else {
			hi = T
		}
		step := d / q.slope(&s)
		if math.Abs(step) < 1e-11*T {
			return s, true, false
		}
		T += step
	}
	return s, false, false
}

func (m *model) mixed(p float64, s *helmholtz.Split) Flash {
	l, v := m.mix.CaloricAt(s.Temperature, &s.Liquid), m.mix.CaloricAt(s.Temperature, &s.Vapor)
	var rl, rv float64
	for i := 0; i < m.mix.N(); i++ {
		rl += s.Liquid[i]
		rv += s.Vapor[i]
	}
	b := s.VaporMoles
	mass := (1-b)*l.M + b*v.M
	volume := (1-b)/rl + b/rv
	return Flash{
		State: State{
			Pressure:    p,
			Temperature: s.Temperature,
			Density:     mass / volume,
			Enthalpy:    ((1-b)*l.H + b*v.H) / mass,
			Entropy:     ((1-b)*l.S + b*v.S) / mass,
		},
		Phase:   TwoPhase,
		Quality: b * v.M / mass,
	}
}
