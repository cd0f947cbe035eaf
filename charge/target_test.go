package charge_test

import (
	_ "embed"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/charge"
	"chargehand/charge/quantity"
)

//go:embed charts/target_superheat.csv
var chartText string

func kelvin(f float64) float64 { return (f + 459.67) * perF }

// TestChart compares every printed cell of the published chart: numbers within
// 0.01 °F, no target at a dash.
func TestChart(t *testing.T) {
	numbers, dashes, missing, worst, worstRule := 0, 0, 0, 0.0, 0.0
	for line := range strings.Lines(chartText) {
		p := strings.Split(strings.TrimSpace(line), ",")
		out, err := strconv.ParseFloat(p[0], 64)
		if err != nil || len(p) != 3 {
			continue
		}
		wet, err := strconv.ParseFloat(p[1], 64)
		require.NoError(t, err)
		got := charge.TargetSuperheat(kelvin(out), kelvin(wet))
		switch p[2] {
		case "":
			missing++
			if got.Defined && strings.HasPrefix(got.Source, "published") {
				// Filled between printed numbers: near the trade's rule, which follows
				// the chart within 3 °F up to 95 °F and reads low above.
				rule := (3*wet - 80 - out) / 2
				assert.InDelta(t, rule, got.Mid/perF, 7, "%g/%g", out, wet)
				worstRule = math.Max(worstRule, math.Abs(rule-got.Mid/perF))
			}
		case "dash":
			dashes++
			assert.False(t, got.Defined, "%g/%g is a dash", out, wet)
			assert.Contains(t, got.Says, "dash")
		default:
			numbers++
			want, err := strconv.ParseFloat(p[2], 64)
			require.NoError(t, err)
			require.True(t, got.Defined, "%g/%g", out, wet)
			assert.InDelta(t, want, got.Mid/perF, 0.01, "%g/%g", out, wet)
			worst = math.Max(worst, math.Abs(want-got.Mid/perF))
			assert.InDelta(t, math.Max(want-5, 5), got.Low/perF, 0.01)
			assert.InDelta(t, want+5, got.High/perF, 0.01)
		}
	}
	assert.Greater(t, numbers, 100)
	assert.Greater(t, dashes, 40)
	t.Logf("evidence: published target-superheat chart | target superheat, worst of %d printed numbers; %d dashes give none | %.3f °F | - | 1 °F", numbers, dashes, worst)
}

// TestChartBetween: corner and middle values as worked out in the sessions, the
// surface is smooth, and the ends are ends.
func TestChartBetween(t *testing.T) {
	for _, c := range []struct{ out, wet, want float64 }{
		{88, 65, 11.8}, {89, 65, 11.4}, {90, 64.8, 10.6}, {92, 66, 11.8}, {85, 62, 8}, {70, 66, 24}, {100, 66, 8}, {110, 74, 20},
	} {
		got := charge.TargetSuperheat(kelvin(c.out), kelvin(c.wet))
		require.True(t, got.Defined)
		assert.InDelta(t, c.want, got.Mid/perF, 0.1, "%v", c)
	}
	for _, c := range [][2]float64{{39, 62}, {116, 72}, {85, 49}, {85, 77}, {math.NaN(), 62}, {85, math.NaN()}, {95, 55}} {
		assert.False(t, charge.TargetSuperheat(kelvin(c[0]), kelvin(c[1])).Defined, "%v", c)
	}
	// A tenth of a degree never moves the target by more than half a degree.
	for out := 40.0; out <= 115; out += 0.5 {
		for wet := 50.0; wet < 76; wet += 0.1 {
			a, b := charge.TargetSuperheat(kelvin(out), kelvin(wet)), charge.TargetSuperheat(kelvin(out), kelvin(wet+0.1))
			if a.Defined && b.Defined {
				assert.InDelta(t, a.Mid/perF, b.Mid/perF, 0.5, "%g/%g", out, wet)
				assert.GreaterOrEqual(t, a.Mid/perF, 5.0-1e-9)
			}
		}
	}
}

// TestRuleIsMarked: where the chart is silent the common rule stands in, says
// so, and keeps its guard.
func TestRuleIsMarked(t *testing.T) {
	marked := 0
	for out := 40.0; out <= 115; out += 5 {
		for wet := 50.0; wet <= 76; wet += 2 {
			g := charge.TargetSuperheat(kelvin(out), kelvin(wet))
			if g.Defined && strings.HasPrefix(g.Source, "common rule") {
				marked++
				assert.GreaterOrEqual(t, out, 55.0)
				assert.InDelta(t, (3*wet-80-out)/2, g.Mid/perF, 0.01)
				assert.NotEmpty(t, g.Says)
			}
		}
	}
	assert.Greater(t, marked, 0)
}

// TestMakersFigureOutranks: what the maker says stands over every built-in figure.
func TestMakersFigureOutranks(t *testing.T) {
	r := newRoof(t, `{"kind":"setup","refrigerant":"R-410A","device":"fixed-orifice","target_superheat":"14 °F","target_subcooling":"12 °F"}`, mildDay)
	a := r.read(36, 30, 98, 2)
	assert.InDelta(t, 14, a.Target.Mid/perF, 1e-9)
	assert.InDelta(t, 9, a.IfValve.Low/perF, 1e-9)
	assert.Contains(t, a.Target.Source, "maker")
	r = newRoof(t, `{"kind":"setup","refrigerant":"R-410A","device":"expansion-valve"}`, mildDay)
	a = r.read(40, 12, 100, 5)
	assert.InDelta(t, 10, a.Target.Mid/perF, 1e-9, "the stated default")
	assert.Contains(t, a.Target.Source, "default")
	assert.InDelta(t, 7, a.Target.Low/perF, 1e-9)
}

// TestLineAllowance: an R-410A installation guide, ounces a foot of liquid line:
// 1/4 in 0.3, 5/16 in 0.4, 3/8 in 0.6, 1/2 in 1.2.
func TestLineAllowance(t *testing.T) {
	for _, c := range []struct {
		od, length, factory string
		oz                  float64
	}{
		{"3/8 in", "45 ft", "25 ft", 12}, {"3/8 in", "10 ft", "25 ft", -9}, {"1/4 in", "35 ft", "15 ft", 6},
		{"5/16 in", "50 ft", "", 10}, {"1/2 in", "30 ft", "25 ft", 6}, {"9.5 mm", "45 ft", "25 ft", 12},
	} {
		var od, l, f quantity.Length
		require.NoError(t, od.UnmarshalText([]byte(c.od)))
		require.NoError(t, l.UnmarshalText([]byte(c.length)))
		if c.factory != "" {
			require.NoError(t, f.UnmarshalText([]byte(c.factory)))
		}
		assert.InDelta(t, c.oz, charge.LineAllowance(od, l, f)/oz, 1e-9, "%v", c)
	}
	assert.True(t, math.IsNaN(charge.LineAllowance(quantity.Inches(3), quantity.Feet(40), quantity.Length{})))
	assert.True(t, math.IsNaN(charge.LineAllowance(quantity.Length{}, quantity.Feet(40), quantity.Length{})))
}
