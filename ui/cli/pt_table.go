package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"chargehand/charge/quantity"
	"chargehand/refrigerants"
)

// mostRows bounds a table: a slip in the step must not print for an hour.
const mostRows = 2000

// table makes the points of "FROM..TO"; without it those of the chart, from
// -40 °F to 150 °F (-40 °C to 65 °C) as far as the refrigerant goes.
func (q *ptQuery) table(span, step string) ([]ptPoint, error) {
	chart := span == ""
	if chart {
		span = "-40F..150F"
		if q.sys == quantity.SI {
			span = "-40C..65C"
		}
	}
	from, to, ok := strings.Cut(span, "..")
	if !ok {
		return nil, fmt.Errorf("--table %q: write the range with two dots, such as 0F..120F", span)
	}
	a, aT, metric, err := q.parse(from)
	if err != nil {
		return nil, fmt.Errorf("--table: %w", err)
	}
	b, bT, _, err := q.parse(to)
	if err != nil {
		return nil, fmt.Errorf("--table: %w", err)
	}
	if aT != bT {
		return nil, fmt.Errorf("--table %q: one end is a pressure, the other a temperature; give two of a kind", span)
	}
	if metric {
		q.sys = quantity.SI
	}
	if b < a {
		a, b = b, a
	}
	d, err := q.step(step, aT)
	if err != nil {
		return nil, err
	}
	if !((b-a)/d <= mostRows) {
		return nil, fmt.Errorf("--step %q makes more than %d rows over %s; take a larger step", step, mostRows, span)
	}
	var out []ptPoint
	var last error
	answered := 0
	for i := 0; i <= int((b-a)/d+1e-9); i++ {
		v := a + float64(i)*d
		p, err := q.solve(v, aT)
		if err != nil {
			if !errors.Is(err, refrigerants.ErrRange) {
				return nil, err
			}
			last = err
			if chart {
				continue
			}
			p.bubble, p.dew = math.NaN(), math.NaN()
		} else {
			answered++
		}
		out = append(out, p)
	}
	if answered == 0 {
		return nil, q.explain(span, aT, last)
	}
	return out, nil
}

// step is the distance of rows in K or Pa.
func (q *ptQuery) step(s string, byTemperature bool) (float64, error) {
	si := q.sys == quantity.SI
	if s == "" {
		switch {
		case byTemperature && si:
			return 2.5, nil
		case byTemperature:
			return 5 / 1.8, nil
		case si:
			return 0.5e5, nil
		}
		return quantity.PSIA(10).Absolute(0), nil
	}
	if byTemperature {
		d, err := quantity.ParseTemperatureDifference(s)
		if err != nil {
			return 0, fmt.Errorf("--step: %w", err)
		}
		if k := d.Kelvins(); k > 0 {
			return k, nil
		}
	} else {
		p, err := quantity.ParsePressure(s)
		if err != nil {
			return 0, fmt.Errorf("--step: %w", err)
		}
		d := p.Absolute(0) // a difference: gauge or absolute alike
		if d > 0 {
			return d, nil
		}
	}
	return 0, fmt.Errorf("--step %q: the step must be more than nothing", s)
}

// field is one number of a point under its name in JSON and CSV.
type ptField struct {
	name  string
	value float64
}

// fields are the numbers of a point, units in their names.
func (q *ptQuery) fields(p ptPoint) []ptField {
	gauge := func(name string, pa float64) []ptField {
		a := quantity.AbsolutePascals(pa)
		if math.IsNaN(pa) { // no answer: the number stays out, its place does not
			a = quantity.Pressure{}
		}
		if q.sys == quantity.SI {
			return []ptField{{name + "_barg", a.In(quantity.BarG, q.site.barometer)}, {name + "_bar", pa / 1e5}}
		}
		return []ptField{{name + "_psig", a.In(quantity.PSIGUnit, q.site.barometer)}, {name + "_psia", a.In(quantity.PSIAUnit, 0)}}
	}
	degrees := func(name string, k float64) ptField {
		if q.sys == quantity.SI {
			return ptField{name + "_C", k - 273.15}
		}
		return ptField{name + "_F", k*1.8 - 459.67}
	}
	if p.byTemperature {
		out := []ptField{degrees("temperature", p.given)}
		out = append(out, gauge("bubble", p.bubble)...)
		return append(out, gauge("dew", p.dew)...)
	}
	glide := ptField{"glide_F", (p.dew - p.bubble) * 1.8}
	if q.sys == quantity.SI {
		glide = ptField{"glide_K", p.dew - p.bubble}
	}
	return append(gauge("pressure", p.given), degrees("bubble", p.bubble), degrees("dew", p.dew), glide)
}

