package ledger

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"chargehand/charge"
	q "chargehand/charge/quantity"
	"chargehand/refrigerants"
)

// Worked figures of the two methods of 40 CFR 82.152: appliance, full charge and
// addition in lb, days since the last addition (0: rolling), rate in percent,
// and whether the trigger of 40 CFR 82.157(c)(2) is passed.
func TestLeakRateWorkedFigures(t *testing.T) {
	worst, n := 0.0, 0
	for _, c := range []struct {
		use               Use
		full, added, days float64
		rate              float64
		over              bool
	}{
		{CommercialRefrigeration, 100, 10, 180, 20.278, true},
		{CommercialRefrigeration, 100, 10, 200, 18.250, false},
		{ComfortCooling, 60, 5, 400, 8.333, false},
		{ComfortCooling, 60, 5, 365, 8.333, false},
		{ComfortCooling, 60, 1, 61, 9.973, false},
		{ComfortCooling, 60, 1, 60, 10.139, true},
		{ComfortCooling, 60, 0.01, 1, 6.083, false}, // the next day
		{IndustrialProcess, 500, 50, 90, 40.556, true},
		{CommercialRefrigeration, 100, 19, 0, 19.000, false},
		{ComfortCooling, 80, 8, 0, 10.000, false},
		{ComfortCooling, 80, 8.5, 0, 10.625, true},
	} {
		got := rolling(c.added, c.full)
		if c.days > 0 {
			got = annualizing(c.added, c.full, c.days)
		}
		assert.InDelta(t, c.rate, got, 0.0005, "%+v", c)
		th, ok := thresholdOf("R-22", c.use)
		require.True(t, ok)
		assert.Equal(t, c.over, got > th.Percent, "%+v", c)
		worst, n = max(worst, math.Abs(got-c.rate)), n+1
	}
	t.Logf("evidence: worked figures of the two methods of 40 CFR 82.152 | leak rate, worst of %d, and which side of the trigger | %.4f %% a year off | - | 0.0005 %%", n, worst)
}

func TestThresholdsBySizeAndUse(t *testing.T) {
	th, ok := thresholdOf("R-22", ComfortCooling)
	require.True(t, ok)
	assert.True(t, th.applies(50*lb))
	assert.False(t, th.applies(49.9*lb))
	assert.Contains(t, th.Section, "82.157")
	assert.Empty(t, th.Except)

	th, ok = thresholdOf("R-404A", CommercialRefrigeration)
	require.True(t, ok)
	assert.True(t, th.applies(15*lb))
	assert.False(t, th.applies(14.9*lb))
	assert.Contains(t, th.Section, "84.106")

	// GWP 466 and 148 are over 53 too (40 CFR 84.106(a)).
	for _, name := range []string{"R-454B", "R-454C"} {
		_, ok = thresholdOf(name, ComfortCooling)
		assert.True(t, ok, name)
	}
	th, _ = thresholdOf("r410a", ComfortCooling)
	assert.NotEmpty(t, th.Except, "residential and light commercial air conditioning are excluded")
	_, ok = thresholdOf("R-290", CommercialRefrigeration) // GWP 3 is under 53
	assert.False(t, ok)
	_, ok = thresholdOf("R-9999", ComfortCooling)
	assert.False(t, ok)
	assert.False(t, th.applies(math.NaN()))
}

