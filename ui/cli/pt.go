package cli

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"chargehand/charge/moistair"
	"chargehand/charge/quantity"
	"chargehand/refrigerants"
)

// PtCmd answers what a pressure-temperature chart answers: the bubble and dew
// temperatures of a pressure, the pressures of a temperature, or the chart.
type PtCmd struct {
	Refrigerant string   `arg:"" help:"Refrigerant, such as R-410A, r410a or 410A."`
	Values      []string `arg:"" optional:"" help:"Pressures or temperatures with their unit, such as 118psig, 8.1barg, 40F, 5C. None: the chart."`
	Elevation   string   `aliases:"altitude" placeholder:"HEIGHT" help:"Height of the site, such as 5000ft or 1500m; gauges read against the air there. Default: sea level."`
	Barometer   string   `placeholder:"PRESSURE" help:"Barometric pressure at the site instead of a height, such as \"24.9 inHg abs\"." xor:"site"`
	Table       string   `placeholder:"FROM..TO" help:"A table over a range of temperatures or pressures, such as 0F..120F or 2barg..30barg."`
	Step        string   `placeholder:"STEP" help:"Step of the table, such as 2F or 25psig."`
	JSON        bool     `name:"json" xor:"form" help:"JSON, numbers with the unit in the name."`
	CSV         bool     `name:"csv" xor:"form" help:"One row a point, numbers with the unit in the column name."`
	SI          bool     `name:"si" help:"Celsius and bar; also chosen by typing a metric unit."`
	Width       int      `default:"80" help:"Columns the chart may use." placeholder:"N"`
}

// Help shows the command at work.
func (PtCmd) Help() string {
	return `Subcooling counts from the bubble point, superheat from the dew point; the glide is the difference.
Pressures that say gauge (psig, barg, kPag) are read against the air pressure of the site.

Examples:
  chargehand pt R-410A 118psig
  chargehand pt R-407C 40F 95F --elevation 5000ft
  chargehand pt R-454B 8.2barg
  chargehand pt R-404A                        the chart
  chargehand pt R-404A --table -40F..60F --step 2F
  chargehand pt R-32 --table 5barg..30barg --csv`
}

// Run prints the answer.
func (c *PtCmd) Run(env *Env) error {
	r, err := refrigerants.Lookup(c.Refrigerant)
	if err != nil {
		return ptUsage(fmt.Errorf("refrigerant %q is not known; known are %s", c.Refrigerant, knownRefrigerants()))
	}
	site, err := c.site()
	if err != nil {
		return ptUsage(err)
	}
	q := ptQuery{r: r, site: site, sys: quantity.US, width: max(c.Width, 20)}
	if c.SI {
		q.sys = quantity.SI
	}
	var points []ptPoint
	switch {
	case c.Table != "" && len(c.Values) > 0:
		return ptUsage(errors.New("give either values or --table, not both"))
	case c.Step != "" && len(c.Values) > 0:
		return ptUsage(errors.New("--step belongs to a table or the chart; leave it out or leave out the values"))
	case len(c.Values) > 0:
		points, err = q.values(c.Values)
	default:
		points, err = q.table(c.Table, c.Step)
	}
	if err != nil {
		return ptUsage(err)
	}
	switch {
	case c.JSON:
		return q.writeJSON(env.Out, points)
	case c.CSV:
		return q.writeCSV(env.Out, points)
	case len(c.Values) > 0:
		return q.writePoints(env.Out, points)
	}
	return q.writeChart(env.Out, points)
}

func ptUsage(err error) error { return &ExitError{ExitUsage, err} }

func knownRefrigerants() string {
	var names []string
	for _, r := range refrigerants.All() {
		names = append(names, r.Name())
	}
	return strings.Join(names, ", ")
}

// ptSite is where the gauge is: its barometric pressure and how that was found.
type ptSite struct {
	barometer float64 // Pa
	elevation float64 // m, NaN if the barometer was given
	text      string
}

func (c *PtCmd) site() (ptSite, error) {
	switch {
	case c.Barometer != "" && c.Elevation != "":
		return ptSite{}, errors.New("give either --elevation or --barometer, not both")
	case c.Barometer != "":
		p, err := quantity.ParsePressure(c.Barometer)
		if err != nil {
			return ptSite{}, fmt.Errorf("--barometer: %w", err)
		}
		pa := p.Absolute(0)
		if p.IsGauge() || !(pa > 40e3 && pa < 115e3) {
			return ptSite{}, fmt.Errorf("--barometer %q: a barometer reads an absolute pressure of 40 to 115 kPa, such as \"29.9 inHg abs\" or 101.3kPa", c.Barometer)
		}
		return ptSite{pa, math.NaN(), "barometer " + p.String()}, nil
	case c.Elevation != "":
		l, err := quantity.ParseLength(c.Elevation)
		if err != nil {
			return ptSite{}, fmt.Errorf("--elevation: %w", err)
		}
		pa, err := moistair.StandardPressure(l.Meters())
		if err != nil {
			return ptSite{}, fmt.Errorf("--elevation %q: %w", c.Elevation, err)
		}
		return ptSite{pa, l.Meters(), "at " + l.String()}, nil
	}
	return ptSite{moistair.SeaLevelPressure, 0, "at sea level"}, nil
}