// ptNumber prints four decimals at most; nothing for NaN.
func ptNumber(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	x = math.Round(x*1e4) / 1e4
	return strconv.FormatFloat(x+0, 'f', -1, 64)
}

func (q *ptQuery) writeJSON(w io.Writer, points []ptPoint) error {
	var b strings.Builder
	quote := func(s string) string {
		t, err := json.Marshal(s)
		if err != nil {
			return `""`
		}
		return string(t)
	}
	fmt.Fprintf(&b, `{"refrigerant":%s,"safety_group":%s`, quote(q.r.Name()), quote(q.r.SafetyGroup()))
	if q.sys == quantity.SI {
		fmt.Fprintf(&b, `,"barometer_bar":%s`, ptNumber(q.site.barometer/1e5))
		if !math.IsNaN(q.site.elevation) {
			fmt.Fprintf(&b, `,"elevation_m":%s`, ptNumber(q.site.elevation))
		}
	} else {
		fmt.Fprintf(&b, `,"barometer_psia":%s`, ptNumber(quantity.AbsolutePascals(q.site.barometer).In(quantity.PSIAUnit, 0)))
		if !math.IsNaN(q.site.elevation) {
			fmt.Fprintf(&b, `,"elevation_ft":%s`, ptNumber(q.site.elevation/0.3048))
		}
	}
	b.WriteString(`,"points":[`)
	for i, p := range points {
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteByte('{')
		if p.text != "" {
			fmt.Fprintf(&b, `"given":%s,`, quote(p.text))
		}
		for j, f := range q.fields(p) {
			if j > 0 {
				b.WriteByte(',')
			}
			v := ptNumber(f.value)
			if v == "" {
				v = "null"
			}
			fmt.Fprintf(&b, "%s:%s", quote(f.name), v)
		}
		b.WriteByte('}')
	}
	b.WriteString("]}\n")
	_, err := io.WriteString(w, b.String())
	return err
}

func (q *ptQuery) writeCSV(w io.Writer, points []ptPoint) error {
	var table [][]cell
	for _, p := range points {
		row := []cell{{"refrigerant", q.r.Name()}}
		for _, f := range q.fields(p) {
			row = append(row, cell{f.name, ptNumber(f.value)})
		}
		table = append(table, row)
	}
	return writeCSV(w, table)
}