// Printed 100-year GWPs of blends to three figures: 2021 ASHRAE
// Handbook-Fundamentals ch. 29 Table 4.
func TestPublishedWarming(t *testing.T) {
	worst, n := 0.0, 0
	for name, want := range map[string][2]float64{
		"R-410A": {2090, 1920}, "R-404A": {3920, 3940}, "R-407C": {1770, 1620}, "R-407A": {2110, 1920}, "R-407F": {1820, 1670},
		"R-507A": {3990, 3990}, "R-454A": {239, 238}, "R-454B": {466, 467}, "R-452A": {2140, 1950}, "R-449A": {1400, 1280},
		"R-513A": {631, 573}, "R-422D": {2730, 2470}, "R-427A": {2140, 2020}, "R-438A": {2260, 2060},
	} {
		for k, report := range []string{AR4, AR5} {
			x, _, ok := gwp(name, report)
			require.True(t, ok, name)
			assert.InEpsilon(t, want[k], x, 0.005, "%s %s", name, report)
			worst, n = max(worst, math.Abs(x/want[k]-1)), n+1
		}
	}
	t.Logf("evidence: 2021 ASHRAE Handbook-Fundamentals ch. 29 Table 4 | warming potential the ledger counts by, worst of %d | %.2f %% off | - | 0.5 %%, three printed figures", n, 100*worst)
	t.Logf("evidence: Regulation (EU) 517/2014, quoted in an equipment manual | CO2 equivalent of 2.39 kg of R-410A | %.3f t | 5 t | 0.02 t", co2e("R-410A", 2.39, AR4))
	// Regulation (EU) 517/2014, quoted in an equipment manual: 2.39 kg of R-410A
	// (AR4 GWP 2088) are 5 t of CO2 equivalent.
	assert.InDelta(t, 5, co2e("R-410A", 2.39, AR4), 0.02)
	assert.True(t, math.IsNaN(co2e("R-9999", 1, AR4)))
	assert.Equal(t, 0.0, co2e("717", 3, AR5))
}

func TestNames(t *testing.T) {
	for in, want := range map[string]string{"410a": "R-410A", "R134A": "R-134a", "r-22": "R-22", "R-1234YF": "R-1234yf", "r1234ze(e)": "R-1234ze(E)",
		"R-600a": "R-600a", "R-600": "R-600", "227ea": "R-227ea", "R 404 A": "R-404A", "r9999": "R9999", "": ""} {
		assert.Equal(t, want, Name(in), in)
	}
	for _, r := range refrigerants.All() {
		assert.Equal(t, r.Name(), Name(strings.ToLower(r.Name())))
	}
}

func events(t testing.TB, lines ...string) []charge.Event {
	t.Helper()
	var out []charge.Event
	for _, l := range lines {
		e, err := charge.ParseEvent([]byte(l))
		require.NoError(t, err, l)
		out = append(out, e)
	}
	return out
}

func job(unit string, at string, added, full float64) Job {
	when, err := time.Parse(time.DateOnly, at)
	if err != nil {
		panic(err)
	}
	return Job{File: unit + at, Unit: unit, Refrigerant: "R-22", Start: when, End: when, AddedKg: added * lb, FullKg: Num(full * lb),
		CylinderStartKg: Num(math.NaN()), CylinderEndKg: Num(math.NaN())}
}

func TestJobOf(t *testing.T) {
	j := JobOf("a.jsonl", events(t,
		`{"kind":"setup","at":"2026-06-02T09:00:00Z","refrigerant":"410a","unit":"roof 2","nameplate_charge":"7 lb 8 oz","liquid_line_od":"3/8 in","line_length":"40 ft","factory_line_length":"25 ft","cylinder_start":"22 lb"}`,
		`{"kind":"weighed","at":"2026-06-02T09:30:00Z","amount":"8 oz","cylinder":"21 lb 8 oz"}`,
		`{"kind":"weighed","at":"2026-06-02T09:31:00Z","amount":"80 oz"}`,
		`{"kind":"void","at":"2026-06-02T09:32:00Z","voids":3,"why":"slip"}`,
		`{"kind":"weighed","at":"2026-06-02T10:00:00Z","amount":"-2 oz"}`,
		`{"kind":"close","at":"2026-06-02T10:10:00Z","cylinder_end":"21 lb 8 oz"}`))
	assert.Equal(t, "R-410A", j.Refrigerant)
	assert.InDelta(t, 0.5*lb, j.AddedKg, 1e-9)
	assert.InDelta(t, 0.125*lb, j.RecoveredKg, 1e-9)
	assert.InDelta(t, (7.5+15*0.6/16)*lb, float64(j.FullKg), 1e-9) // 15 ft of 3/8 in at 0.6 oz a foot
	assert.InDelta(t, 21.5*lb, float64(j.CylinderEndKg), 1e-9)
	assert.Equal(t, "2026-06-02T10:00:00Z", j.End.Format(time.RFC3339))

	// A line set far under the factory's takes no more than half the plate away,
	// as the advice has it.
	short := `{"kind":"setup","at":"2026-06-02T09:00:00Z","refrigerant":"410a","nameplate_charge":"1 lb","liquid_line_od":"1/2 in","line_length":"5 ft","factory_line_length":"50 ft"}`
	assert.InDelta(t, 0.5*lb, float64(JobOf("b.jsonl", events(t, short)).FullKg), 1e-9)
	// Without lengths it is the plate alone, without a plate not known.
	assert.InDelta(t, 2*lb, float64(JobOf("c.jsonl", events(t, `{"kind":"setup","at":"2026-06-02T09:00:00Z","refrigerant":"410a","nameplate_charge":"2 lb"}`)).FullKg), 1e-9)
	assert.True(t, math.IsNaN(float64(JobOf("d.jsonl", events(t, `{"kind":"setup","at":"2026-06-02T09:00:00Z","refrigerant":"410a"}`)).FullKg)))
}

