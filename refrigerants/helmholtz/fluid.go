package helmholtz

import (
	"errors"
	"fmt"
	"math"
)

// Fluid is one pure substance: the compiled equation of state.
type Fluid struct {
	Name string
	Data FluidData

	residual terms
}

// NewFluid compiles published data. It refuses data that cannot be evaluated.
func NewFluid(name string, d FluidData) (*Fluid, error) {
	if !(d.MolarMass > 0 && d.GasConstant > 0 && d.ReducingT > 0 && d.ReducingRho > 0) {
		return nil, fmt.Errorf("helmholtz: %s: molar mass, gas constant and reducing state must be positive", name)
	}
	if !(d.Start.RhoLiquid.Tr > 0 && d.Start.PSat.Tr > 0) {
		return nil, fmt.Errorf("helmholtz: %s: starting values for saturation pressure and liquid density are missing", name)
	}
	ts, err := d.Residual.compile()
	if err != nil {
		return nil, fmt.Errorf("helmholtz: %s: %w", name, err)
	}
	if len(ts.power)+len(ts.bell) == 0 {
		return nil, errors.New("helmholtz: " + name + ": no residual terms")
	}
	return &Fluid{Name: name, Data: d, residual: ts}, nil
}

// ideal returns the temperature part of alpha0 (all but ln delta) and its
// logarithmic tau derivatives.
func (f *Fluid) ideal(tau float64) (a, t, tt float64) {
	d := &f.Data.Ideal
	ln := math.Log(tau)
	a = d.Constant + d.LinearTau*tau + d.LogTau*ln
	t = d.LinearTau*tau + d.LogTau
	tt = -d.LogTau
	for _, c := range d.Power {
		e := c[0] * math.Exp(c[1]*ln)
		a += e
		t += c[1] * e
		tt += c[1] * (c[1] - 1) * e
	}
	for _, c := range d.Einstein {
		x := c[1] * tau
		e := math.Exp(-x)
		q := 1 / (1 - e)
		a += c[0] * math.Log(1-e)
		t += c[0] * x * e * q
		tt -= c[0] * x * x * e * q * q
	}
	return a, t, tt
}

// startPressure is a rough saturation pressure, usable above the critical
// temperature too (Wilson 1968 there).
func (f *Fluid) startPressure(T float64) float64 {
	c := f.Data.Start.PSat
	if T < 0.98*c.Tr && T > 0.4*c.Tr {
		return c.Yr * math.Exp(c.Tr/T*c.series(T))
	}
	return c.Yr * math.Exp(5.373*(1+f.Data.AcentricFactor)*(1-c.Tr/T))
}

// startLiquidDensity is a rough saturated liquid density (mol/m3).
func (f *Fluid) startLiquidDensity(T float64) float64 {
	c := f.Data.Start.RhoLiquid
	return c.Yr * (1 + c.series(min(T, 0.92*c.Tr)))
}

func (c *Ancillary) series(T float64) float64 {
	th := 1 - T/c.Tr
	s := 0.0
	for _, k := range c.NT {
		s += k[0] * math.Pow(th, k[1])
	}
	return s
}
