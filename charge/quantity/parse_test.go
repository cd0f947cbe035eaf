package quantity_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"chargehand/charge/quantity"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const seaLevel = 101325.0 // Pa

func TestPressure(t *testing.T) {
	// NIST SP 811 (2008) appendix B.8: 1 psi = 6.894 757 kPa, 1 bar = 100 kPa,
	// 1 inHg (conventional) = 3.386 389 kPa.
	for _, c := range []struct {
		text     string
		gauge    bool
		absolute float64 // Pa, barometer 101,325 Pa
	}{
		{"118.2 psig", true, 118.2*6894.757 + seaLevel},
		{"118.2psig", true, 118.2*6894.757 + seaLevel},
		{"118.2 PSIG", true, 118.2*6894.757 + seaLevel},
		{"132.9 psia", false, 132.9 * 6894.757},
		{"446 kPag", true, 446e3 + seaLevel},
		{"446 kPa", false, 446e3},
		{"4.46 barg", true, 446e3 + seaLevel},
		{"4.46 bar", false, 446e3},
		{"2.75 MPag", true, 2.75e6 + seaLevel},
		{"2.75 MPa", false, 2.75e6},
		{"-12 psig", true, -12*6894.757 + seaLevel},
		{"\u221212\u00a0psig", true, -12*6894.757 + seaLevel},
		{"20 inHg vac", true, seaLevel - 20*3386.389},
		{"20inHgvac", true, seaLevel - 20*3386.389},
		{"29.92 inHg abs", false, 29.92 * 3386.389},
		{"835 hPa", false, 83500},
		{"835 mbar", false, 83500},
		{"0 psia", false, 0},
	} {
		p, err := quantity.ParsePressure(c.text)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.text, p.String())
		assert.Equal(t, c.gauge, p.IsGauge(), c.text)
		assert.InDelta(t, c.absolute, p.Absolute(seaLevel), 1+1e-7*c.absolute, c.text)
		assert.InDelta(t, c.absolute-seaLevel, p.In(quantity.PaG, seaLevel), 1+1e-7*c.absolute, c.text)
	}
	p := quantity.PSIG(118)
	assert.Equal(t, 118.0, p.In(quantity.PSIGUnit, 90000), "gauge stays gauge whatever the site")
	assert.InDelta(t, 118+14.696, p.In(quantity.PSIAUnit, seaLevel), 0.001)
	// Worked metric session: 4.46 bar = 446 kPa = 64.7 psi (arithmetic).
	assert.InDelta(t, 64.7, quantity.GaugePascals(446e3).In(quantity.PSIGUnit, seaLevel), 0.05)
	assert.True(t, math.IsNaN(p.In(quantity.Celsius, seaLevel)))
	assert.True(t, math.IsNaN(quantity.Pressure{}.Absolute(seaLevel)))
}

func TestTemperature(t *testing.T) {
	for _, c := range []struct {
		text   string
		kelvin float64
	}{
		{"32F", 273.15}, {"212 °F", 373.15}, {"58F", 287.594444}, {"58 ºF", 287.594444}, {"58℉", 287.594444},
		{"58 ° F", 287.594444}, {"58 deg F", 287.594444}, {"14.4C", 287.55}, {"14.4\u202f°C", 287.55},
		{"287 K", 287}, {"287K", 287}, {"-40 °F", 233.15}, {"\u221240℃", 233.15}, {"-459.67 °F", 0}, {"+20c", 293.15},
	} {
		x, err := quantity.ParseTemperature(c.text)
		require.NoError(t, err, c.text)
		assert.InDelta(t, c.kelvin, x.Kelvin(), 1e-6, c.text)
		assert.Equal(t, c.text, x.String())
	}
	x := quantity.DegreesF(58)
	assert.Equal(t, 58.0, x.Fahrenheit(), "a number comes back as given")
	assert.InDelta(t, 14.444444, x.Celsius(), 1e-6)
	assert.InDelta(t, 9, x.Sub(quantity.DegreesF(49)).FahrenheitDegrees(), 1e-9)
	assert.True(t, x.Sub(quantity.Temperature{}).IsZero())
}