// "The last 365 days" of 40 CFR 82.152 hold the day itself and the 364 before.
func TestRollingYearEndsAfter365Days(t *testing.T) {
	for first, within := range map[string]bool{"2025-06-01": false, "2025-06-02": true} {
		b := NewBook(Options{})
		b.Add(job("rack", first, 3, 60))
		b.Add(job("rack", "2026-06-01", 3, 60))
		want := 100 * 3.0 / 60
		if within {
			want *= 2
		}
		u := b.Report().Units[0]
		assert.InDelta(t, want, float64(u.Additions[1].Rolling), 1e-6, first)
		assert.Equal(t, map[bool]int{false: 1, true: 2}[within], u.again(), first)
	}
}

func TestUnitToppedUpAgain(t *testing.T) {
	b := NewBook(Options{})
	for _, j := range []Job{job("rack", "2026-03-01", 4, 60), job("rack", "2025-01-10", 3, 60), job("rack", "2026-03-01", 1, 60), job("rack", "2025-10-12", 1, 60), job("quiet", "2026-01-01", 0, 60)} {
		b.Add(j)
	}
	r := b.Report()
	require.Len(t, r.Units, 2)
	u := r.Units[0]
	assert.Equal(t, "rack", u.Unit)
	require.Len(t, u.Additions, 3, "two jobs on one day are one addition")
	assert.True(t, u.Additions[0].First)
	assert.InDelta(t, 5, float64(u.Additions[0].Annualizing), 1e-6)
	assert.Equal(t, 275, u.Additions[1].Days)
	assert.Equal(t, 140, u.Additions[2].Days)
	assert.InDelta(t, 100*5.0/60*365/140, float64(u.Additions[2].Annualizing), 1e-6)
	assert.InDelta(t, 100*6.0/60, float64(u.Additions[2].Rolling), 1e-6) // January 2025 lies more than a year back
	assert.Equal(t, 2, u.again())
	assert.True(t, u.Over)
	assert.True(t, u.Applies)
	assert.Contains(t, strings.Join(u.Says, "\n"), "topped up 2 times")
	assert.Empty(t, r.Units[1].Additions)
}

// A rate over the threshold of an appliance too small for the rule is in the
// figures and raises no alarm.
func TestSmallUnitsRaiseNoAlarm(t *testing.T) {
	b := NewBook(Options{})
	b.Add(job("split", "2026-05-01", 2, 7))
	u := b.Report().Units[0]
	assert.True(t, u.Over)
	assert.False(t, u.Applies)
	assert.Empty(t, u.Says)
	j := job("split", "2026-06-01", 0, 7)
	j.SeriousFinds = 2
	b.Add(j)
	assert.Equal(t, []string{"serious findings in its journals: 2"}, b.Report().Units[0].Says)
}

