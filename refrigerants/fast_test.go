package refrigerants_test

import (
	"math"
	"math/rand"
	"sync"
	"testing"

	"chargehand/refrigerants"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The curve and the surface against the full solution of the equations of
// state, at random places. These are tests of interpolation; the equations
// themselves are tested in reference_test.go.

func fast(t testing.TB, r *refrigerants.Refrigerant) (*refrigerants.Curve, *refrigerants.Surface) {
	t.Helper()
	c, err := r.Curve()
	require.NoError(t, err, "%v", r)
	s, err := r.Surface()
	require.NoError(t, err, "%v", r)
	return c, s
}

// draw is a pressure between the limits, even in its logarithm.
func draw(rng *rand.Rand, lo, hi float64) float64 { return lo * math.Pow(hi/lo, rng.Float64()) }

func TestCurveAgainstFullSolution(t *testing.T) {
	w := worst{}
	for _, r := range refrigerants.All() {
		c, _ := fast(t, r)
		rng := rand.New(rand.NewSource(1))
		lo, hi := c.PressureRange()
		for range 300 {
			p := draw(rng, lo, hi)
			td, err := r.DewTemperature(p)
			require.NoError(t, err)
			tb, err := r.BubbleTemperature(p)
			require.NoError(t, err)
			// The bar is 0.01 K; near 0.99 of the critical temperature the last
			// interval is the worst.
			tol := 1e-4
			if td > 0.98*r.CriticalPoint().Temperature {
				tol = 2e-3
			}
			assert.InDelta(t, td, c.DewTemperature(p), tol, "%v dew at %g Pa", r, p)
			assert.InDelta(t, tb, c.BubbleTemperature(p), tol, "%v bubble at %g Pa", r, p)
			assert.InEpsilon(t, p, c.DewPressure(td), 1e-4, "%v", r)
			assert.InEpsilon(t, p, c.BubblePressure(tb), 1e-4, "%v", r)
			if td < 0.98*r.CriticalPoint().Temperature {
				w.up("K to 0.98 Tc", c.DewTemperature(p)-td)
				w.up("K to 0.98 Tc", c.BubbleTemperature(p)-tb)
				v, err := r.Vapor(p, td)
				require.NoError(t, err)
				l, err := r.Liquid(p, tb)
				require.NoError(t, err)
				sv, sl := c.Vapor(p), c.Liquid(p)
				assert.InEpsilon(t, v.Density, sv.Density, 1e-4, "%v", r)
				assert.InEpsilon(t, l.Density, sl.Density, 1e-4, "%v", r)
				assert.InDelta(t, v.Enthalpy, sv.Enthalpy, 10, "%v", r)
				assert.InDelta(t, l.Enthalpy, sl.Enthalpy, 10, "%v", r)
				assert.InDelta(t, v.Entropy, sv.Entropy, 0.03, "%v", r)
				assert.InDelta(t, l.Entropy, sl.Entropy, 0.03, "%v", r)
			} else {
				w.up("K to 0.99 Tc", c.DewTemperature(p)-td)
				w.up("K to 0.99 Tc", c.BubbleTemperature(p)-tb)
			}
		}
	}
	t.Logf("bar: curve against the full solution, to 0.98 and 0.99 of the critical temperature | 0.01 K | %.1g K and %.1g K | go test -v -run CurveAgainst ./refrigerants",
		w["K to 0.98 Tc"], w["K to 0.99 Tc"])
}

// What an air conditioner or cooler sees: evaporating -40 to 30 °C, condensing
// to 0.95 of critical, superheat to 120 K, vapour to 170 °C, liquid subcooled to
// -40 °C, good to 0.1 %. Enthalpy is judged against 100 kJ/kg, a typical
// refrigerating effect, since its zero is arbitrary.
func TestSurfaceAgainstFullSolution(t *testing.T) {
	w := worst{}
	for _, r := range refrigerants.All() {
		c, s := fast(t, r)
		rng := rand.New(rand.NewSource(2))
		lo, hi := c.PressureRange()
		tc := r.CriticalPoint().Temperature
		for range 400 {
			p := draw(rng, lo, hi)
			td, tb := c.DewTemperature(p), c.BubbleTemperature(p)
			if td > 0.95*tc {
				continue
			}
			T := td + rng.Float64()*rng.Float64()*(443.15-td)
			full, err := r.Vapor(p, T+1e-6)
			require.NoError(t, err)
			got := s.Vapor(p, T+1e-6)
			check(t, w, "vapour", r, full, got)
			assert.Equal(t, got.Enthalpy, s.VaporEnthalpy(p, T+1e-6))
			assert.Equal(t, got.Density, s.VaporDensity(p, T+1e-6))
			assert.Equal(t, got.Entropy, s.VaporEntropy(p, T+1e-6))
			assert.InDelta(t, T, s.VaporTemperature(p, full.Enthalpy), 1e-3, "%v", r)
			assert.InDelta(t, T, s.VaporTemperatureAtEntropy(p, full.Entropy), 1e-3, "%v", r)

			T = tb - rng.Float64()*(tb-math.Max(tb-120, 185))
			if full, err = r.Liquid(p, T); err != nil {
				continue // at or under the triple point
			}
			got = s.Liquid(p, T)
			check(t, w, "liquid", r, full, got)
			assert.Equal(t, got.Enthalpy, s.LiquidEnthalpy(p, T))
			assert.Equal(t, got.Density, s.LiquidDensity(p, T))
			assert.InDelta(t, T, s.LiquidTemperature(p, full.Enthalpy), 1e-3, "%v", r)
		}
	}
	t.Logf("bar: surface against the full solution: density, enthalpy, heat capacity | 0.1 %% | %.1g, %.1g J/kg, %.1g | go test -v -run SurfaceAgainst ./refrigerants",
		max(w["vapour density relative"], w["liquid density relative"]), max(w["vapour enthalpy J/kg"], w["liquid enthalpy J/kg"]), max(w["vapour cp relative"], w["liquid cp relative"]))
}

func check(t *testing.T, w worst, phase string, r *refrigerants.Refrigerant, full refrigerants.State, got refrigerants.SinglePhase) {
	t.Helper()
	at := []any{"%v %s at %g Pa, %g K", r, phase, full.Pressure, full.Temperature}
	assert.InEpsilon(t, full.Density, got.Density, 1e-4, at...)
	assert.InDelta(t, full.Enthalpy, got.Enthalpy, 10, at...)
	assert.InDelta(t, full.Entropy, got.Entropy, 0.03, at...)
	assert.InEpsilon(t, full.HeatCapacity, got.HeatCapacity, 1e-3, at...)
	w.up(phase+" density relative", got.Density/full.Density-1)
	w.up(phase+" enthalpy J/kg", got.Enthalpy-full.Enthalpy)
	w.up(phase+" entropy J/(kg K)", got.Entropy-full.Entropy)
	w.up(phase+" cp relative", got.HeatCapacity/full.HeatCapacity-1)
}

func TestSurfaceMeetsCurve(t *testing.T) {
	for _, r := range refrigerants.All() {
		c, s := fast(t, r)
		rng := rand.New(rand.NewSource(3))
		lo, hi := c.PressureRange()
		for range 100 {
			p := draw(rng, lo, hi)
			v, l := c.Vapor(p), c.Liquid(p)
			sv, sl := s.Vapor(p, v.Temperature), s.Liquid(p, l.Temperature)
			assert.InEpsilon(t, v.Density, sv.Density, 1e-12, "%v", r)
			assert.InDelta(t, v.Enthalpy, sv.Enthalpy, 1e-6, "%v", r)
			assert.InDelta(t, v.Entropy, sv.Entropy, 1e-8, "%v", r)
			assert.InEpsilon(t, l.Density, sl.Density, 1e-12, "%v", r)
			assert.InDelta(t, l.Enthalpy, sl.Enthalpy, 1e-6, "%v", r)
			assert.InDelta(t, v.Temperature, s.VaporTemperature(p, v.Enthalpy), 1e-9, "%v", r)
		}
	}
}

func TestFastPathIsNaNOutside(t *testing.T) {
	nan := func(v float64) { t.Helper(); assert.True(t, math.IsNaN(v), "got %g", v) }
	for _, r := range refrigerants.All() {
		c, s := fast(t, r)
		lo, hi := c.PressureRange()
		p := math.Sqrt(lo * hi)
		for _, bad := range []float64{0, -1, lo / 20, hi * 2, math.Inf(1), math.Inf(-1), math.NaN(), 1e300, 5e-324} {
			nan(c.BubbleTemperature(bad))
			nan(c.DewTemperature(bad))
			nan(c.Liquid(bad).Enthalpy)
			nan(c.Vapor(bad).Enthalpy)
			nan(s.VaporEnthalpy(bad, 300))
			nan(s.VaporTemperature(bad, 4e5))
			nan(s.LiquidTemperature(bad, 2e5))
		}
		for _, bad := range []float64{0, -1, 100, 2000, math.Inf(1), math.NaN()} {
			nan(c.BubblePressure(bad))
			nan(c.DewPressure(bad))
			nan(s.VaporEnthalpy(p, bad))
			nan(s.Liquid(p, bad).Density)
		}
		nan(s.VaporEnthalpy(p, c.DewTemperature(p)-0.01))
		nan(s.LiquidEnthalpy(p, c.BubbleTemperature(p)+0.01))
		nan(s.VaporTemperature(p, c.Vapor(p).Enthalpy-10))
		nan(s.VaporTemperature(p, 1e9))
		nan(s.LiquidTemperature(p, c.Liquid(p).Enthalpy+10))
		nan(s.LiquidTemperature(p, -1e9))
	}
}

func TestHotPathsDoNotAllocate(t *testing.T) {
	r := lookup(t, "R-449A")
	c, s := fast(t, r)
	for name, f := range map[string]func(){
		"curve T(p)":     func() { c.DewTemperature(8e5) },
		"curve p(T)":     func() { c.BubblePressure(300) },
		"curve state":    func() { c.Vapor(8e5) },
		"surface state":  func() { s.Vapor(8e5, 320) },
		"surface T(p,h)": func() { s.VaporTemperature(8e5, 4.4e5) },
		"bubble T(p)":    func() { _, _ = r.BubbleTemperature(8e5) },
		"dew p(T)":       func() { _, _ = r.DewPressure(290) },
		"vapour (p,T)":   func() { _, _ = r.Vapor(8e5, 320) },
		"liquid (p,T)":   func() { _, _ = r.Liquid(8e5, 280) },
		"two-phase":      func() { _, _ = r.AtEnthalpy(8e5, 3e5) },
	} {
		assert.Zero(t, testing.AllocsPerRun(20, f), name)
	}
}

func TestConcurrentFirstUse(t *testing.T) {
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for _, r := range refrigerants.All() {
				c, err := r.Curve()
				if !assert.NoError(t, err) {
					return
				}
				s, err := r.Surface()
				assert.NoError(t, err)
				lo, hi := c.PressureRange()
				p := math.Sqrt(lo * hi)
				want, err := r.DewTemperature(p)
				assert.NoError(t, err)
				assert.InDelta(t, want, c.DewTemperature(p), 1e-4)
				assert.False(t, math.IsNaN(s.VaporEnthalpy(p, want+1)))
			}
		})
	}
	wg.Wait()
}
