package cli

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strconv"
	"strings"
	"testing"

	"chargehand/charge/quantity"
	"chargehand/refrigerants"

	"github.com/alecthomas/kong"
	"github.com/charmbracelet/x/exp/golden"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pt runs the command with a parser of its own.
func pt(t *testing.T, args ...string) (string, error) {
	t.Helper()
	var c PtCmd
	parser, err := kong.New(&c, kong.Name("pt"))
	require.NoError(t, err)
	if _, err := parser.Parse(minusSigns(args)); err != nil {
		return "", err
	}
	var out bytes.Buffer
	err = c.Run(&Env{Out: &out, Err: &out})
	return out.String(), err
}

type ptAnswer struct {
	Refrigerant string           `json:"refrigerant"`
	Barometer   float64          `json:"barometer_psia"`
	Points      []map[string]any `json:"points"`
}

func ptJSON(t *testing.T, args ...string) ptAnswer {
	t.Helper()
	out, err := pt(t, append(args, "--json")...)
	require.NoError(t, err)
	var a ptAnswer
	require.NoError(t, json.Unmarshal([]byte(out), &a), out)
	return a
}

// A printed chart made from the national reference property program, 10 °F
// steps: R-410A 118.8 psig at 40 °F, R-22 68.5 at 40 °F and R-134a 35.0 at
// 40 °F (the last two from memory of any gauge face).
func TestPtAgainstPrintedChart(t *testing.T) {
	for name, psig := range map[string]float64{"R-410A": 118.8, "r22": 68.5, "134a": 35.0} {
		a := ptJSON(t, name, "40F")
		assert.InDelta(t, psig, a.Points[0]["bubble_psig"], 0.11, name)
	}
	a := ptJSON(t, "R-410A", "118.8psig")
	assert.InDelta(t, 40, a.Points[0]["bubble_F"], 0.05)
	assert.Equal(t, "118.8psig", a.Points[0]["given"])
}

// R-407C at sea level: Fahrenheit glide near ten degrees (ASHRAE 34 gives
// bubble -43.8, dew -36.7 °C at one atmosphere, 7.1 K).
func TestPtGlide(t *testing.T) {
	a := ptJSON(t, "R-407C", "14.696psia")
	assert.InDelta(t, 7.1*1.8, a.Points[0]["glide_F"], 0.4)
}

// Gauge pressure is local: at 5000 ft the standard atmosphere has 12.23 psia
// (ASHRAE Fundamentals 2021 ch. 1 Table 1), so 118 psig there is 115.5 psig at
// sea level; absolute pressures do not care.
func TestPtElevation(t *testing.T) {
	high := ptJSON(t, "R-410A", "118psig", "--elevation", "5000ft")
	assert.InDelta(t, 12.23, high.Barometer, 0.01)
	low := ptJSON(t, "R-410A", "115.53psig")
	assert.InDelta(t, low.Points[0]["dew_F"].(float64), high.Points[0]["dew_F"], 0.05)
	same := ptJSON(t, "R-410A", "118psig", "--altitude", "5000 ft")
	assert.Equal(t, high.Points, same.Points)
	meter := ptJSON(t, "R-410A", "118psig", "--barometer", "24.9 inHg abs")
	assert.InDelta(t, 24.9*0.4911541, meter.Barometer, 1e-3)
	assert.Equal(t, ptJSON(t, "R-32", "150psia").Points[0]["dew_F"], ptJSON(t, "R-32", "150psia", "--elevation", "5000ft").Points[0]["dew_F"],
		"an absolute pressure does not care")
}

func TestPtText(t *testing.T) {
	out, err := pt(t, "R-454B", "118psig", "-20F")
	require.NoError(t, err)
	for _, s := range []string{"R-454B  safety group A2L", "R-32/R-1234yf 68.9/31.1 % by mass", "sea level", "14.7 psia",
		"118psig  (132.7 psia absolute)", "bubble", "dew", "glide", "Mildly flammable", "leave the cylinder as liquid"} {
		assert.Contains(t, out, s)
	}
	out, err = pt(t, "R-454B", "8.1barg")
	require.NoError(t, err)
	assert.Contains(t, out, "°C")
	assert.NotContains(t, out, "°F")
	out, err = pt(t, "R-408A", "40F")
	require.NoError(t, err)
	assert.Contains(t, out, "partly estimated (R-125 / R-22)")
}

// Every refrigerant has a chart that keeps within 80 (and 40) columns.
func TestPtChart(t *testing.T) {
	for _, r := range refrigerants.All() {
		for _, args := range [][]string{{r.Name()}, {r.Name(), "--si"}, {r.Name(), "--width", "40"}} {
			out, err := pt(t, args...)
			require.NoError(t, err)
			w := 80
			if len(args) == 3 {
				w = 40
			}
			for _, line := range strings.Split(out, "\n") {
				assert.LessOrEqual(t, len([]rune(line)), w, "%v: %q", args, line)
			}
		}
	}
}