func TestChronic(t *testing.T) {
	b := NewBook(Options{Process: []string{"p"}})
	for i := 1; i <= 5; i++ {
		b.Add(job("p", fmt.Sprintf("2026-0%d-01", i), 25, 100))
	}
	u := b.Report().Units[0]
	assert.True(t, u.Chronic) // 125 lb of 100 in one year
	less := NewBook(Options{})
	for i, added := range []float64{25, 25, 25, 25, 24} {
		less.Add(job("p", fmt.Sprintf("2026-0%d-01", i+1), added, 100))
	}
	less.Add(job("p", "2027-01-02", 25, 100)) // another calendar year
	assert.False(t, less.Report().Units[0].Chronic)
	assert.Equal(t, IndustrialProcess, u.Use)
	assert.Equal(t, 30.0, u.Threshold.Percent)
}

func TestCylindersByWeight(t *testing.T) {
	a, c, d := job("a", "2026-06-01", 1, 60), job("b", "2026-06-02", 2, 60), job("c", "2026-06-03", 1, 60)
	a.CylinderStartKg, a.CylinderEndKg = 25*lb, 24*lb
	c.CylinderStartKg, c.CylinderEndKg = 24.05*lb, 22*lb // the same cylinder
	d.CylinderStartKg, d.CylinderEndKg = 30*lb, 29*lb    // another
	b := NewBook(Options{})
	b.Add(d)
	b.Add(c)
	b.Add(a)
	cs := b.Report().Cylinders
	require.Len(t, cs, 2)
	assert.Equal(t, 2, cs[0].Jobs)
	assert.InDelta(t, 0.05*lb, cs[0].gapKg(), 1e-9)
}

func TestOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "jobs")
		var jobs []Job
		for i := range n {
			j := job(rapid.SampledFrom([]string{"a", "b", ""}).Draw(t, "unit"), "2026-01-01", rapid.Float64Range(-3, 9).Draw(t, "lb"), 40)
			j.End = j.End.AddDate(0, 0, rapid.IntRange(0, 700).Draw(t, "day"))
			j.File = fmt.Sprint(i)
			jobs = append(jobs, j)
		}
		write := func(js []Job) string {
			b := NewBook(Options{})
			for _, j := range js {
				b.Add(j)
			}
			var out bytes.Buffer
			if err := b.Report().WriteJSON(&out); err != nil {
				t.Fatal(err)
			}
			return out.String()
		}
		if write(jobs) != write(rapid.Permutation(jobs).Draw(t, "order")) {
			t.Fatal("the order of the journals changed the ledger")
		}
	})
}

func TestWriters(t *testing.T) {
	b := NewBook(Options{})
	j := job("=HYPERLINK(\"x\")", "2026-06-01", 2, 60)
	j.FullKg = Num(math.NaN())
	b.Add(j)
	k := job("fridge\x1b[2J", "2026-06-01", 2, 60)
	k.Refrigerant = "R-9999"
	b.Add(k)
	b.Skip("bad.jsonl", "line 3 is not JSON")
	r := b.Report()
	for _, table := range tables {
		var out bytes.Buffer
		require.NoError(t, r.WriteCSV(&out, table))
		rows, err := csv.NewReader(&out).ReadAll()
		require.NoError(t, err, table)
		for _, row := range rows {
			for _, c := range row {
				assert.False(t, strings.HasPrefix(c, "="), "a formula in %s", table)
				assert.NotContains(t, c, "NaN")
			}
		}
	}
	assert.Error(t, r.WriteCSV(&bytes.Buffer{}, "nonsense"))
	var out bytes.Buffer
	require.NoError(t, r.WriteJSON(&out))
	require.True(t, json.Valid(out.Bytes()))
	out.Reset()
	require.NoError(t, r.WriteText(&out, q.US))
	assert.NotContains(t, out.String(), "\x1b")
	assert.Contains(t, out.String(), "1 file skipped")
	for _, line := range strings.Split(out.String(), "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
	}
	assert.Contains(t, out.String(), "guidance")
}

func BenchmarkJobOf(b *testing.B) {
	es := events(b,
		`{"kind":"setup","at":"2026-06-02T09:00:00Z","refrigerant":"410a","unit":"roof 2","nameplate_charge":"7 lb 8 oz","cylinder_start":"22 lb"}`,
		`{"kind":"weighed","at":"2026-06-02T09:30:00Z","amount":"8 oz","cylinder":"21 lb 8 oz"}`)
	for b.Loop() {
		JobOf("x", es)
	}
}
