package quantity_test

import (
	"encoding"
	"math"
	"testing"

	"chargehand/charge/quantity"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Conversion factors as printed in NIST SP 811 (2008), appendix B.8, and the
// fixed points of the temperature scales.
func TestConversions(t *testing.T) {
	worst, n := 0.0, 0
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"psia in kPa", quantity.PSIA(100).In(quantity.KPa, seaLevel), 689.4757},
		{"bar in psia", quantity.PressureOf(1, quantity.Bar).In(quantity.PSIAUnit, seaLevel), 14.50377},
		{"psia as gauge", quantity.PSIA(100).Gauge(seaLevel), 689475.7 - 101325},
		{"psig as gauge", quantity.PSIG(100).Gauge(seaLevel), 689475.7},
		{"°C in °F", quantity.DegreesC(100).In(quantity.Fahrenheit), 212},
		{"°C in K", quantity.DegreesC(25).Kelvin(), 298.15},
		{"a difference in °F", quantity.DifferenceKelvins(10).In(quantity.FahrenheitDegrees), 18},
		{"a difference in K", quantity.DifferenceFahrenheit(18).FahrenheitDegrees(), 18},
		{"lb in g", quantity.Pounds(1).Grams(), 453.5924},
		{"g in lb", quantity.Grams(453.5924).Pounds(), 1},
		{"oz in g", quantity.Ounces(1).In(quantity.Gram), 28.34952},
		{"kg in oz", quantity.Kilograms(1).Ounces(), 35.27396},
		{"ft in m", quantity.Feet(1000).Meters(), 304.8},
		{"m in ft", quantity.Meters(304.8).Feet(), 1000},
		{"in in mm", quantity.Inches(1).Millimeters(), 25.4},
		{"mm in in", quantity.Millimeters(25.4).Inches(), 1},
		{"m in cm", quantity.Meters(1).In(quantity.Centimeter), 100},
		{"ton in kW", quantity.Tons(1).Kilowatts(), 3.516853},
		{"ton in Btu/h", quantity.Tons(1).BTUPerHour(), 12000},
		{"W in ton", quantity.Watts(3516.853).Tons(), 1},
		{"kW in W", quantity.Watts(1500).In(quantity.Kilowatt), 1.5},
		{"relative humidity", quantity.RelativeHumidity(45).Percent(), 45},
		{"relative humidity", quantity.RelativeHumidity(45).In(quantity.Percent), 45},
		{"current", quantity.Amperes(12.3).In(quantity.Ampere), 12.3},
	} {
		assert.InEpsilon(t, c.want, c.got, 1e-6, c.what)
		worst, n = max(worst, math.Abs(c.got/c.want-1)), n+1
	}
	t.Logf("evidence: NIST SP 811 (2008), appendix B.8 | unit conversions, worst of %d | %.1g off | - | 1e-6, the printed digits", n, worst)
	assert.True(t, math.IsNaN(quantity.Ounces(1).In(quantity.Foot)))
	assert.True(t, math.IsNaN(quantity.Pressure{}.Gauge(seaLevel)))
}

func TestTextInterfaces(t *testing.T) {
	for text, v := range map[string]interface {
		encoding.TextMarshaler
		encoding.TextUnmarshaler
		IsZero() bool
	}{
		"118psig": new(quantity.Pressure), "58 ºF": new(quantity.Temperature), "13F": new(quantity.TemperatureDifference),
		"1lb4oz": new(quantity.Mass), `3/8"`: new(quantity.Length), "3ton": new(quantity.Power), "45%": new(quantity.Humidity), "12.3A": new(quantity.Current),
	} {
		empty, err := v.MarshalText()
		require.NoError(t, err)
		assert.Empty(t, empty)
		require.NoError(t, v.UnmarshalText([]byte(text)))
		out, err := v.MarshalText()
		require.NoError(t, err)
		assert.Equal(t, text, string(out))
		require.Error(t, v.UnmarshalText([]byte("nonsense")))
		assert.True(t, v.IsZero(), "a refused text leaves nothing behind")
	}
}

func TestNothingToFormat(t *testing.T) {
	nan := math.NaN()
	for _, s := range []string{quantity.FormatTemperatureK(nan, quantity.US), quantity.FormatMassKg(nan, quantity.SI), quantity.FormatPoundsOunces(nan)} {
		assert.Equal(t, "-", s)
	}
	_, ok := quantity.ParseSystem("imperial")
	assert.False(t, ok)
}

var sink any

func BenchmarkParsePressure(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		sink, _ = quantity.ParsePressure("118.2 psig")
	}
}
