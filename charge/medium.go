package charge

import (
	"errors"
	"math"
	"strings"

	"chargehand/refrigerants"
)

// medium is the refrigerant of a session as the derived readings need it.
type medium struct {
	name  string
	group string                    // ASHRAE 34 safety group
	dew   func(pPa float64) float64 // K at Pa absolute, NaN out of range
	bub   func(pPa float64) float64
	r     *refrigerants.Refrigerant

	// lightness scales the usual charge of a capacity: the same coils and lines
	// hold less of a light liquid. One for the common ones, half for propane.
	lightness float64
}

func newMedium(name string) (*medium, error) {
	r, err := refrigerants.Lookup(name)
	if err != nil {
		return nil, err
	}
	c, err := r.Curve()
	if err != nil {
		return nil, err
	}
	m := &medium{name: r.Name(), group: r.SafetyGroup(), r: r, dew: c.DewTemperature, bub: c.BubbleTemperature, lightness: 1}
	if density := c.Liquid(c.BubblePressure(condenserAt)).Density; density < usualDensity { // NaN over the critical point
		m.lightness = density / usualDensity
	}
	return m, nil
}

// slope is dT/dp in K/Pa by a central difference, NaN out of range.
func slope(t func(float64) float64, pPa float64) float64 {
	d := pPa * 1e-3
	return (t(pPa+d) - t(pPa-d)) / (2 * d)
}

// glide is dew less bubble temperature near room conditions, K; 0 for a pure
// refrigerant.
func (m *medium) glide() float64 {
	p, err := m.r.DewPressure(280)
	if err != nil {
		return 0
	}
	return math.Max(m.dew(p)-m.bub(p), 0)
}

// lookupRemedy puts an unknown refrigerant in words without the package's name.
func lookupRemedy(err error) string {
	if errors.Is(err, refrigerants.ErrUnknown) {
		var names []string
		for _, r := range refrigerants.All() {
			names = append(names, r.Name())
		}
		return "is not known: write the designation on the data plate; known are " + strings.Join(names, ", ")
	}
	return err.Error()
}
