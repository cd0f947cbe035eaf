package refrigerants_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	psi        = 6894.757293168 // Pa, by the definition of the pound and the inch
	atmosphere = 101325.0       // Pa, what gauge readings of printed charts count from
)

// halfDigit is half a unit of the last digit printed.
func halfDigit(s string) float64 {
	if i := strings.IndexByte(s, '.'); i >= 0 {
		return 0.5 * math.Pow(10, -float64(len(s)-i-1))
	}
	return 0.5
}

// Printed charts and handbook tables, against the printed digit. Charts made
// from the same equations of state must be met within their rounding of
// pressure and temperature. Others rest on other equations: what is allowed
// beyond rounding is stated with its reason.
func TestPrintedCharts(t *testing.T) {
	// Relative pressure allowed beyond rounding where the data are older than
	// the equations of state.
	older := map[string]float64{
		"R-407C": 0.020, // a manual from before the 2004 mixture model, whole psi, on the liquid side 0.9 to 1.7 % low
		"R-134a": 0.014, // tables in 0.1 K; 1.25 % at the lowest pressure
		"R-410A": 0.013, // a service manual, 1.2 % at the cold end
	}
	w := worst{}
	for _, row := range table(t, "pressure_temperature_charts.csv") {
		if row["suspect"] != "" {
			continue
		}
		r := lookup(t, row["refrigerant"])
		T := num(t, row["temperature"])
		dT := halfDigit(row["temperature"])
		if row["temperature_unit"] == "F" {
			T, dT = (T+459.67)/1.8, dT/1.8
			if !strings.Contains(row["temperature"], ".") {
				dT = 0 // whole degrees are where the chart was made, not rounded
			}
		} else {
			T += 273.15
			if !strings.Contains(row["temperature"], ".") {
				dT = 0
			}
		}
		p, dp := num(t, row["pressure"]), halfDigit(row["pressure"])
		switch row["pressure_unit"] {
		case "psig":
			p, dp = p*psi+atmosphere, dp*psi
		case "psia":
			p, dp = p*psi, 0 // pressure is where the table was made
		case "bar absolute":
			p, dp = p*1e5, dp*1e5
			if dT > 0 {
				dp = 0
			}
		case "MPa gauge":
			p, dp = p*1e6+atmosphere, dp*1e6
		default:
			t.Fatalf("unit %q", row["pressure_unit"])
		}
		pressure := r.BubblePressure
		if row["line"] == "dew" {
			pressure = r.DewPressure
		}
		got, err := pressure(T)
		require.NoError(t, err, "%v", row)
		up, err := pressure(T + 0.1)
		require.NoError(t, err)
		tolerance := dp + dT*(up-got)/0.1
		switch {
		case row["basis"] == "independent, older data":
			tolerance += older[r.Name()] * p
		case row["basis"] == "textbook table":
			// R-22 by the equations in use before the 1995 formulation.
			tolerance += 0.0004 * p
		case r.Name() == "R-410A":
			// That chart was made with the pseudo-pure equation of R-410A
			// (Lemmon 2003), which meets it within rounding; the mixture model
			// differs from that equation by up to 0.02 % here (143.16 for 143.15
			// psig at 50 °F, 542.51 for 542.63 at 140 °F).
			tolerance += 0.0002 * p
		}
		w.up(row["refrigerant"]+", "+row["basis"], got/p-1)
		assert.InDelta(t, p, got, tolerance*1.02+1, "%v %s at %s %s: %s %s (%s)", r, row["line"],
			row["temperature"], row["temperature_unit"], row["pressure"], row["pressure_unit"], row["source"])
	}
	kinds := make([]string, 0, len(w))
	for kind := range w {
		kinds = append(kinds, kind)
	}
	slices.Sort(kinds)
	for _, kind := range kinds {
		tolerance := "the printed digit"
		switch name, basis, _ := strings.Cut(kind, ", "); {
		case basis == "independent, older data":
			tolerance = fmt.Sprintf("%.1f %% and the printed digit", 100*older[name])
		case basis == "textbook table":
			tolerance = "0.04 % and the printed digit"
		case name == "R-410A":
			tolerance = "0.02 % and the printed digit"
		}
		evidence(t, "printed pressure-temperature charts", kind+": pressure, worst", fmt.Sprintf("%.2f %% off", 100*w[kind]), "-", tolerance)
	}
}