// writeChart prints the points as a chart of as many blocks side by side as
// the width takes, read down each block like a printed one.
func (q *ptQuery) writeChart(w io.Writer, points []ptPoint) error {
	var b strings.Builder
	q.heading(&b)
	byT := points[0].byTemperature
	blend := false
	for _, p := range points {
		// Lines that differ by less than a gauge or a thermometer shows are one.
		limit := 0.05
		if byT {
			limit = 0.003 * p.bubble
		}
		blend = blend || math.Abs(p.bubble-p.dew) > limit
	}
	head, unit := q.chartHead(byT, blend)
	const gap = " │"
	block := len([]rune(head))
	blocks := max(1, (q.width+len([]rune(gap)))/(block+len([]rune(gap))))
	rows := (len(points) + blocks - 1) / blocks
	blocks = (len(points) + rows - 1) / rows
	b.WriteByte('\n')
	for _, h := range []string{head, unit} {
		line := strings.TrimRight(strings.Repeat(h+gap, blocks), "│")
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	vacuum := false
	for i := 0; i < rows; i++ {
		var line []string
		for j := 0; j < blocks; j++ {
			if k := j*rows + i; k < len(points) {
				cell, v := q.chartRow(points[k], blend)
				vacuum = vacuum || v
				line = append(line, cell)
			}
		}
		b.WriteString(strings.TrimRight(strings.Join(line, gap), " ") + "\n")
	}
	b.WriteByte('\n')
	if vacuum {
		b.WriteString("v: inches of mercury of vacuum\n")
	}
	if blend {
		q.say(&b, "Subcooling counts from the bubble column, superheat from the dew column.")
	}
	c := q.r.CriticalPoint()
	q.say(&b, fmt.Sprintf("Critical point %s, %s.", q.temperature(c.Temperature), q.pressure(c.Pressure)))
	if bp, dp, err := q.r.NormalBoilingPoint(); err == nil {
		s := "Boils at " + q.temperature(bp) + " at one atmosphere"
		if dp-bp > 0.05 {
			s += ", glide " + quantity.FormatDifferenceK(dp-bp, q.sys)
		}
		q.say(&b, s+".")
	}
	if g, _, ok := q.r.GWP(refrigerants.AR4); ok {
		q.say(&b, fmt.Sprintf("Warming potential %.0f times CO2 over 100 years (IPCC AR4).", g))
	}
	q.remarks(&b)
	_, err := io.WriteString(w, b.String())
	return err
}

// chartHead gives the two header lines of a block.
func (q *ptQuery) chartHead(byT, blend bool) (head, unit string) {
	deg, p := "°F", "psig"
	if q.sys == quantity.SI {
		deg, p = "°C", "barg"
	}
	switch {
	case byT && blend:
		return fmt.Sprintf("%7s%8s%8s", "", "bubble", "dew"), fmt.Sprintf("%7s%8s%8s", deg, p, p)
	case byT:
		return fmt.Sprintf("%7s%9s", "", "pressure"), fmt.Sprintf("%7s%9s", deg, p)
	case blend:
		return fmt.Sprintf("%8s%8s%8s", "", "bubble", "dew"), fmt.Sprintf("%8s%8s%8s", p, deg, deg)
	}
	return fmt.Sprintf("%8s%12s", "", "saturation"), fmt.Sprintf("%8s%12s", p, deg)
}

// chartRow prints one point; vacuum says that a pressure under the atmosphere
// was given in inches of mercury, as a compound gauge shows it.
func (q *ptQuery) chartRow(p ptPoint, blend bool) (cell string, vacuum bool) {
	deg := func(k float64) string {
		if math.IsNaN(k) {
			return "-"
		}
		if q.sys == quantity.SI {
			return fmt.Sprintf("%.1f", math.Round((k-273.15)*10)/10+0)
		}
		x := math.Round((k*1.8-459.67)*10)/10 + 0
		if p.byTemperature && x == math.Trunc(x) {
			return fmt.Sprintf("%.0f", x)
		}
		return fmt.Sprintf("%.1f", x)
	}
	press := func(pa float64) string {
		if math.IsNaN(pa) {
			return "-"
		}
		a := quantity.AbsolutePascals(pa)
		if q.sys == quantity.SI {
			return fmt.Sprintf("%.2f", a.In(quantity.BarG, q.site.barometer))
		}
		x := a.In(quantity.PSIGUnit, q.site.barometer)
		if x < -0.05 {
			vacuum = true
			return fmt.Sprintf("%.1fv", a.In(quantity.InHgVac, q.site.barometer))
		}
		return fmt.Sprintf("%.1f", math.Abs(x))
	}
	switch {
	case p.byTemperature && blend:
		cell = fmt.Sprintf("%7s%8s%8s", deg(p.given), press(p.bubble), press(p.dew))
	case p.byTemperature:
		cell = fmt.Sprintf("%7s%9s", deg(p.given), press(p.bubble))
	case blend:
		cell = fmt.Sprintf("%8s%8s%8s", press(p.given), deg(p.bubble), deg(p.dew))
	default:
		cell = fmt.Sprintf("%8s%12s", press(p.given), deg(p.bubble))
	}
	return cell, vacuum
}