// ptQuery is one question: the refrigerant, the site, the units of the answer.
type ptQuery struct {
	r    *refrigerants.Refrigerant
	site ptSite
	sys  quantity.System

	width int // columns
}

// ptPoint is one line of the answer. Given is the pressure (Pa, absolute) or
// the temperature (K); bubble and dew are the other quantity, NaN where there
// is none in a table.
type ptPoint struct {
	text          string // as typed, empty in a table
	byTemperature bool
	given         float64
	bubble, dew   float64
}

func (q *ptQuery) values(texts []string) ([]ptPoint, error) {
	var out []ptPoint
	for i, s := range texts {
		s = strings.Replace(strings.TrimSpace(s), "−", "-", 1) // see minusSigns
		v, byTemperature, metric, err := q.parse(s)
		if err != nil {
			return nil, err
		}
		if i == 0 && metric {
			q.sys = quantity.SI
		}
		p, err := q.solve(v, byTemperature)
		if err != nil {
			return nil, q.explain(s, byTemperature, err)
		}
		p.text = s
		out = append(out, p)
	}
	return out, nil
}

// parse reads a pressure (to Pa absolute) or a temperature (to K).
func (q *ptQuery) parse(s string) (v float64, byTemperature, metric bool, err error) {
	p, errP := quantity.ParsePressure(s)
	if errP == nil {
		u := p.Unit()
		us := u == quantity.PSIGUnit || u == quantity.PSIAUnit || u == quantity.InHg || u == quantity.InHgVac
		return p.Absolute(q.site.barometer), false, !us, nil
	}
	t, errT := quantity.ParseTemperature(s)
	if errT == nil {
		return t.Kelvin(), true, t.Unit() != quantity.Fahrenheit, nil
	}
	low := strings.ToLower(strings.TrimSpace(s))
	switch {
	case strings.Trim(low, "0123456789.,+-− ") == "":
		return 0, false, false, fmt.Errorf("%q has no unit: say which, such as %spsig or %sF", s, low, low)
	case strings.Contains(low, "psi"), strings.Contains(low, "bar"), strings.Contains(low, "pa"), strings.Contains(low, "hg"):
		return 0, false, false, errP
	case strings.HasSuffix(low, "f"), strings.HasSuffix(low, "c"), strings.HasSuffix(low, "k"):
		return 0, false, false, errT
	}
	return 0, false, false, fmt.Errorf("%q is neither a pressure nor a temperature: write such as 118psig, 8.1barg, 40F or 5C", s)
}

func (q *ptQuery) solve(v float64, byTemperature bool) (p ptPoint, err error) {
	p = ptPoint{given: v, byTemperature: byTemperature}
	bubble, dew := q.r.BubbleTemperature, q.r.DewTemperature
	if byTemperature {
		bubble, dew = q.r.BubblePressure, q.r.DewPressure
	}
	if p.bubble, err = bubble(v); err == nil {
		p.dew, err = dew(v)
	}
	return p, err
}

// explain turns a range error into the units of the one who asked.
func (q *ptQuery) explain(text string, byTemperature bool, err error) error {
	var e *refrigerants.RangeError
	if !errors.As(err, &e) {
		return err
	}
	show := q.pressure
	if byTemperature {
		show = q.temperature
	}
	c := q.r.CriticalPoint()
	return fmt.Errorf("%s: saturation of %s is known from %s to %s (its critical point is %s, %s)",
		text, q.r, show(e.Low), show(e.High), q.temperature(c.Temperature), q.pressure(c.Pressure))
}

func (q *ptQuery) pressure(pa float64) string {
	if q.sys == quantity.SI {
		return fmt.Sprintf("%.2f barg", quantity.AbsolutePascals(pa).In(quantity.BarG, q.site.barometer))
	}
	return fmt.Sprintf("%.1f psig", quantity.AbsolutePascals(pa).In(quantity.PSIGUnit, q.site.barometer))
}

func (q *ptQuery) temperature(k float64) string { return quantity.FormatTemperatureK(k, q.sys) }

