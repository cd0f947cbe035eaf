package charge

import (
	_ "embed"
	"math"
	"strconv"
	"strings"
)

//go:embed charts/target_superheat.csv
var chartFile string

// The chart's grid: outdoor 40 to 115 °F by 5, return wet bulb 50 to 76 by 2.
const (
	chartRows = 16
	chartCols = 14
	chartDash = 4.9 // °F: what a dash counts as between numbers; just under the floor of 5
)

// chart is the published chart with what stands for its missing cells.
type chart struct {
	f      [chartRows][chartCols]float64
	silent [chartRows][chartCols]bool // filled by the common rule
}

var superheatChart = readChart(chartFile)

func readChart(text string) *chart {
	c := &chart{}
	var have, dash [chartRows][chartCols]bool
	for line := range strings.Lines(text) {
		p := strings.Split(strings.TrimSpace(line), ",")
		out, err := strconv.Atoi(p[0])
		if err != nil || len(p) != 3 {
			continue
		}
		wet, _ := strconv.Atoi(p[1])
		i, j := (out-40)/5, (wet-50)/2
		switch p[2] {
		case "":
		case "dash":
			c.f[i][j], have[i][j], dash[i][j] = chartDash, true, true
		default:
			f, err := strconv.ParseFloat(p[2], 64)
			if err != nil {
				panic("charge: target superheat chart: " + line)
			}
			c.f[i][j], have[i][j] = f, true
		}
	}
	// A missing cell is interpolated between the printed numbers on either side
	// of it in its row, or else in its column when they are near. Leaving out
	// each printed cell in turn, the row is within 0.75 °F, the column within 1.
	// Where it has no such neighbours the chart is silent.
	filled := c.f
	for i := range chartRows {
		for j := range chartCols {
			if have[i][j] {
				continue
			}
			if f, gap := c.between(&have, &dash, i, j, 0, 1); gap > 0 {
				filled[i][j] = f
				continue
			}
			if f, gap := c.between(&have, &dash, i, j, 1, 0); gap > 0 && gap <= 4 {
				filled[i][j] = f
				continue
			}
			c.silent[i][j] = true
			filled[i][j] = commonRule(float64(40+5*i), float64(50+2*j))
			if filled[i][j] < chartFloor/perF {
				filled[i][j] = chartDash
			}
		}
	}
	c.f = filled
	return c
}

// between interpolates a cell along a direction, gap cells wide; 0 when it has
// no printed number on one of the sides.
func (c *chart) between(have, dash *[chartRows][chartCols]bool, i, j, di, dj int) (f float64, gap int) {
	a, fa := c.neighbour(have, dash, i, j, -di, -dj)
	b, fb := c.neighbour(have, dash, i, j, di, dj)
	if a == 0 || b == 0 {
		return 0, 0
	}
	return fa + (fb-fa)*float64(a)/float64(a+b), a + b
}

// neighbour walks from a cell to the next one that is printed and gives the
// distance and the number; 0 when the chart ends or a dash comes first.
func (c *chart) neighbour(have, dash *[chartRows][chartCols]bool, i, j, di, dj int) (int, float64) {
	for k := 1; ; k++ {
		i, j = i+di, j+dj
		if i < 0 || j < 0 || i >= chartRows || j >= chartCols || dash[i][j] {
			return 0, 0
		}
		if have[i][j] {
			return k, c.f[i][j]
		}
	}
}

// commonRule is the one-line rule of the trade, °F: (3 wet bulb - 80 - outdoor) / 2.
func commonRule(outF, wetF float64) float64 { return (3*wetF - 80 - outF) / 2 }

// at interpolates bilinearly. ok is false off the chart and where the result
// is under the floor (a dash). byRule tells that a cell the chart does not give
// had a say.
func (c *chart) at(outF, wetF float64) (f float64, byRule, ok bool) {
	const rounding = 1e-6 // of conversions between scales
	if !(outF >= chartOutLow-rounding && outF <= chartOutHigh+rounding && wetF >= chartWetLow-rounding && wetF <= chartWetHigh+rounding) {
		return 0, false, false
	}
	outF, wetF = math.Max(outF, chartOutLow), math.Max(wetF, chartWetLow)
	y, x := math.Min((outF-40)/5, chartRows-1), math.Min((wetF-50)/2, chartCols-1)
	i, j := min(int(y), chartRows-2), min(int(x), chartCols-2)
	v, u := y-float64(i), x-float64(j)
	for a, wa := range [2]float64{1 - v, v} {
		for b, wb := range [2]float64{1 - u, u} {
			if w := wa * wb; w > 0 {
				f += w * c.f[i+a][j+b]
				byRule = byRule || c.silent[i+a][j+b] && w > silentShare
			}
		}
	}
	return f, byRule, f >= chartFloor/perF-rounding
}

