package quantity_test

import (
	"encoding/json"
	"math"
	"testing"

	"chargehand/charge/quantity"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestZeroValueIsNotGiven(t *testing.T) {
	for _, v := range []value{quantity.Pressure{}, quantity.Temperature{}, quantity.TemperatureDifference{}, quantity.Mass{},
		quantity.Length{}, quantity.Power{}, quantity.Humidity{}, quantity.Current{}} {
		assert.True(t, v.IsZero())
		assert.False(t, v.IsValid())
		assert.Empty(t, v.String())
		assert.Empty(t, v.Unit())
	}
	assert.True(t, math.IsNaN(quantity.Temperature{}.Fahrenheit()))
	assert.True(t, quantity.PSIG(0).IsValid(), "0 psig is a reading")
	assert.True(t, quantity.DegreesF(0).IsValid(), "0 °F is a reading")
}

func TestImpossibleConstructionsAreNotGiven(t *testing.T) {
	assert.True(t, quantity.PSIG(math.NaN()).IsZero())
	assert.True(t, quantity.Kilograms(math.Inf(1)).IsZero())
	assert.True(t, quantity.Kelvins(-1).IsZero())
	assert.True(t, quantity.AbsolutePascals(-1).IsZero())
	assert.True(t, quantity.RelativeHumidity(101).IsZero())
	assert.True(t, quantity.PressureOf(1, quantity.Celsius).IsZero())
}

func TestConstructedEqualsParsed(t *testing.T) {
	assert.Equal(t, quantity.PSIG(118.2), must(quantity.ParsePressure("118.2 psig")))
	assert.True(t, quantity.DegreesF(58) == must(quantity.ParseTemperature("58 °F")))
	assert.True(t, quantity.DegreesF(58) != must(quantity.ParseTemperature("58F")), "the spelling is part of the value")
	assert.True(t, quantity.Ounces(-4) == must(quantity.ParseMass("-4 oz")))
}

func TestJSON(t *testing.T) {
	type reading struct {
		P quantity.Pressure    `json:"p,omitzero"`
		T quantity.Temperature `json:"t,omitzero"`
		M quantity.Mass        `json:"m,omitzero"`
	}
	const line = `{"p":"118psig","t":"58 ºF"}`
	var r reading
	require.NoError(t, json.Unmarshal([]byte(line), &r))
	out, err := json.Marshal(r)
	require.NoError(t, err)
	assert.Equal(t, line, string(out))
	require.ErrorContains(t, json.Unmarshal([]byte(`{"p":"118"}`), &r), "no unit")
	require.ErrorContains(t, json.Unmarshal([]byte(`{"p":""}`), &r), "nothing entered")
	require.Error(t, json.Unmarshal([]byte(`{"p":118}`), &r))
}

// Every value that can be constructed prints a text that gives it back.
func TestConstructedRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.OneOf(rapid.Float64(), rapid.Float64Range(-500, 5000), rapid.Float64Range(-1e-9, 1e-9)).Draw(t, "x")
		u := rapid.SampledFrom([]quantity.Unit{quantity.PSIGUnit, quantity.KPa, quantity.BarG, quantity.InHgVac, quantity.Pa}).Draw(t, "unit")
		for name, v := range map[string]value{
			"pressure": quantity.PressureOf(x, u), "temperature": quantity.DegreesF(x), "temperature difference": quantity.DifferenceKelvins(x),
			"mass": quantity.Ounces(x), "length": quantity.Inches(x), "power": quantity.Tons(x), "humidity": quantity.RelativeHumidity(x),
			"current": quantity.Amperes(x),
		} {
			if v.IsZero() {
				continue
			}
			again, err := parsers[name](v.String())
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if again != v {
				t.Fatalf("%s: %q reads back as %#v, was %#v", name, v, again, v)
			}
		}
	})
}

