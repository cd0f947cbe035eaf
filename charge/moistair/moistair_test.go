package moistair_test

import (
	"math"
	"testing"

	"chargehand/charge/moistair"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestImpossibleInput(t *testing.T) {
	const p = 101325
	for says, try := range map[string]func() (float64, error){
		"wet bulb 300.00 K is above the dry bulb 290.00 K": func() (float64, error) { return moistair.HumidityRatioFromWetBulb(290, 300, p) },
		"lower than bone-dry air":                          func() (float64, error) { return moistair.HumidityRatioFromWetBulb(310, 275, p) },
		"relative humidity 120 % is outside":               func() (float64, error) { return moistair.WetBulb(300, 1.2, p) },
		"relative humidity NaN":                            func() (float64, error) { return moistair.WetBulb(300, math.NaN(), p) },
		"dry bulb 20 K is outside":                         func() (float64, error) { return moistair.WetBulb(20, 0.5, p) },
		"dry bulb NaN":                                     func() (float64, error) { return moistair.WetBulb(math.NaN(), 0.5, p) },
		"wet bulb NaN":                                     func() (float64, error) { return moistair.HumidityRatioFromWetBulb(300, math.NaN(), p) },
		"air pressure 101.3 Pa":                            func() (float64, error) { return moistair.WetBulb(300, 0.5, 101.3) },
		"air holds no more than 100 %":                     func() (float64, error) { return moistair.RelativeHumidity(290, 0.03, p) },
		"humidity ratio -0.1":                              func() (float64, error) { return moistair.DewPoint(-0.1, p) },
		"vapour pressure 0 Pa":                             func() (float64, error) { return moistair.DewPoint(0, p) },
		"elevation 2e+06 m":                                func() (float64, error) { return moistair.StandardPressure(2e6) },
		"elevation NaN":                                    func() (float64, error) { return moistair.StandardTemperature(math.NaN()) },
		"that of no elevation":                             func() (float64, error) { return moistair.StandardElevation(100) },
		"air pressure NaN":                                 func() (float64, error) { return moistair.StandardElevation(math.NaN()) },
		"outdoor temperature":                              func() (float64, error) { return moistair.StationPressure(p, 100, -20) },
		"boiling point of water":                           func() (float64, error) { return moistair.HumidityRatioFromWetBulb(400, 390, p) },
		"wet bulb 295.00 K is above":                       func() (float64, error) { return moistair.RelativeHumidityFromWetBulb(290, 295, p) },
		"temperature 600 K is outside":                     func() (float64, error) { return moistair.SaturationPressure(600) },
		"outside 0 to the air pressure":                    func() (float64, error) { return moistair.HumidityRatio(2*p, p) },
	} {
		_, err := try()
		require.ErrorContains(t, err, says)
	}
}

// ASHRAE Fundamentals 2021 (SI) chapter 1, Example 1: 40 °C dry bulb, 20 °C
// wet bulb: 14 % relative humidity, read from the chart.
func TestRelativeHumidityFromWetBulb(t *testing.T) {
	rh, err := moistair.RelativeHumidityFromWetBulb(313.15, 293.15, 101325)
	require.NoError(t, err)
	assert.InDelta(t, 0.14, rh, 0.006)
}

// Above the boiling point of water a dry bulb still has a wet bulb, below it.
func TestHotDryAir(t *testing.T) {
	wet, err := moistair.WetBulb(420, 0.01, 101325)
	require.NoError(t, err)
	assert.Less(t, wet, 373.15)
	w, err := moistair.HumidityRatioFromWetBulb(420, wet, 101325)
	require.NoError(t, err)
	want, err := moistair.HumidityRatioFromRelativeHumidity(420, 0.01, 101325)
	require.NoError(t, err)
	assert.InDelta(t, want, w, 1e-9)
	assert.True(t, math.IsNaN(moistair.SaturationTemperatureFromEnthalpy(40e3, 101325, 600)))
}

// Wet bulb and humidity ratio undo each other over all air a unit can meet,
// iced wicks included; dew point <= wet bulb <= dry bulb.
func TestWetBulbInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dry := rapid.Float64Range(230, 350).Draw(t, "dry")
		rh := rapid.Float64Range(0, 1).Draw(t, "rh")
		p := rapid.Float64Range(50e3, 110e3).Draw(t, "p")
		w, err := moistair.HumidityRatioFromRelativeHumidity(dry, rh, p)
		if err != nil {
			t.Fatal(err)
		}
		wet, err := moistair.WetBulb(dry, rh, p)
		if err != nil {
			t.Fatal(err)
		}
		back, err := moistair.HumidityRatioFromWetBulb(dry, wet, p)
		if err != nil || math.Abs(back-w) > 1e-9 {
			t.Fatalf("w %v came back as %v (%v) from wet bulb %v", w, back, err, wet)
		}
		if wet > dry {
			t.Fatalf("wet bulb %v above dry bulb", wet)
		}
		if w > 1e-5 {
			dew, err := moistair.DewPoint(w, p)
			if err != nil || dew > wet+0.01 {
				t.Fatalf("dew point %v above wet bulb %v (%v)", dew, wet, err)
			}
		}
	})
}