// TargetSuperheat is the target superheat in kelvins of a fixed-orifice comfort
// system by the published chart, for outdoor dry bulb and return wet bulb in
// kelvins. Where the chart is silent the common rule (3 wet bulb - 80 - outdoor)
// / 2 in °F stands in and Source says so. Not defined off the chart, at its
// dashes and wherever the target would be under 5 °F.
func TargetSuperheat(outdoorK, wetBulbK float64) Target {
	t := Target{Of: OfSuperheat, Source: srcChart}
	if !given(outdoorK) || !given(wetBulbK) {
		t.Says = "outdoor air and return wet bulb set this target; read both"
		return t
	}
	out, wet := (outdoorK-zeroF)/perF, (wetBulbK-zeroF)/perF
	f, byRule, ok := superheatChart.at(out, wet)
	if !ok || byRule && out < ruleOutLow {
		switch {
		case out < chartOutLow-0.01 || out > chartOutHigh+0.01 || wet < chartWetLow-0.01 || wet > chartWetHigh+0.01 || byRule && out < ruleOutLow:
			t.Says = "the chart ends before this weather: weigh in, or come back in fitting weather"
		default:
			t.Says = "the chart gives a dash here: the target would be under 5 °F (2.8 K), too near to liquid; weigh in, or come back when it is cooler outside or more humid inside"
		}
		return t
	}
	if byRule {
		t.Source = "common rule (3 × wet bulb - 80 - outdoor) / 2, the chart is silent here"
		t.Says = "from the common rule: the chart is silent here"
	}
	return band(t, f*perF, superheatBand, floorComfort)
}

// band defines t as mid ± half, its low end not under floor.
func band(t Target, mid, half, floor float64) Target {
	t.Low, t.Mid, t.High, t.Defined = math.Max(mid-half, floor), mid, mid+half, true
	return t
}

// targets is what each device would have to meet, and what stands above both.
type targets struct {
	orifice, valve Target
	other          Target // by weight or sight glass; Of is empty when it does not apply
}

func (st *state) targets(a ambient) targets {
	s := &st.setup
	var t targets
	switch s.Arrangement {
	case CriticalCharge, VariableSpeed:
		t.other = Target{Of: OfWeight, Source: "data plate", Says: "recover what is in and weigh in the data plate charge"}
		if kg := st.full(); given(kg) {
			t.other = band(t.other, kg, 0.01*kg, 0)
		}
	case Receiver:
		t.other = Target{Of: OfSightGlass, Source: srcCP,
			Says: "a clear sight glass with the head-pressure control not acting; clear says saturated or better, not full"}
	}
	comfort := st.comfort()
	switch {
	case s.TargetSuperheat.IsValid():
		floor := floorComfort
		if !comfort {
			floor = floorCoil
		}
		t.orifice = band(Target{Of: OfSuperheat, Source: "the maker's figure, as entered"}, s.TargetSuperheat.Kelvins(), superheatBand, math.Min(floor, s.TargetSuperheat.Kelvins()))
	case comfort:
		t.orifice = TargetSuperheat(a.outK, a.wetK)
		if e := chartEdge(a); !t.orifice.Defined && e.Defined {
			t.orifice = e
		}
	default:
		t.orifice = Target{Of: OfSuperheat, Low: inletSuperheatLow, Mid: (inletSuperheatLow + inletSuperheatHigh) / 2, High: inletSuperheatHigh, Defined: true,
			Source: srcCP, Says: "measured at the compressor inlet"}
	}
	switch {
	case s.Arrangement == Receiver:
		t.valve = Target{Of: OfSubcooling, Says: "a receiver swallows charge: subcooling does not tell"}
	case s.TargetSubcooling.IsValid():
		t.valve = band(Target{Of: OfSubcooling, Source: "data plate"}, s.TargetSubcooling.Kelvins(), subcoolingBand, 0)
	default:
		t.valve = band(Target{Of: OfSubcooling, Source: "default, the data plate gives none: " + srcCP}, defaultSubcooling, subcoolingBand, 0)
	}
	return t
}

// chartEdge is a target just over the floor where the chart has a dash but
// prints a number for air no farther than thermometers may be off: a dash that
// comes and goes by a wet bulb a degree low neither ends a job nor sends one away.
func chartEdge(a ambient) Target {
	t := TargetSuperheat(a.outK-edgeOutdoor, a.wetK+edgeWetBulb)
	if !t.Defined || t.Mid > edgeHighest {
		return Target{}
	}
	t = band(t, floorComfort+superheatBand/2, superheatBand/2, floorComfort)
	t.Says = "at the chart's hot, dry end, where a degree on the thermometers decides: aim just over the floor, or weigh in, or come back when it is cooler outside"
	return t
}

func (st *state) comfort() bool {
	return st.setup.Application == "" || st.setup.Application == Comfort
}

// rules picks the target that decides now. While the device is unknown that is
// superheat, unless a valve is likely: superheat is what protects the
// compressor under both.
func (t *targets) rules(d DeviceBelief) Target {
	switch {
	case t.other.Of != "":
		return t.other
	case d.Verdict == FixedOrifice:
		return t.orifice
	case d.Verdict == ExpansionValve:
		return t.valve
	case d.ExpansionValve >= valveTarget || !t.orifice.Defined:
		return t.valve
	}
	return t.orifice
}
