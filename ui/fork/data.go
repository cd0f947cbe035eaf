package fork

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"chargehand/ui/part"
)

// The two quantities, as indices.
const (
	Superheat = iota
	Subcooling
)

// Point is one reading. X is the net amount in at that time; a Y that is NaN
// was not measured.
type Point struct {
	X       float64
	Y       [2]float64
	Settled bool
}

// Range is the 5th, 50th and 95th percentile of a forecast.
type Range [3]float64

func (r Range) ok() bool { return finite(r[0]) && finite(r[1]) && finite(r[2]) }

// has reports whether y lies in the forecast, give or take what the last
// shown digit hides.
func (r Range) has(y float64) bool { return r.ok() && y >= r[0]-0.05 && y <= r[2]+0.05 }

// Band is a target band. The zero Band is none.
type Band struct{ Low, High float64 }

func (b Band) ok() bool { return finite(b.Low) && finite(b.High) && b.High > b.Low }

// Fans are the forecasts for one net amount X, for each quantity, under each
// device. The zero Fans (On false) are none.
type Fans struct {
	On             bool
	X              float64
	Orifice, Valve [2]Range
	Known          int // the device is settled on: one fan, not two
}

// What Known may say. Zero is "not known".
const (
	KnownOrifice = 1 + iota
	KnownValve
)

// one returns the forecasts with that of a known device in both places.
func (f Fans) one() Fans {
	switch f.Known {
	case KnownOrifice:
		f.Valve = f.Orifice
	case KnownValve:
		f.Orifice = f.Valve
	}
	return f
}

// Data is what the fork shows.
type Data struct {
	Unit     string // of superheat and subcooling, "°F"
	MassUnit string // "oz"
	Points   []Point
	Band     [2]Band
	// Stop is where a stopping rule lies: the superheat floor, the subcooling
	// ceiling. 0 is none. It is drawn where the scale has it and room allows.
	Stop  [2]float64
	Next  Fans    // from the newest point
	Past  Fans    // that stood before the newest point was read
	Curve []Point // the settled answer over the amount, where it is known: a debrief
	Rules int     // the quantity the target is of: Superheat or Subcooling
	Scale Scale
}

// Scale fixes the axes. The zero Scale is chosen from the data.
type Scale struct {
	XMax       float64
	YMin, YMax [2]float64
}

// Grow returns the scale that holds the data and everything the earlier scale
// held: axes keep still, and when they must move they take a large step.
func (d Data) Grow(s Scale) Scale {
	x := 4.0
	if d.MassUnit == "g" {
		x = 100
	}
	lo, hi := [2]float64{}, [2]float64{4, 4}
	see := func(q int, ys ...float64) {
		for _, y := range ys {
			if finite(y) && math.Abs(y) < 1000 {
				lo[q], hi[q] = min(lo[q], y), max(hi[q], y)
			}
		}
	}
	for _, p := range d.Points {
		if finite(p.X) {
			x = max(x, p.X)
		}
		see(Superheat, p.Y[Superheat])
		see(Subcooling, p.Y[Subcooling])
	}
	for _, p := range d.Curve {
		if finite(p.X) {
			x = max(x, p.X)
		}
		see(Superheat, p.Y[Superheat])
		see(Subcooling, p.Y[Subcooling])
	}
	for _, f := range []Fans{d.Next, d.Past} {
		if !f.On {
			continue
		}
		if finite(f.X) {
			x = max(x, f.X)
		}
		for q := range 2 {
			// The tails may run off the chart; the medians may not.
			see(q, f.Orifice[q][1], f.Valve[q][1])
		}
	}
	for q := range 2 {
		if d.Band[q].ok() {
			see(q, d.Band[q].High)
		}
	}
	out := s
	out.XMax = max(s.XMax, ladder(x))
	for q := range 2 {
		out.YMax[q] = max(s.YMax[q], ladder(hi[q]*1.05))
		if lo[q] < 0 {
			out.YMin[q] = min(s.YMin[q], -ladder(-lo[q]))
		}
	}
	return out
}