// writePoints prints one paragraph a value.
func (q *ptQuery) writePoints(w io.Writer, points []ptPoint) error {
	var b strings.Builder
	q.heading(&b)
	for _, p := range points {
		b.WriteByte('\n')
		if p.byTemperature {
			fmt.Fprintf(&b, "%s\n", p.text)
			q.line(&b, "bubble", q.pressure(p.bubble), "under this the liquid begins to boil")
			q.line(&b, "dew", q.pressure(p.dew), "over this the vapor begins to condense")
			continue
		}
		fmt.Fprintf(&b, "%s  (%s absolute)\n", p.text, q.absolute(p.given))
		q.line(&b, "bubble", q.temperature(p.bubble), "subcooling = this minus the liquid line")
		q.line(&b, "dew", q.temperature(p.dew), "superheat = the suction line minus this")
		q.line(&b, "glide", quantity.FormatDifferenceK(math.Max(0, p.dew-p.bubble), q.sys), "")
	}
	q.remarks(&b)
	_, err := io.WriteString(w, b.String())
	return err
}

// line prints one figure with what it is for, if there is room.
func (q *ptQuery) line(b *strings.Builder, name, figure, use string) {
	s := fmt.Sprintf("  %-7s%11s", name, figure)
	if t := s + "   " + use; use != "" && utf8.RuneCountInString(t) <= q.width {
		s = t
	}
	b.WriteString(s + "\n")
}

func (q *ptQuery) absolute(pa float64) string {
	if q.sys == quantity.SI {
		return fmt.Sprintf("%.2f bar", pa/1e5)
	}
	return fmt.Sprintf("%.1f psia", quantity.AbsolutePascals(pa).In(quantity.PSIAUnit, 0))
}

// heading names refrigerant, safety group, composition and site.
func (q *ptQuery) heading(b *strings.Builder) {
	fmt.Fprintf(b, "%s  safety group %s", q.r, q.r.SafetyGroup())
	if parts, err := q.r.Composition(); err == nil && len(parts) > 1 {
		var names, shares []string
		for _, p := range parts {
			names = append(names, p.Name)
			shares = append(shares, fmt.Sprintf("%.4g", p.MassFraction*100))
		}
		b.WriteByte('\n')
		q.say(b, strings.Join(names, "/")+"  "+strings.Join(shares, "/")+" % by mass")
		q.say(b, fmt.Sprintf("Gauge pressures %s, where the air has %s", q.site.text, q.absolute(q.site.barometer)))
		return
	}
	b.WriteByte('\n')
	q.say(b, fmt.Sprintf("Gauge pressures %s, where the air has %s", q.site.text, q.absolute(q.site.barometer)))
}

// remarks are what matters of this refrigerant besides its pressures.
func (q *ptQuery) remarks(b *strings.Builder) {
	var out []string
	switch q.r.SafetyGroup()[1:] {
	case "2L":
		out = append(out, "Mildly flammable: no ignition source, the maker's procedure and local codes first.")
	case "2", "3":
		out = append(out, "Flammable: no ignition source, the maker's procedure and local codes first.")
	}
	if strings.HasPrefix(q.r.SafetyGroup(), "B") {
		out = append(out, "Toxic: breathing protection and ventilation as the local codes say.")
	}
	if must, _ := q.r.ChargeAsLiquid(); must {
		out = append(out, "A zeotropic blend: let it leave the cylinder as liquid.")
	}
	if pairs, err := q.r.EstimatedPairs(); err == nil && len(pairs) > 0 {
		out = append(out, "Mixture data partly estimated ("+strings.Join(pairs, ", ")+"): expect a larger error.")
	}
	if len(out) > 0 {
		b.WriteByte('\n')
		for _, s := range out {
			q.say(b, s)
		}
	}
}

// say writes a sentence, broken at its blanks to the width.
func (q *ptQuery) say(b *strings.Builder, s string) {
	n := 0
	for _, word := range strings.Fields(s) {
		w := utf8.RuneCountInString(word)
		switch {
		case n == 0:
		case n+1+w > q.width:
			b.WriteByte('\n')
			n = 0
		default:
			b.WriteByte(' ')
			n++
		}
		b.WriteString(word)
		n += w
	}
	b.WriteByte('\n')
}

// minusSigns writes a leading hyphen before a digit as a minus sign, which the
// quantities read just the same, so that "-20F" is taken for the temperature it
// is and not for a flag. No flag of ours begins with a digit.
func minusSigns(args []string) []string {
	out := make([]string, len(args))
	for i, a := range args {
		if len(a) > 1 && a[0] == '-' && (a[1] >= '0' && a[1] <= '9' || a[1] == '.') {
			a = "−" + a[1:]
		}
		out[i] = a
	}
	return out
}
