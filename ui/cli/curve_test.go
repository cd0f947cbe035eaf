package cli

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/require"
)

// curve runs the command line of this command alone.
func curve(t *testing.T, args ...string) (out, errs string, err error) {
	t.Helper()
	var tree struct {
		Curve CurveCmd `cmd:""`
	}
	parser, err := kong.New(&tree, kong.Exit(func(int) { t.Fatal("left early") }))
	require.NoError(t, err)
	ctx, err := parser.Parse(append([]string{"curve"}, args...))
	if err != nil {
		return "", "", err
	}
	var o, e bytes.Buffer
	err = ctx.Run(&Env{In: strings.NewReader(""), Out: &o, Err: &e})
	return o.String(), e.String(), err
}

func curveRows(t *testing.T, args ...string) []map[string]float64 {
	t.Helper()
	out, _, err := curve(t, append(args, "--json")...)
	require.NoError(t, err)
	var rows []map[string]float64
	for line := range strings.Lines(out) {
		var row map[string]float64
		require.NoError(t, json.Unmarshal([]byte(line), &row), line)
		rows = append(rows, row)
	}
	return rows
}

func TestCurveJSONHasItsFieldsAndMeetsTheDesign(t *testing.T) {
	rows := curveRows(t, "--refrigerant", "R-410A", "--capacity", "3 ton", "--device", "fixed-orifice",
		"--design-superheat", "12F", "--design-subcooling", "10F", "--outdoor", "95F", "--return", "80F/67F", "--charge", "40:140:5")
	require.Len(t, rows, 21)
	for _, name := range []string{"charge_percent", "charge_kg", "superheat_F", "subcooling_F", "suction_psig", "liquid_psig",
		"suction_line_F", "liquid_line_F", "discharge_line_F", "supply_dry_bulb_F", "capacity_W", "power_W"} {
		for _, row := range rows {
			v, ok := row[name]
			require.True(t, ok, name)
			require.False(t, math.IsNaN(v))
		}
	}
	full := rows[12]
	require.InDelta(t, 100, full["charge_percent"], 1e-6)
	require.InDelta(t, 12, full["superheat_F"], 0.05)
	require.InDelta(t, 10, full["subcooling_F"], 0.05)
	require.InDelta(t, 3*3516.853, full["capacity_W"], 5)
	for i := 1; i < len(rows); i++ {
		require.LessOrEqual(t, rows[i]["superheat_F"], rows[i-1]["superheat_F"]+0.01, "superheat falls with charge")
		require.GreaterOrEqual(t, rows[i]["subcooling_F"], rows[i-1]["subcooling_F"]-0.01, "subcooling rises with charge")
	}
}

func TestCurveForms(t *testing.T) {
	out, _, err := curve(t, "--charge", "80:110:10", "--csv")
	require.NoError(t, err)
	table, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	require.NoError(t, err)
	require.Len(t, table, 5)
	require.Equal(t, "charge_percent", table[0][0])

	for _, width := range []string{"40", "80", "120"} {
		out, _, err = curve(t, "--charge", "80:110:10", "--width", width, "--device", "thermostatic")
		require.NoError(t, err)
		_, plot, ok := strings.Cut(out, "H superheat")
		require.True(t, ok)
		for line := range strings.Lines(plot) {
			require.LessOrEqual(t, ansi.StringWidth(strings.TrimRight(line, "\n")), map[string]int{"40": 40, "80": 80, "120": 120}[width])
		}
	}
	us := curveRows(t, "--charge", "90")
	high := curveRows(t, "--charge", "90", "--elevation", "5000ft")
	require.Less(t, high[0]["liquid_psig"]-us[0]["liquid_psig"], 40.0)
	require.NotEqual(t, us[0]["suction_psig"], high[0]["suction_psig"])
	humid := curveRows(t, "--charge", "90", "--return", "80F/51%")
	require.InDelta(t, us[0]["superheat_F"], humid[0]["superheat_F"], 0.5, "80 °F and 51 %% is about 67 °F wet bulb")
}

func TestCurveFaults(t *testing.T) {
	sound := curveRows(t, "--charge", "100")[0]
	blocked := curveRows(t, "--charge", "100", "--restriction", "0.6")[0]
	require.Greater(t, blocked["superheat_F"], sound["superheat_F"]+5)
	require.Less(t, blocked["suction_psig"], sound["suction_psig"])
	starved := curveRows(t, "--charge", "100", "--low-airflow", "0.5")[0]
	require.Less(t, starved["superheat_F"], sound["superheat_F"])
}

func TestCurveRefusals(t *testing.T) {
	for name, args := range map[string][]string{
		"--capacity":     {"--capacity", "lots"},
		"--return":       {"--return", "80F"},
		"--charge":       {"--charge", "140:40:5"},
		"wet bulb":       {"--return", "67F/80F"},
		"R-999":          {"--refrigerant", "R-999"},
		"restriction":    {"--restriction", "2"},
		"receiver":       {"--head-pressure", "180psig"},
		"fixed-orifice":  {"--device", "hole"},
		"--design-super": {"--design-superheat", "-3F"},
	} {
		_, _, err := curve(t, args...)
		require.Error(t, err, name)
		require.Contains(t, err.Error(), name)
	}
}