func TestWetBulbRisesWithHumidity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dry := rapid.Float64Range(276, 330).Draw(t, "dry")
		p := rapid.Float64Range(60e3, 105e3).Draw(t, "p")
		a := rapid.Float64Range(0, 0.99).Draw(t, "rh")
		lo, err1 := moistair.WetBulb(dry, a, p)
		hi, err2 := moistair.WetBulb(dry, a+0.01, p)
		if err1 != nil || err2 != nil || lo > hi {
			t.Fatalf("%v, %v (%v, %v)", lo, hi, err1, err2)
		}
	})
}

func TestFastFollowsEquation(t *testing.T) {
	worst, steep := 0.0, 0.0
	for tk := 173.17; tk < 473.14; tk += 0.037 {
		want, err := moistair.SaturationPressure(tk)
		require.NoError(t, err)
		got, slope := moistair.FastSaturationPressure(tk)
		worst = max(worst, math.Abs(got/want-1))
		if tk > 243.15 {
			assert.InEpsilon(t, want, got, 2e-7, "%v K", tk)
		}
		below, _ := moistair.SaturationPressure(tk - 1e-3)
		above, _ := moistair.SaturationPressure(tk + 1e-3)
		if math.Abs(tk-273.16) > 2e-3 {
			steep = max(steep, math.Abs(slope*2e-3/(above-below)-1))
		}
	}
	t.Logf("worst, relative: value %.2g, slope %.2g", worst, steep)
	// Errors of cubics a kelvin wide, largest at -100 °C; far under the 0.04 % of
	// the equation itself.
	assert.Less(t, worst, 6e-6)
	assert.Less(t, steep, 6e-5)
	for _, tk := range []float64{0, 173, 474, math.NaN(), math.Inf(1)} {
		p, _ := moistair.FastSaturationPressure(tk)
		assert.True(t, math.IsNaN(p), "%v", tk)
	}
}

func TestSaturationEnthalpy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tk := rapid.Float64Range(240, 335).Draw(t, "t")
		p := rapid.Float64Range(60e3, 105e3).Draw(t, "p")
		w, err := moistair.HumidityRatioFromRelativeHumidity(tk, 1, p)
		if err != nil {
			t.Fatal(err)
		}
		h, slope := moistair.SaturationEnthalpy(tk, p)
		if want := moistair.Enthalpy(tk, w); math.Abs(h-want) > 0.1+1e-6*math.Abs(want) {
			t.Fatalf("h %v, want %v", h, want)
		}
		const d = 1e-3
		up, _ := moistair.SaturationEnthalpy(tk+d, p)
		down, _ := moistair.SaturationEnthalpy(tk-d, p)
		if math.Abs(tk-273.16) > 2*d && math.Abs((up-down)/(2*d)-slope) > 1e-4*slope {
			t.Fatalf("slope %v, differences give %v", slope, (up-down)/(2*d))
		}
		back := moistair.SaturationTemperatureFromEnthalpy(h, p, rapid.Float64Range(240, 340).Draw(t, "guess"))
		if !(math.Abs(back-tk) < 1e-6) {
			t.Fatalf("%v K came back as %v", tk, back)
		}
	})
	h, _ := moistair.SaturationEnthalpy(390, 101325)
	assert.True(t, math.IsNaN(h), "water boils")
}

func TestNothingAllocates(t *testing.T) {
	n := testing.AllocsPerRun(100, func() {
		h, s := moistair.SaturationEnthalpy(290, 101325)
		sink = h + s + moistair.SaturationTemperatureFromEnthalpy(h, 101325, 280)
		wb, _ := moistair.WetBulb(300, 0.5, 101325)
		sink += wb
	})
	assert.Zero(t, n)
}

var sink float64

func BenchmarkSaturationEnthalpy(b *testing.B) {
	x := 280.0
	for b.Loop() {
		h, s := moistair.SaturationEnthalpy(x, 98000)
		x = 280 + 1e-9*(h+s)
	}
	sink = x
}

func BenchmarkSaturationTemperatureFromEnthalpy(b *testing.B) {
	for b.Loop() {
		sink = moistair.SaturationTemperatureFromEnthalpy(45e3, 98000, 285)
	}
}

func BenchmarkWetBulb(b *testing.B) {
	for b.Loop() {
		sink, _ = moistair.WetBulb(300, 0.5, 98000)
	}
}

func BenchmarkHumidityRatioFromWetBulb(b *testing.B) {
	for b.Loop() {
		sink, _ = moistair.HumidityRatioFromWetBulb(300, 292, 98000)
	}
}

// What the wet-bulb equation says of water: adiabatic saturation, the water
// coming in at the wet bulb (ASHRAE Handbook-Fundamentals 2021 ch. 1, equation
// 31; the enthalpy of liquid water is 4.186 kJ/(kg K) there).
func TestWetBulbIsAdiabaticSaturation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		wet := rapid.Float64Range(273.2, 310).Draw(t, "wet")
		p := rapid.Float64Range(60e3, 105e3).Draw(t, "p")
		dry := wet + rapid.Float64Range(0, 8).Draw(t, "depression")
		w, err := moistair.HumidityRatioFromWetBulb(dry, wet, p)
		if err != nil {
			t.Skip(err)
		}
		ws, err := moistair.HumidityRatioFromRelativeHumidity(wet, 1, p)
		if err != nil {
			t.Fatal(err)
		}
		in := moistair.Enthalpy(dry, w) + (ws-w)*4186*(wet-273.15)
		if out := moistair.Enthalpy(wet, ws); math.Abs(in-out) > 0.1 {
			t.Fatalf("%v J/kg in, %v out", in, out)
		}
	})
}
