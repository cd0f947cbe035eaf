package rig

import (
	"math"
	"sync"

	"chargehand/refrigerants"
)

// saturated is a saturated state as the cycle uses it.
type saturated struct{ t, rho, h, s float64 }

// fluid is a refrigerant's curve and surface, continued a little past their
// ends so that a solver on its way to an answer never meets a NaN: discharge
// vapour over hotEnd and vapour or liquid past saturation go on along the last
// slope. Answers are never left there, but for discharge gas over hotEnd, which
// no compressor survives.
type fluid struct {
	name        string
	c           *refrigerants.Curve
	v           *refrigerants.Surface
	lo, hi      float64 // temperatures the curve covers, bubble and dew
	pLow, pHigh float64
}

const hotEnd = 443.0 // K

var fluids sync.Map // canonical name -> *fluid

func lookup(name string) (*fluid, error) {
	r, err := refrigerants.Lookup(name)
	if err != nil {
		return nil, err
	}
	if f, ok := fluids.Load(r.Name()); ok {
		return f.(*fluid), nil
	}
	c, err := r.Curve()
	if err != nil {
		return nil, err
	}
	v, err := r.Surface()
	if err != nil {
		return nil, err
	}
	f := &fluid{name: r.Name(), c: c, v: v}
	pl, ph := c.PressureRange()
	f.pLow, f.pHigh = pl*1.0001, ph*0.9999
	f.lo = math.Max(c.DewTemperature(f.pLow), c.BubbleTemperature(f.pLow)) + 0.2
	f.hi = math.Min(c.BubbleTemperature(f.pHigh), c.DewTemperature(f.pHigh)) - 0.2
	got, _ := fluids.LoadOrStore(r.Name(), f)
	return got.(*fluid), nil
}

// within keeps a pressure where the curve knows it.
func (f *fluid) within(p float64) float64 {
	if p < f.pLow {
		return f.pLow
	}
	if p > f.pHigh {
		return f.pHigh
	}
	return p
}

func (f *fluid) bubbleT(p float64) float64 { return f.c.BubbleTemperature(f.within(p)) }
func (f *fluid) dewT(p float64) float64    { return f.c.DewTemperature(f.within(p)) }
func (f *fluid) bubbleP(t float64) float64 { return f.c.BubblePressure(t) }
func (f *fluid) dewP(t float64) float64    { return f.c.DewPressure(t) }

func (f *fluid) liquid(p float64) saturated {
	s := f.c.Liquid(f.within(p))
	return saturated{s.Temperature, s.Density, s.Enthalpy, s.Entropy}
}

func (f *fluid) vapor(p float64) saturated {
	s := f.c.Vapor(f.within(p))
	return saturated{s.Temperature, s.Density, s.Enthalpy, s.Entropy}
}

func (f *fluid) vaporH(p, t float64) float64 {
	p = f.within(p)
	if t > hotEnd {
		e := f.v.Vapor(p, hotEnd)
		return e.Enthalpy + e.HeatCapacity*(t-hotEnd)
	}
	if h := f.v.VaporEnthalpy(p, t); h == h {
		return h
	}
	s := f.c.Vapor(p)
	return s.Enthalpy + 900*(t-s.Temperature)
}

func (f *fluid) vaporS(p, t float64) float64 {
	p = f.within(p)
	if t > hotEnd {
		e := f.v.Vapor(p, hotEnd)
		return e.Entropy + e.HeatCapacity*math.Log(t/hotEnd)
	}
	if s := f.v.VaporEntropy(p, t); s == s {
		return s
	}
	return f.c.Vapor(p).Entropy
}

func (f *fluid) vaporRho(p, t float64) float64 {
	p = f.within(p)
	if t > hotEnd {
		return f.v.VaporDensity(p, hotEnd) * hotEnd / t
	}
	if r := f.v.VaporDensity(p, t); r == r {
		return r
	}
	return f.c.Vapor(p).Density
}

func (f *fluid) vaporT(p, h float64) float64 {
	p = f.within(p)
	if t := f.v.VaporTemperature(p, h); t <= hotEnd {
		return t
	}
	s := f.c.Vapor(p)
	if h <= s.Enthalpy {
		return s.Temperature + (h-s.Enthalpy)/900
	}
	e := f.v.Vapor(p, hotEnd)
	return hotEnd + (h-e.Enthalpy)/e.HeatCapacity
}

func (f *fluid) vaporTofS(p, s float64) float64 {
	p = f.within(p)
	if t := f.v.VaporTemperatureAtEntropy(p, s); t <= hotEnd {
		return t
	}
	v := f.c.Vapor(p)
	if s <= v.Entropy {
		return v.Temperature
	}
	e := f.v.Vapor(p, hotEnd)
	return hotEnd * math.Exp((s-e.Entropy)/e.HeatCapacity)
}

func (f *fluid) liquidH(p, t float64) float64 {
	p = f.within(p)
	if h := f.v.LiquidEnthalpy(p, t); h == h {
		return h
	}
	s := f.c.Liquid(p)
	return s.Enthalpy + 1500*(t-s.Temperature)
}

func (f *fluid) liquidRho(p, t float64) float64 {
	p = f.within(p)
	if r := f.v.LiquidDensity(p, t); r == r {
		return r
	}
	return f.c.Liquid(p).Density
}

func (f *fluid) liquidT(p, h float64) float64 {
	p = f.within(p)
	if t := f.v.LiquidTemperature(p, h); t == t {
		return t
	}
	s := f.c.Liquid(p)
	return s.Temperature + (h-s.Enthalpy)/1500
}