func TestDifferenceHasNoOffset(t *testing.T) {
	for text, kelvins := range map[string]float64{
		"9 °F": 5, "18F": 10, "5 K": 5, "5 °C": 5, "-9 °F": -5, "0 °F": 0,
		"3 °F": 5.0 / 3,
	} {
		d, err := quantity.ParseTemperatureDifference(text)
		require.NoError(t, err, text)
		assert.InDelta(t, kelvins, d.Kelvins(), 1e-12, text)
	}
	assert.Equal(t, "13 °F", quantity.DifferenceFahrenheit(13).String())
}

func TestMass(t *testing.T) {
	// The avoirdupois pound is 0.453 592 37 kg of 16 oz (NIST SP 811, B.8).
	for text, kg := range map[string]float64{
		"8 oz": 0.22679619, "1 lb 4 oz": 0.56699046, "1lb4oz": 0.56699046, "8.25 lb": 3.7421371,
		"8 lb 4 oz": 3.7421371, "227 g": 0.227, "3.74 kg": 3.74, "-4 oz": -0.11339809, "-1 lb 4 oz": -0.56699046,
		"1 lb .5 oz": 0.46776713, "0 lb 0 oz": 0, "1/2 lb": 0.22679619, "8 1/2 oz": 0.24097095, "2 kg 600 g": 2.6,
		"8 OZ": 0.22679619, "3 lbs": 1.36077711,
	} {
		m, err := quantity.ParseMass(text)
		require.NoError(t, err, text)
		assert.InDelta(t, kg, m.Kilograms(), 1e-7, text)
		assert.Equal(t, text, m.String())
	}
	assert.Equal(t, 20.0, must(quantity.ParseMass("1 lb 4 oz")).Ounces())
	// Common practice, no source: 8.5 lb is 8 lb 8 oz, not 8 lb 5 oz.
	assert.Equal(t, 136.0, must(quantity.ParseMass("8.5 lb")).Ounces())
}

func TestOtherQuantities(t *testing.T) {
	for text, m := range map[string]float64{
		"900 ft": 274.32, "3/8 in": 0.009525, "0.375 in": 0.009525, "1-1/8 in": 0.028575, "1 1/8 in": 0.028575,
		`7/8"`: 0.022225, "25 ft 6 in": 7.7724, "25'6\"": 7.7724, "7.6 m": 7.6, "9.52 mm": 0.00952, "76 cm": 0.76,
		"-430 m": -430,
	} {
		l, err := quantity.ParseLength(text)
		require.NoError(t, err, text)
		assert.InDelta(t, m, l.Meters(), 1e-9, text)
		assert.Equal(t, text, l.String())
	}
	// One ton of refrigeration is 12,000 Btu/h = 3516.853 W (NIST SP 811, B.8).
	for text, w := range map[string]float64{
		"3 ton": 3 * 3516.853, "12000 Btu/h": 3516.853, "10.5 kW": 10500, "150 W": 150, "2.5 tons": 2.5 * 3516.853,
	} {
		p, err := quantity.ParsePower(text)
		require.NoError(t, err, text)
		assert.InDelta(t, w, p.Watts(), 1e-2, text)
	}
	assert.InDelta(t, 0.45, must(quantity.ParseHumidity("45 %")).Fraction(), 1e-12)
	assert.Equal(t, "45%", must(quantity.ParseHumidity("45%")).String())
	assert.Equal(t, 12.3, must(quantity.ParseCurrent("12.3 A")).Amperes())
}

func must[T any](x T, err error) T {
	if err != nil {
		panic(err)
	}
	return x
}

