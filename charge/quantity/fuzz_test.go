package quantity_test

import (
	"errors"
	"testing"

	"chargehand/charge/quantity"
)

// Whatever is typed: no panic, a *ParseError or a value whose text is what was
// typed and reads back as the same value.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"118.2 psig", "58 °F", "1 lb 4 oz", "1-1/8 in", "45%", "−4 oz", "1e-7 K", "25'6\"", "1,234", "8-4", "", "-"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for name, parse := range parsers {
			v, err := parse(s)
			if err != nil {
				checkError(t, name, v, err)
				continue
			}
			if v.String() != s {
				t.Fatalf("%s %q prints %q", name, s, v)
			}
			if again, err := parse(v.String()); err != nil || again != v {
				t.Fatalf("%s %q: second reading %v, %v", name, s, again, err)
			}
		}
	})
}

// Whatever is typed in a screen and taken can be written to the journal.
func FuzzParseIn(f *testing.F) {
	for _, s := range []string{"118", "118,2", "0,375", "1,234", "8-4", "1 lb 4", "-1/2", "4,46barg", "14,4 ℃", ",5", "1 1/8"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, sys := range []quantity.System{quantity.US, quantity.SI} {
			screen := map[string]func() (value, error){
				"pressure":               func() (value, error) { return quantity.ParsePressureIn(s, sys.PressureUnit()) },
				"temperature":            func() (value, error) { return quantity.ParseTemperatureIn(s, sys.TemperatureUnit()) },
				"temperature difference": func() (value, error) { return quantity.ParseTemperatureDifferenceIn(s, sys.DifferenceUnit()) },
				"mass":                   func() (value, error) { return quantity.ParseMassIn(s, sys.CylinderUnit()) },
				"length":                 func() (value, error) { return quantity.ParseLengthIn(s, sys.DiameterUnit()) },
				"power":                  func() (value, error) { return quantity.ParsePowerIn(s, sys.PowerUnit()) },
			}
			for name, parse := range screen {
				v, err := parse()
				if err != nil {
					checkError(t, name, v, err)
					continue
				}
				if again, err := parsers[name](v.String()); err != nil || again != v {
					t.Fatalf("%s %q gives %q, which reads as %v, %v", name, s, v, again, err)
				}
			}
		}
	})
}

func checkError(t *testing.T, name string, v value, err error) {
	t.Helper()
	var pe *quantity.ParseError
	if !errors.As(err, &pe) || pe.Quantity != name || !v.IsZero() {
		t.Fatalf("%s: %v with %v", name, err, v)
	}
	for _, r := range err.Error() {
		if r < ' ' || r == 0x7f {
			t.Fatalf("%s: control character in %q", name, err.Error())
		}
	}
}