// Conversions there and back, over the range of the trade.
func TestConversionsInvert(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		baro := rapid.Float64Range(50e3, 108e3).Draw(t, "barometer")
		psig := rapid.Float64Range(-5, 700).Draw(t, "psig")
		p := quantity.PSIG(psig)
		back := quantity.AbsolutePascals(p.Absolute(baro)).In(quantity.PSIGUnit, baro)
		if math.Abs(back-psig) > 1e-9 {
			t.Fatalf("%v psig came back as %v", psig, back)
		}
		f := rapid.Float64Range(-60, 300).Draw(t, "F")
		if got := quantity.Kelvins(quantity.DegreesF(f).Kelvin()).Fahrenheit(); math.Abs(got-f) > 1e-9 {
			t.Fatalf("%v F came back as %v", f, got)
		}
	})
}

func TestFormat(t *testing.T) {
	oz := func(x float64) float64 { return quantity.Ounces(x).Kilograms() }
	for _, c := range []struct{ want, got string }{
		{"118 psig", quantity.FormatPressure(quantity.PSIG(118.4), quantity.US, seaLevel)},
		{"8.1 barg", quantity.FormatPressure(quantity.PSIG(118), quantity.SI, seaLevel)},
		{"0 psig", quantity.FormatPressurePa(seaLevel-100, quantity.US, seaLevel)},
		{"-", quantity.FormatPressure(quantity.Pressure{}, quantity.US, seaLevel)},
		{"58.0 °F", quantity.FormatTemperatureK(quantity.DegreesF(58).Kelvin(), quantity.US)},
		{"14.4 °C", quantity.FormatTemperatureK(quantity.DegreesF(58).Kelvin(), quantity.SI)},
		{"0.0 °C", quantity.FormatTemperatureK(273.149, quantity.SI)},
		{"9.0 °F", quantity.FormatDifferenceK(5, quantity.US)},
		{"5.0 K", quantity.FormatDifferenceK(5, quantity.SI)},
		{"-", quantity.FormatDifferenceK(math.NaN(), quantity.SI)},
		{"8.5 oz", quantity.FormatMassKg(oz(8.5), quantity.US)},
		{"1 lb 4 oz", quantity.FormatMassKg(oz(20), quantity.US)},
		{"-1 lb 4 oz", quantity.FormatMassKg(oz(-20), quantity.US)},
		{"1 lb 0 oz", quantity.FormatMassKg(oz(15.96), quantity.US)},
		{"8 lb 8 oz", quantity.FormatMassKg(oz(136), quantity.US)},
		{"0 oz", quantity.FormatMassKg(oz(-0.01), quantity.US)},
		{"0 lb 8 oz", quantity.FormatPoundsOunces(oz(8))},
		{"227 g", quantity.FormatMassKg(oz(8), quantity.SI)},
		{"2.600 kg", quantity.FormatMassKg(2.6, quantity.SI)},
		{"1.000 kg", quantity.FormatMassKg(0.9996, quantity.SI)},
		{"-113 g", quantity.FormatMassKg(oz(-4), quantity.SI)},
	} {
		assert.Equal(t, c.want, c.got)
	}
}

func TestSystem(t *testing.T) {
	for _, s := range []quantity.System{quantity.US, quantity.SI} {
		back, ok := quantity.ParseSystem(s.String())
		assert.True(t, ok)
		assert.Equal(t, s, back)
		assert.True(t, quantity.PressureOf(1, s.PressureUnit()).IsGauge())
		assert.False(t, quantity.PressureOf(1, s.BarometerUnit()).IsGauge())
		assert.True(t, must(quantity.ParseTemperatureIn("1", s.TemperatureUnit())).IsValid())
		assert.True(t, must(quantity.ParseTemperatureDifferenceIn("1", s.DifferenceUnit())).IsValid())
		assert.True(t, must(quantity.ParseMassIn("1", s.MassUnit())).IsValid())
		assert.True(t, must(quantity.ParseMassIn("1 kg", s.CylinderUnit())).IsValid())
		assert.True(t, must(quantity.ParseLengthIn("1", s.LengthUnit())).IsValid())
		assert.True(t, must(quantity.ParseLengthIn("1", s.DiameterUnit())).IsValid())
		assert.True(t, must(quantity.ParsePowerIn("1", s.PowerUnit())).IsValid())
	}
	assert.True(t, must(quantity.ParseHumidityIn("45", quantity.Percent)).IsValid())
	assert.True(t, must(quantity.ParseCurrentIn("4,5", quantity.Ampere)).IsValid())
}