// parsers runs a text through a strict parser, giving the value as fmt.Stringer.
var parsers = map[string]func(string) (value, error){
	"pressure":               func(s string) (value, error) { return quantity.ParsePressure(s) },
	"temperature":            func(s string) (value, error) { return quantity.ParseTemperature(s) },
	"temperature difference": func(s string) (value, error) { return quantity.ParseTemperatureDifference(s) },
	"mass":                   func(s string) (value, error) { return quantity.ParseMass(s) },
	"length":                 func(s string) (value, error) { return quantity.ParseLength(s) },
	"power":                  func(s string) (value, error) { return quantity.ParsePower(s) },
	"humidity":               func(s string) (value, error) { return quantity.ParseHumidity(s) },
	"current":                func(s string) (value, error) { return quantity.ParseCurrent(s) },
}

type value interface {
	String() string
	IsZero() bool
	IsValid() bool
	Unit() quantity.Unit
	MarshalText() ([]byte, error)
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct{ kind, text, says string }{
		{"pressure", "118", "no unit; write it like 118 psig"},
		{"pressure", "118 psi", "gauge is psig, absolute is psia"},
		{"pressure", "29.92 inHg", "inHg abs"},
		{"pressure", "118,2 psig", "comma"},
		{"pressure", "2 mPa", "millipascal"},
		{"pressure", "-1 psia", "below absolute zero pressure"},
		{"pressure", "-20 psig", "below a perfect vacuum"},
		{"pressure", "40 inHg vac", "below a perfect vacuum"},
		{"pressure", "1e9 psig", "over 100 MPa"},
		{"pressure", "1e999 psig", "too large"},
		{"pressure", "118 °F", "is no unit of pressure"},
		{"pressure", "118 psig psig", "is no unit of pressure"},
		{"pressure", "118 psig 3 psig", "do not go together"},
		{"pressure", "1 2 3 psig", "left over"},
		{"pressure", "NaN psig", "not a number"},
		{"pressure", "Inf psig", "not a number"},
		{"pressure", "", "nothing entered"},
		{"pressure", " \u00a0 ", "nothing entered"},
		{"pressure", "-", "sign without a number"},
		{"pressure", "1.1.8 psig", "more than one decimal sign"},
		{"pressure", "118 psig" + strings.Repeat(" ", 100), "longer than 64 bytes"},
		{"pressure", "٣ psig", "not a number"},
		{"pressure", "0x10 psig", "is no unit"},
		{"pressure", "1_000 psig", "is no unit"},
		{"pressure", "118 psig\x1b[31m", "is no unit"},
		{"pressure", "118\tpsig\x00", "is no unit"},
		{"pressure", "118\tpsig", "is no unit"},
		{"pressure", "118 psig\n", "is no unit"},
		{"pressure", "\xff\xfe", "not a number"},
		{"temperature", "-500 °F", "below absolute zero"},
		{"temperature", "-1 K", "below absolute zero"},
		{"temperature", "9000 F", "over 2000 K"},
		{"temperature", "58", "no unit"},
		{"temperature", "58 F 3 F", "do not go together"},
		{"temperature", "1/2 F", "is no unit"},
		{"temperature difference", "13 psig", "is no unit of temperature difference"},
		{"mass", "8-4", "no unit"},
		{"mass", "1 lb 20 oz", "16 oz are one lb"}, {"mass", "1 lb 16 oz", "16 oz are one lb"},
		{"mass", "1.5 lb 4 oz", "give whole lb or one unit alone"},
		{"mass", "4 oz 1 lb", "do not go together"},
		{"mass", "1 lb -4 oz", "is no unit"},
		{"mass", "1 lb 2 oz 3 oz", "left over"},
		{"mass", "1/0 lb", "not a fraction"},
		{"mass", "1.5/2 lb", "not a fraction"},
		{"length", "3/8", "no unit"},
		{"power", "-3 ton", "below zero"},
		{"humidity", "101 %", "over 100 %"},
		{"humidity", "45", "no unit"},
		{"current", "-1 A", "below zero"},
	} {
		v, err := parsers[c.kind](c.text)
		var pe *quantity.ParseError
		require.True(t, errors.As(err, &pe), "%s %q: %v", c.kind, c.text, v)
		assert.True(t, v.IsZero(), c.text)
		assert.Equal(t, c.kind, pe.Quantity)
		assert.Contains(t, pe.Why, c.says, "%q", c.text)
		assert.NotEmpty(t, pe.Accepted)
		assert.Contains(t, err.Error(), pe.Accepted)
		for _, r := range err.Error() {
			assert.True(t, r >= ' ' && r != 0x7f, "control character in %q", err.Error())
		}
	}
}