// ladder is the smallest of 1, 1.5, 2, 3, 4, 5, 6, 8 times a power of ten that holds x.
func ladder(x float64) float64 {
	if !finite(x) || x <= 0 {
		return 1
	}
	p := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range []float64{1, 1.5, 2, 3, 4, 5, 6, 8, 10} {
		if m*p >= x*(1-1e-9) {
			return m * p
		}
	}
	return 10 * p
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// num prints a figure of the chart: whole from ten, one decimal below.
func num(y float64) string {
	if !finite(y) {
		return "-"
	}
	if a := math.Abs(y); a >= 9.95 || a == math.Trunc(a) {
		return whole(y)
	}
	return strconv.FormatFloat(y, 'f', 1, 64)
}

// amount prints what to weigh in, as the advice has it: half ounces stay.
func amount(y float64) string {
	return strings.TrimSuffix(strconv.FormatFloat(y, 'f', 1, 64), ".0")
}

func whole(y float64) string {
	s := strconv.FormatFloat(math.Round(y), 'f', 0, 64)
	if s == "-0" {
		return "0"
	}
	return s
}

// span prints a range as "6 to 11".
func span(lo, hi float64) string {
	if math.Abs(hi) >= 9.95 || math.Abs(lo) >= 9.95 {
		return whole(lo) + " to " + whole(hi)
	}
	return num(lo) + " to " + num(hi)
}

// Names of the two quantities.
var (
	names = [2]string{"superheat", "subcooling"}
	short = [2]string{"SH", "SC"}
)

// Land says where the newest point landed against what was forecast for it,
// in one sentence; "" when nothing was forecast, or while it is still moving.
func (d Data) Land() string {
	if !d.Past.On || len(d.Points) == 0 {
		return ""
	}
	p := d.Points[len(d.Points)-1]
	if !p.Settled {
		return ""
	}
	past := d.Past.one()
	for _, q := range []int{Superheat, Subcooling} {
		o, v := past.Orifice[q], past.Valve[q]
		if !finite(p.Y[q]) || !o.ok() || !v.ok() {
			continue
		}
		inO, inV := o.has(p.Y[q]), v.has(p.Y[q])
		if inO == inV && q == Superheat && finite(p.Y[Subcooling]) &&
			past.Orifice[Subcooling].has(p.Y[Subcooling]) != past.Valve[Subcooling].has(p.Y[Subcooling]) {
			continue // subcooling tells them apart, superheat does not
		}
		at, so, sv := short[q]+" "+num(p.Y[q]), span(o[0], o[2]), span(v[0], v[2])
		both := fmt.Sprintf("%s (orifice %s, valve %s).", at, so, sv)
		switch {
		case past.Known != 0 && inO:
			return fmt.Sprintf("Landed as expected: %s (%s).", at, so)
		case past.Known != 0:
			return fmt.Sprintf("Landed otherwise than expected: %s (%s).", at, so)
		case inO && inV:
			return "Landed as either would: " + both
		case inO:
			return "Landed as an orifice would: " + both
		case inV:
			return "Landed as a valve would: " + both
		default:
			return "Landed as neither would: " + both
		}
	}
	return ""
}

// Trace is the chart in text, for narrow and low screens: for each quantity
// the readings in order with the band, then what each device would do.
func Trace(d Data, w int) []string {
	var out []string
	for _, q := range []int{Superheat, Subcooling} {
		var ys []string
		for _, p := range d.Points {
			if finite(p.Y[q]) {
				ys = append(ys, num(p.Y[q]))
			}
		}
		tail := ""
		if d.Band[q].ok() {
			tail = "band " + span(d.Band[q].Low, d.Band[q].High)
		}
		if len(ys) == 0 {
			if tail != "" {
				out = append(out, part.Ends(short[q]+" -", tail, w))
			}
			continue
		}
		line := short[q] + " " + strings.Join(ys, " → ")
		for len(ys) > 1 && part.Width(line)+2+part.Width(tail) > w {
			ys = ys[1:]
			line = short[q] + " … → " + strings.Join(ys, " → ")
		}
		out = append(out, part.Ends(line, tail, w))
		if o, v := d.Next.Orifice[q], d.Next.Valve[q]; d.Next.On && o.ok() && v.ok() {
			words := fmt.Sprintf("   orifice → %s · valve → %s", span(o[0], o[2]), span(v[0], v[2]))
			if one := d.Next.one(); d.Next.Known != 0 {
				words = "   then → " + span(one.Orifice[q][0], one.Orifice[q][2])
			}
			if part.Width(words) > w && d.Next.Known == 0 {
				words = fmt.Sprintf("   orifice → %s to %s · valve → %s to %s", whole(o[0]), whole(o[2]), whole(v[0]), whole(v[2]))
			}
			if part.Width(words) > w && d.Next.Known == 0 {
				words = fmt.Sprintf("   orifice %s · valve %s", num(o[1]), num(v[1]))
			}
			out = append(out, part.Clip(words, w))
		}
	}
	return out
}
