package refrigerants

import (
	"fmt"
	"slices"

	"chargehand/refrigerants/helmholtz"
)

// Component is one part of a refrigerant.
type Component struct {
	Name         string  // ASHRAE 34 designation
	MassFraction float64 // 0 to 1
	MoleFraction float64 // 0 to 1
}

// Composition returns the components in the order of the designation; a pure
// refrigerant is its own only one. Nominal ASHRAE 34 mass fractions.
func (r *Refrigerant) Composition() ([]Component, error) {
	if r.rec.Equation != nil {
		return []Component{{r.rec.Name, 1, 1}}, nil
	}
	m, err := r.solved()
	if err != nil {
		return nil, err
	}
	z := m.mix.MoleFractions()
	var out []Component
	for i, c := range r.rec.Composition {
		out = append(out, Component{c.Component, c.MassPercent / 100, z[i]})
	}
	return out, nil
}

// IsBlend reports whether the refrigerant has more than one component.
func (r *Refrigerant) IsBlend() bool { return r.rec.Equation == nil }

// MolarMass returns the molar mass in kg/mol.
func (r *Refrigerant) MolarMass() (float64, error) {
	m, err := r.solved()
	if err != nil {
		return 0, err
	}
	return m.mix.MolarMass(), nil
}

// CriticalPoint is where liquid and vapour become the same.
type CriticalPoint struct {
	Temperature float64 // K
	Pressure    float64 // Pa
	Density     float64 // kg/m3
	Source      string
}

// CriticalPoint returns the critical point: of a pure fluid as published with
// its equation of state, of a blend that of the mixture model.
func (r *Refrigerant) CriticalPoint() CriticalPoint {
	c := r.rec.Critical
	return CriticalPoint{c.T, c.P, c.Rho, c.Source}
}

// StandardAtmosphere is the pressure (Pa) of normal boiling points.
const StandardAtmosphere = 101325.0

// NormalBoilingPoint returns the bubble and dew temperatures (K) at one
// standard atmosphere, solved. R-744 has none: it sublimes, and the error says
// so by its pressure range.
func (r *Refrigerant) NormalBoilingPoint() (bubble, dew float64, err error) {
	if bubble, err = r.BubbleTemperature(StandardAtmosphere); err == nil {
		dew, err = r.DewTemperature(StandardAtmosphere)
	}
	return bubble, dew, err
}

// Glide returns dew minus bubble temperature (K) at pPa (Pa).
func (r *Refrigerant) Glide(pPa float64) (float64, error) {
	b, err := r.BubbleTemperature(pPa)
	if err != nil {
		return 0, err
	}
	d, err := r.DewTemperature(pPa)
	if err != nil {
		return 0, err
	}
	return d - b, nil
}

// Report is an assessment report of the IPCC.
type Report uint8

const (
	AR4 Report = 4 // 2007, used by the EU F-gas regulation and US rules
	AR5 Report = 5 // 2013
)

// GWP returns the global warming potential over 100 years (CO2 = 1) after the
// given report. That of a blend is the mass average of its components. ok is
// false for any other report or where a component's value is not known.
func (r *Refrigerant) GWP(report Report) (gwp float64, source string, ok bool) {
	if report != AR4 && report != AR5 {
		return 0, "", false
	}
	if r.rec.Equation != nil {
		g := r.rec.GWP
		if g == nil {
			return 0, "", false
		}
		if report == AR4 {
			return g.AR4, g.Source, true
		}
		return g.AR5, g.Source, true
	}
	for _, c := range r.rec.Composition {
		k := key(c.Component)
		part, err := load(k, index()[k])
		if err != nil {
			return 0, "", false
		}
		v, _, ok := part.GWP(report)
		if !ok {
			return 0, "", false
		}
		gwp += c.MassPercent / 100 * v
	}
	return gwp, fmt.Sprintf("mass average of the components' 100-year values, IPCC AR%d", report), true
}