func TestPtTable(t *testing.T) {
	out, err := pt(t, "R-407C", "--table", "0F..100F", "--step", "10F", "--csv")
	require.NoError(t, err)
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 12)
	assert.Equal(t, []string{"refrigerant", "temperature_F", "bubble_psig", "bubble_psia", "dew_psig", "dew_psia"}, rows[0])
	last := -100.0
	for i, row := range rows[1:] {
		T, err := strconv.ParseFloat(row[1], 64)
		require.NoError(t, err)
		assert.InDelta(t, float64(10*i), T, 1e-3)
		b, err := strconv.ParseFloat(row[2], 64)
		require.NoError(t, err)
		d, err := strconv.ParseFloat(row[4], 64)
		require.NoError(t, err)
		assert.Greater(t, b, last)
		assert.Greater(t, b, d, "R-407C boils over the pressure it condenses at")
		last = b
	}
	// Pressures too, metric, and rows without an answer keep their place.
	out, err = pt(t, "R-32", "--table=20barg..70barg", "--step=10barg", "--csv")
	require.NoError(t, err)
	rows, err = csv.NewReader(strings.NewReader(out)).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 7)
	assert.Equal(t, "pressure_barg", rows[0][1])
	assert.NotEmpty(t, rows[1][3])
	assert.Empty(t, rows[6][3], "70 barg is over the critical point")
	a := ptJSON(t, "R-32", "--table=20barg..70barg", "--step=10barg")
	assert.Nil(t, a.Points[5]["bubble_C"])
	out, err = pt(t, "R-134a", "--table", "-40F..0F", "--step", "2F")
	require.NoError(t, err)
	assert.Contains(t, out, "v: inches of mercury of vacuum")
}

// Whole answers, to see what a technician sees.
func TestPtGolden(t *testing.T) {
	for name, args := range map[string][]string{
		"chart_glide":  {"R-407C"},
		"chart_si":     {"R-32", "--si"},
		"chart_narrow": {"R-134a", "--width", "40", "--table", "-20F..60F", "--step", "4F"},
		"values":       {"R-454B", "118psig", "95F", "--elevation", "5000ft"},
		"estimated":    {"R-438A", "4.2barg"},
		"pressures":    {"R-448A", "--table", "0psig..100psig"},
	} {
		t.Run(name, func(t *testing.T) {
			out, err := pt(t, args...)
			require.NoError(t, err)
			golden.RequireEqual(t, []byte(out))
		})
	}
}

func TestPtRefusals(t *testing.T) {
	for _, c := range []struct {
		args []string
		says []string
	}{
		{[]string{"R-999", "40F"}, []string{`"R-999"`, "R-410A"}},
		{[]string{"R-410A", "118"}, []string{`"118"`, "no unit", "118psig"}},
		{[]string{"R-410A", "118psi"}, []string{"118psi", "psig"}},
		{[]string{"R-410A", "warm"}, []string{`"warm"`, "118psig"}},
		{[]string{"R-410A", "900psig"}, []string{"900psig", "psig", "R-410A", "critical point"}},
		{[]string{"R-410A", "200C"}, []string{"200C", "°C"}},
		{[]string{"R-410A", "40F", "--elevation", "5000"}, []string{"--elevation", "5000"}},
		{[]string{"R-410A", "40F", "--elevation", "90000ft"}, []string{"--elevation", "90000ft"}},
		{[]string{"R-410A", "40F", "--barometer", "118psig"}, []string{"--barometer", "absolute"}},
		{[]string{"R-410A", "--table", "0F"}, []string{"--table", "two dots"}},
		{[]string{"R-410A", "--table", "0F..100psig"}, []string{"--table", "two of a kind"}},
		{[]string{"R-410A", "--table", "0F..100F", "--step", "0F"}, []string{"--step"}},
		{[]string{"R-410A", "--table", "0F..100F", "--step", "0.001F"}, []string{"--step", "larger"}},
		{[]string{"R-410A", "--table", "300F..400F"}, []string{"300F..400F", "critical"}},
		{[]string{"R-410A", "40F", "--table", "0F..100F"}, []string{"not both"}},
	} {
		_, err := pt(t, c.args...)
		require.Error(t, err, "%v", c.args)
		var e *ExitError
		if assert.ErrorAs(t, err, &e, "%v: %v", c.args, err) {
			assert.Equal(t, ExitUsage, e.Code)
		}
		for _, s := range c.says {
			assert.ErrorContains(t, err, s, "%v", c.args)
		}
	}
	_, err := pt(t, "R-410A", "40F", "--json", "--csv")
	assert.Error(t, err)
}

func TestMinusSigns(t *testing.T) {
	got := minusSigns([]string{"pt", "-20F", "--json", "-h", "-.5barg", "-"})
	assert.Equal(t, []string{"pt", "−20F", "--json", "-h", "−.5barg", "-"}, got)
	v, err := quantity.ParseTemperature(got[1])
	require.NoError(t, err)
	assert.InDelta(t, -20, v.Fahrenheit(), 1e-9)
}
