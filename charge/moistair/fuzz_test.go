package moistair

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// FuzzWetBulb: any three numbers give an error or an answer that is a number, lies
// where it must, and leads back: wet bulb under dry bulb, humidity between dry and
// saturated.
func FuzzWetBulb(f *testing.F) {
	for _, x := range [][3]float64{{299.82, 0.5, 101325}, {263.15, 0.9, 101325}, {310, 0.02, 70000}, {323, 1, 45000}, {math.NaN(), 0.5, 101325}, {300, math.Inf(1), 101325}, {300, -1, 1e308}, {200, 0.5, 5e-324}, {273.16, 0.999999, 110000}} {
		f.Add(x[0], x[1], x[2])
	}
	f.Fuzz(func(t *testing.T, dry, rh, p float64) {
		number := func(x float64) { t.Helper(); require.False(t, math.IsNaN(x) || math.IsInf(x, 0)) }
		if w, err := HumidityRatioFromRelativeHumidity(dry, rh, p); err == nil {
			number(w)
			require.GreaterOrEqual(t, w, 0.0)
			if back, err := RelativeHumidity(dry, w, p); err == nil {
				require.InDelta(t, rh, back, 1e-9)
			}
		}
		wet, err := WetBulb(dry, rh, p)
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		number(wet)
		require.LessOrEqual(t, wet, dry+1e-6)
		back, err := RelativeHumidityFromWetBulb(dry, wet, p)
		if err != nil {
			return
		}
		// Held in the wet bulb: in great cold it says little of the humidity.
		again, err := WetBulb(dry, back, p)
		require.NoError(t, err)
		require.InDelta(t, wet, again, 1e-6, "%g K, %g, %g Pa: wet bulb %g K", dry, rh, p, wet)
	})
}

// FuzzAtmosphere: elevations and pressures lead into one another and back.
func FuzzAtmosphere(f *testing.F) {
	for _, z := range []float64{0, 1524, -300, 10999, 11001, math.Inf(-1), math.NaN(), 1e300} {
		f.Add(z)
	}
	f.Fuzz(func(t *testing.T, z float64) {
		p, err := StandardPressure(z)
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		require.True(t, p > 0 && p < 2e5, "%g", p)
		back, err := StandardElevation(p)
		require.NoError(t, err)
		require.InDelta(t, z, back, 1e-5)
	})
}