// ChargeAsLiquid reports whether the refrigerant must leave the cylinder as
// liquid, lest its composition shift, and why.
func (r *Refrigerant) ChargeAsLiquid() (must bool, why string) {
	return r.rec.Liquid.Value, r.rec.Liquid.Source
}

// Flammable reports whether the safety group says flammable: any but class 1.
func (r *Refrigerant) Flammable() bool {
	g := r.SafetyGroup()
	return len(g) > 1 && g[1] != '1'
}

// LowerFlammabilityLimit returns the lower flammability limit in kg of
// refrigerant per m3 of air. ok is false where it does not burn or the value is
// not known to us; ask Flammable which.
func (r *Refrigerant) LowerFlammabilityLimit() (kgPerM3 float64, source string, ok bool) {
	if l := r.rec.LFL; l != nil {
		return l.Value, l.Source, true
	}
	return 0, "", false
}

// Sources lists where the figures come from: equations of state, binary
// parameters (with estimates marked), composition, safety group.
func (r *Refrigerant) Sources() ([]string, error) {
	var out []string
	add := func(s string) {
		if s != "" && !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	add("Safety group: " + r.rec.SafetyGroup.Source)
	if e := r.rec.Equation; e != nil {
		add("Equation of state of " + r.rec.Name + ": " + e.Citation)
		return out, nil
	}
	add("Composition: " + r.rec.CompositionSource)
	ps, err := pairs()
	if err != nil {
		return nil, err
	}
	for i, c := range r.rec.Composition {
		k := key(c.Component)
		part, err := load(k, index()[k])
		if err != nil {
			return nil, err
		}
		add("Equation of state of " + c.Component + ": " + part.rec.Equation.Citation)
		for _, d := range r.rec.Composition[i+1:] {
			if p, ok := ps.Find(c.Component, d.Component); ok {
				add("Pair " + c.Component + " / " + d.Component + ": " + p.Source)
			}
		}
	}
	return out, nil
}

// EstimatedPairs lists the pairs of components for which no binary parameters
// have been published to our knowledge, so that an estimate is used. Their
// blends carry a larger uncertainty.
func (r *Refrigerant) EstimatedPairs() ([]string, error) {
	ps, err := pairs()
	if err != nil {
		return nil, err
	}
	var out []string
	for i, c := range r.rec.Composition {
		for _, d := range r.rec.Composition[i+1:] {
			if p, ok := ps.Find(c.Component, d.Component); ok && p.Estimate {
				out = append(out, c.Component+" / "+d.Component)
			}
		}
	}
	return out, nil
}

// FirstBubble returns the composition of the first vapour to leave the liquid
// of the blend at its bubble point, at pPa (Pa): what a vapour leak begins with.
func (r *Refrigerant) FirstBubble(pPa float64) ([]Component, error) {
	return r.incipient(helmholtz.Bubble, pPa)
}

// LastDrop returns the composition of the liquid in equilibrium with vapour of
// the blend at its dew point, at pPa (Pa).
func (r *Refrigerant) LastDrop(pPa float64) ([]Component, error) {
	return r.incipient(helmholtz.Dew, pPa)
}

func (r *Refrigerant) incipient(side helmholtz.Side, pPa float64) ([]Component, error) {
	s, err := r.saturatedAtPressure(side, pPa)
	if err != nil {
		return nil, err
	}
	parts, err := r.Composition()
	if err != nil {
		return nil, err
	}
	var moles, mass float64
	weights := make([]float64, len(parts))
	for i, p := range parts {
		weights[i] = s.Incipient[i] * p.MassFraction / p.MoleFraction // proportional to mass
		moles += s.Incipient[i]
		mass += weights[i]
	}
	for i := range parts {
		parts[i].MoleFraction = s.Incipient[i] / moles
		parts[i].MassFraction = weights[i] / mass
	}
	return parts, nil
}