func TestScreens(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"118", "118 psig"}, {"118,2", "118.2 psig"}, {" 118.2 ", "118.2 psig"}, {",5", ".5 psig"}, {"0,375", "0.375 psig"},
		{"1234,567", "1234.567 psig"}, {"1234", "1234 psig"}, {"-5,25", "-5.25 psig"}, {"4,46barg", "4.46barg"}, {"118psia", "118psia"},
		{"+3", "3 psig"}, {"\u22125", "-5 psig"}, {"1,23", "1.23 psig"}, {"1,2345", "1.2345 psig"},
	} {
		p, err := quantity.ParsePressureIn(c.text, quantity.PSIGUnit)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.want, p.String(), c.text)
		again, err := quantity.ParsePressure(p.String())
		require.NoError(t, err, "what a screen took must go to the journal")
		assert.Equal(t, p, again)
	}
	for _, c := range []struct{ text, says string }{
		{"1,234", "may mean 1.234 or 1234"}, {"12,345", "may mean"}, {"999,000", "may mean"},
		{"1,234.5", "thousands"}, {"1.234,5", "thousands"}, {"1,2,3", "thousands"}, {"5,", "ends in a comma"}, {"118 psi", "gauge"},
	} {
		_, err := quantity.ParsePressureIn(c.text, quantity.PSIGUnit)
		require.ErrorContains(t, err, c.says, c.text)
	}
	_, err := quantity.ParsePressureIn("118", quantity.Celsius)
	require.ErrorContains(t, err, "no unit of pressure to fall back on")
}

func TestMassInScreens(t *testing.T) {
	for _, c := range []struct {
		text string
		def  quantity.Unit
		want string
	}{
		{"8-4", quantity.PoundOunce, "8 lb 4 oz"}, {"24-6,5", quantity.PoundOunce, "24 lb 6.5 oz"}, {"0-8", quantity.Ounce, "0 lb 8 oz"},
		{"-1-4", quantity.Pound, "-1 lb 4 oz"}, {"8", quantity.Ounce, "8 oz"}, {"8", quantity.Pound, "8 lb"}, {"8 lb", quantity.PoundOunce, "8 lb"},
		{"8oz", quantity.PoundOunce, "8oz"}, {"1 lb 4", quantity.Ounce, "1 lb 4 oz"}, {"227", quantity.Gram, "227 g"}, {"1/2", quantity.Pound, "1/2 lb"},
		{"2,6", quantity.Kilogram, "2.6 kg"}, {"-4", quantity.Ounce, "-4 oz"}, {"300 g", quantity.PoundOunce, "300 g"},
	} {
		m, err := quantity.ParseMassIn(c.text, c.def)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.want, m.String(), c.text)
		assert.Equal(t, m, must(quantity.ParseMass(m.String())))
	}
	for _, c := range []struct {
		text string
		def  quantity.Unit
		says string
	}{
		{"8", quantity.PoundOunce, "pounds or ounces?"}, {"8-4", quantity.Gram, "write 8 lb 4 oz"}, {"8-20", quantity.PoundOunce, "16 oz are one lb"},
		{"8-4-2", quantity.PoundOunce, ""}, {"x", quantity.PoundOunce, "not a number"},
	} {
		_, err := quantity.ParseMassIn(c.text, c.def)
		require.ErrorContains(t, err, c.says, c.text)
	}
}
