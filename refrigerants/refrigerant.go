package refrigerants

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"chargehand/refrigerants/helmholtz"
)

// Refrigerant is one refrigerant, pure or blend. Get it from Lookup or All; it
// is immutable to its user, safe for concurrent use, and solves its equations
// of state on first need.
type Refrigerant struct {
	rec record

	once  sync.Once
	model *model
	err   error

	curve   func() (*Curve, error)
	surface func() (*Surface, error)
}

// model is what the equations of state give once solved along saturation.
type model struct {
	mix         *helmholtz.Mixture
	bubble, dew *helmholtz.Line
	triple      float64 // K, of a pure fluid; 0 for blends
	maxT, maxP  float64 // limits for single-phase states
}

// ErrUnknown reports a name that is no refrigerant we have.
var ErrUnknown = errors.New("refrigerants: unknown refrigerant")

var (
	cacheMu sync.Mutex
	cache   = map[string]*Refrigerant{}
)

// Lookup finds a refrigerant by its ASHRAE 34 designation, written with or
// without "R", hyphen, blanks and capitals ("R-410A", "r410a", "410A"), or by
// the common name of a natural one ("propane", "CO2"). The error names what
// there is.
func Lookup(name string) (*Refrigerant, error) {
	k := key(name)
	if file, ok := index()[k]; ok {
		return load(k, file)
	}
	if k != "" {
		for _, r := range All() {
			for _, a := range r.rec.Also {
				if key(a) == k {
					return r, nil
				}
			}
		}
	}
	names := make([]string, 0, len(index()))
	for _, r := range All() {
		names = append(names, r.Name())
	}
	return nil, fmt.Errorf("%w %q; known are %s", ErrUnknown, name, strings.Join(names, ", "))
}

func load(k, file string) (*Refrigerant, error) {
	cacheMu.Lock()
	defer cacheMu.Unlock()
	if r := cache[k]; r != nil {
		return r, nil
	}
	r := &Refrigerant{}
	if err := read(file, &r.rec); err != nil {
		return nil, err
	}
	r.curve = sync.OnceValues(r.newCurve)
	r.surface = sync.OnceValues(r.newSurface)
	cache[k] = r
	return r, nil
}

// All returns every refrigerant in order of its number.
func All() []*Refrigerant { return slices.Clone(all()) }

var all = sync.OnceValue(func() []*Refrigerant {
	var rs []*Refrigerant
	for k, file := range index() {
		r, err := load(k, file)
		if err != nil {
			panic(err) // the data are part of the program; a test loads every file
		}
		rs = append(rs, r)
	}
	slices.SortFunc(rs, func(a, b *Refrigerant) int {
		na, sa := number(a.Name())
		nb, sb := number(b.Name())
		return cmp.Or(cmp.Compare(na, nb), cmp.Compare(sa, sb))
	})
	return rs
})

// number splits "R-410A" into 410 and "A".
func number(name string) (int, string) {
	s := strings.TrimPrefix(name, "R-")
	i := 0
	for i < len(s) && s[i] >= '0' && s[i] <= '9' {
		i++
	}
	n, _ := strconv.Atoi(s[:i])
	return n, s[i:]
}

// Name returns the ASHRAE 34 designation, as in "R-410A".
func (r *Refrigerant) Name() string { return r.rec.Name }

// String returns the name.
func (r *Refrigerant) String() string { return r.rec.Name }

// SafetyGroup returns the ASHRAE 34 safety group: A1, A2L, A2, A3, B1, B2L.
func (r *Refrigerant) SafetyGroup() string { return r.rec.SafetyGroup.Value }

// Fractions of the critical temperature up to which saturation is solved, and
// the lowest temperature tried. Nearer the critical point the equations are
// steep, their published accuracy degrades, and no charge is set there.
const (
	highestReduced = 0.99
	lowest         = 180.0 // K
)

// solved builds the mixture and traces its saturation lines, once.
func (r *Refrigerant) solved() (*model, error) {
	r.once.Do(func() {
		r.model, r.err = r.build()
		if r.err != nil {
			r.err = fmt.Errorf("refrigerants: %s: %w", r.rec.Name, r.err)
		}
	})
	return r.model, r.err
}

func (r *Refrigerant) build() (*model, error) {
	m := &model{}
	var fluids []*helmholtz.Fluid
	var z []float64
	var ps *helmholtz.PairsData
	if r.rec.Equation != nil {
		f, err := helmholtz.NewFluid(r.rec.Name, *r.rec.Equation)
		if err != nil {
			return nil, err
		}
		fluids, z = []*helmholtz.Fluid{f}, []float64{1}
		m.triple, m.maxT, m.maxP = r.rec.Equation.TripleT, r.rec.Equation.MaxT, r.rec.Equation.MaxP
	} else {
		var err error
		if ps, err = pairs(); err != nil {
			return nil, err
		}
		sum := 0.0
		for i, c := range r.rec.Composition {
			k := key(c.Component)
			file, ok := index()[k]
			if !ok {
				return nil, fmt.Errorf("component %s: %w", c.Component, ErrUnknown)
			}
			pure, err := load(k, file)
			if err != nil {
				return nil, err
			}
			if pure.rec.Equation == nil {
				return nil, fmt.Errorf("component %s is itself a blend", c.Component)
			}
			e := pure.rec.Equation
			f, err := helmholtz.NewFluid(pure.rec.Name, *e)
			if err != nil {
				return nil, err
			}
			fluids = append(fluids, f)
			z = append(z, c.MassPercent/e.MolarMass)
			sum += z[i]
			if i == 0 || e.MaxT < m.maxT {
				m.maxT = e.MaxT
			}
			if i == 0 || e.MaxP < m.maxP {
				m.maxP = e.MaxP
			}
		}
		for i := range z {
			z[i] /= sum
		}
	}
	var err error
	if m.mix, err = helmholtz.NewMixture(fluids, z, ps); err != nil {
		return nil, err
	}
	low, high := max(lowest, m.triple), highestReduced*r.rec.Critical.T
	if m.bubble, err = m.mix.Line(helmholtz.Bubble, low, high); err != nil {
		return nil, fmt.Errorf("bubble line: %w", err)
	}
	if m.dew, err = m.mix.Line(helmholtz.Dew, low, high); err != nil {
		return nil, fmt.Errorf("dew line: %w", err)
	}
	m.maxT = max(m.maxT, extrapolated)
	return m, nil
}
