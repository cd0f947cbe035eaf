package refrigerants_test

import (
	"math"
	"testing"

	"chargehand/refrigerants"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Identities no table is needed for: they hold for any thermodynamic surface
// that is consistent with itself.

func anyRefrigerant(t *rapid.T) *refrigerants.Refrigerant {
	var names []string
	for _, r := range refrigerants.All() {
		names = append(names, r.Name())
	}
	r, err := refrigerants.Lookup(rapid.SampledFrom(names).Draw(t, "refrigerant"))
	require.NoError(t, err)
	return r
}

// pressure is drawn from the range both saturation lines share.
func pressure(t *rapid.T, r *refrigerants.Refrigerant, below float64) float64 {
	c, err := r.Curve()
	require.NoError(t, err)
	lo, hi := c.PressureRange()
	hi = math.Min(hi, c.DewPressure(below*r.CriticalPoint().Temperature))
	return lo * 1.05 * math.Pow(hi/lo/1.06, rapid.Float64Range(0, 1).Draw(t, "fraction of ln p"))
}

// state draws a single-phase state that stays in its phase when moved a little.
func state(t *rapid.T, r *refrigerants.Refrigerant) (f func(p, T float64) (refrigerants.State, error), p, T float64) {
	p = pressure(t, r, 0.95)
	if rapid.Bool().Draw(t, "vapour") {
		td, err := r.DewTemperature(p)
		require.NoError(t, err)
		return r.Vapor, p, td + 1 + rapid.Float64Range(0, 1).Draw(t, "superheat")*(430-td)
	}
	p = math.Max(p, 1e5) // a liquid under less hardly changes with it: differences drown in rounding
	if r.Name() == "R-744" {
		p = math.Max(p, 7e5)
	}
	tb, err := r.BubbleTemperature(p)
	require.NoError(t, err)
	low := math.Max(180, tb-120)
	if r.Name() == "R-744" {
		low = 217
	}
	if r.Name() == "R-717" {
		low = math.Max(low, 197)
	}
	return r.Liquid, p, math.Max(low+1, tb-1-rapid.Float64Range(0, 1).Draw(t, "subcooling")*math.Max(0, tb-low-2))
}

// central is a fourth-order central difference.
func central(f func(x float64) float64, x, h float64) float64 {
	return (8*(f(x+h)-f(x-h)) - (f(x+2*h) - f(x-2*h))) / (12 * h)
}

func TestMaxwellAndOtherRelations(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRefrigerant(t)
		f, p, T := state(t, r)
		s, err := f(p, T)
		if err != nil { // a liquid too near an end of its range to differentiate
			t.Skip(err)
		}
		get := func(pick func(refrigerants.State) float64) (byT, byP float64) {
			value := func(p, T float64) float64 {
				s, err := f(p, T)
				if err != nil {
					t.Skip(err)
				}
				return pick(s)
			}
			hT, hP := 0.05, 4e-3*p
			return central(func(x float64) float64 { return value(p, x) }, T, hT),
				central(func(x float64) float64 { return value(x, T) }, p, hP)
		}
		hT, hP := get(func(s refrigerants.State) float64 { return s.Enthalpy })
		sT, sP := get(func(s refrigerants.State) float64 { return s.Entropy })
		vT, vP := get(func(s refrigerants.State) float64 { return 1 / s.Density })
		near := func(what string, want, got, scale float64) {
			if !(math.Abs(want-got) <= 2e-5*scale) {
				t.Fatalf("%v at %g Pa, %g K: %s: %g and %g", r, p, T, what, want, got)
			}
		}
		v := 1 / s.Density
		// (dh/dT)_p = cp, (ds/dT)_p = cp/T
		near("cp from h", s.HeatCapacity, hT, s.HeatCapacity)
		near("cp from s", s.HeatCapacity/T, sT, s.HeatCapacity/T)
		// Maxwell: (ds/dp)_T = -(dv/dT)_p
		near("Maxwell", -vT, sP, math.Abs(vT)+1e-3*v/T)
		// (dh/dp)_T = v - T (dv/dT)_p
		near("dh/dp", v-T*vT, hP, v+T*math.Abs(vT))
		// w^2 = -v^2 (dp/dv)_s, with (dv/dp)_s = (dv/dp)_T + T/cp (dv/dT)_p^2
		w2 := -v * v / (vP + T/s.HeatCapacity*vT*vT)
		near("speed of sound", s.SpeedOfSound*s.SpeedOfSound, w2, 5*w2)
	})
}

func TestGibbsEnergyEqualAtSaturation(t *testing.T) {
	for _, r := range refrigerants.All() {
		if r.IsBlend() {
			continue // equal fugacities of a blend are tested in helmholtz
		}
		c, err := r.Curve()
		require.NoError(t, err)
		lo, hi := c.PressureRange()
		for i := 0; i <= 40; i++ {
			p := lo * math.Pow(hi/lo, float64(i)/40)
			p = math.Min(math.Max(p, lo*(1+1e-9)), hi*(1-1e-9))
			T, err := r.DewTemperature(p)
			require.NoError(t, err)
			v, err := r.Vapor(p, T)
			require.NoError(t, err)
			l, err := r.Liquid(p, T)
			require.NoError(t, err)
			gv, gl := v.Enthalpy-T*v.Entropy, l.Enthalpy-T*l.Entropy
			// 1e-9 relative to the enthalpy of evaporation, T (s" - s'): the
			// Gibbs energy itself passes through zero.
			require.InDelta(t, gv, gl, 1e-9*math.Max(math.Abs(gv), v.Enthalpy-l.Enthalpy), "%v at %g Pa", r, p)
		}
	}
}

// Clausius-Clapeyron: dp/dT = (h" - h')/(T (v" - v')) for a pure fluid.
func TestClausiusClapeyron(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRefrigerant(t)
		if r.IsBlend() {
			t.Skip("holds for pure fluids")
		}
		p := pressure(t, r, 0.97)
		T, err := r.DewTemperature(p)
		require.NoError(t, err)
		v, err := r.Vapor(p, T)
		require.NoError(t, err)
		l, err := r.Liquid(p, T)
		require.NoError(t, err)
		slope := central(func(x float64) float64 {
			p, err := r.DewPressure(x)
			if err != nil {
				t.Skip(err)
			}
			return p
		}, T, 0.05)
		require.InEpsilon(t, (v.Enthalpy-l.Enthalpy)/(T*(1/v.Density-1/l.Density)), slope, 1e-6, "%v at %g Pa", r, p)
	})
}

func TestRoundTrips(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRefrigerant(t)
		p := pressure(t, r, 0.98)
		td, err := r.DewTemperature(p)
		require.NoError(t, err)
		tb, err := r.BubbleTemperature(p)
		require.NoError(t, err)
		pd, err := r.DewPressure(td)
		require.NoError(t, err)
		pb, err := r.BubblePressure(tb)
		require.NoError(t, err)
		require.InEpsilon(t, p, pd, 1e-10, "%v", r)
		require.InEpsilon(t, p, pb, 1e-10, "%v", r)
		require.LessOrEqual(t, tb, td+1e-8, "%v: bubble above dew at %g Pa", r, p)

		f, p, T := state(t, r)
		s, err := f(p, T)
		if err != nil {
			t.Skip(err)
		}
		byH, err := r.AtEnthalpy(p, s.Enthalpy)
		require.NoError(t, err)
		byS, err := r.AtEntropy(p, s.Entropy)
		require.NoError(t, err)
		require.InDelta(t, T, byH.Temperature, 1e-6, "%v at %g Pa", r, p)
		require.InDelta(t, T, byS.Temperature, 1e-6, "%v at %g Pa", r, p)
		require.InEpsilon(t, s.Density, byH.Density, 1e-7)
	})
}

func TestTwoPhase(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyRefrigerant(t)
		p := pressure(t, r, 0.97)
		td, err := r.DewTemperature(p)
		require.NoError(t, err)
		tb, err := r.BubbleTemperature(p)
		require.NoError(t, err)
		v, err := r.Vapor(p, td)
		require.NoError(t, err)
		l, err := r.Liquid(p, tb)
		require.NoError(t, err)
		x := rapid.Float64Range(0.001, 0.999).Draw(t, "x")
		h := l.Enthalpy + x*(v.Enthalpy-l.Enthalpy)
		a, err := r.AtEnthalpy(p, h)
		require.NoError(t, err)
		require.Equal(t, refrigerants.TwoPhase, a.Phase)
		require.InDelta(t, h, a.Enthalpy, 1e-4)
		require.True(t, a.Temperature >= tb-1e-7 && a.Temperature <= td+1e-7, "%v: %g outside %g to %g", r, a.Temperature, tb, td)
		require.True(t, a.Quality > 0 && a.Quality < 1)
		require.True(t, a.Density > v.Density*(1-1e-9) && a.Density < l.Density*(1+1e-9))
		if !r.IsBlend() { // the lever rule
			require.InDelta(t, x, a.Quality, 1e-9)
			require.InEpsilon(t, (1-x)/l.Density+x/v.Density, 1/a.Density, 1e-9)
		}
		b, err := r.AtEntropy(p, a.Entropy)
		require.NoError(t, err)
		require.InDelta(t, a.Temperature, b.Temperature, 1e-6)
		require.InDelta(t, a.Quality, b.Quality, 1e-7)
		// T ds = dh at constant pressure, across the two-phase region too.
		c, err := r.AtEnthalpy(p, h+10)
		if err == nil && c.Phase == refrigerants.TwoPhase {
			require.InDelta(t, 10/(0.5*(a.Temperature+c.Temperature)), c.Entropy-a.Entropy, 1e-6, "%v at %g Pa", r, p)
		}
	})
}
