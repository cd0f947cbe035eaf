package fork

import (
	"math"
	"strings"

	"chargehand/ui/part"
	"chargehand/ui/theme"
)

const (
	minWidth  = 44 // below it, a Trace
	minHeight = 8
	gutter    = 5 // cells for the numbers of the upright axis, tick included
	leastFan  = 8 // cells a fan is wide at least
)

// Draw draws the fork in at most w by h cells: both quantities one above the
// other where the height allows, else the one the target is of with the other
// as a line of text, else a Trace.
func Draw(d Data, w, h int, th theme.Theme) []string {
	if w <= 0 || h <= 0 {
		return nil
	}
	if w < minWidth || h < minHeight || !d.measured() {
		return clip(Trace(d, w), h)
	}
	d.Scale = d.Grow(d.Scale)
	d.Next = d.Next.one()
	if h >= 17 {
		upper := (h*3 + 2) / 5
		out := panel(d, Superheat, w, upper, th, false)
		return append(out, panel(d, Subcooling, w, h-upper, th, true)...)
	}
	q := d.Rules
	if q != Subcooling {
		q = Superheat
	}
	other := d
	other.Points = append([]Point(nil), d.Points...)
	for i := range other.Points {
		other.Points[i].Y[q] = math.NaN()
	}
	other.Band[q] = Band{}
	text := clip(Trace(other, w), 2)
	return append(panel(d, q, w, h-len(text), th, true), text...)
}

func (d Data) measured() bool {
	for _, p := range d.Points {
		if finite(p.X) && (finite(p.Y[0]) || finite(p.Y[1])) {
			return true
		}
	}
	return false
}

func clip(lines []string, h int) []string { return lines[:min(len(lines), h)] }

// frame maps values to cells of one panel.
type frame struct {
	g          *grid
	top, rows  int // of the plot
	cols       int // up to XMax
	xmax       float64
	ymin, ymax float64
}

func (f frame) col(x float64) int {
	x = min(max(x, 0), f.xmax)
	return gutter + int(math.Round(x/f.xmax*float64(f.cols-1)))
}

// up is how far down the plot y lies, in rows, clipped to the plot.
func (f frame) up(y float64) float64 {
	y = min(max(y, f.ymin), f.ymax)
	return (f.ymax - y) / (f.ymax - f.ymin) * float64(f.rows-1)
}

func (f frame) row(y float64) int { return f.top + int(math.Round(f.up(y))) }

// sub is the sub-cell row of y: the middle of the dots of its place.
func (f frame) sub(y float64) float64 { return float64(f.top)*4 + f.up(y)*4 + 1.5 }

// panel draws one quantity: title, plot, and where asked the amounts below.
func panel(d Data, q, w, h int, th theme.Theme, axis bool) []string {
	g := newGrid(w, h)
	words := fanWords(d.Next, q, w)
	room := 6
	for _, s := range words {
		room = max(room, part.Width(s)+4)
	}
	f := frame{g: g, top: 1, rows: h - 2, cols: max(w-gutter-room, 8), xmax: d.Scale.XMax, ymin: d.Scale.YMin[q], ymax: d.Scale.YMax[q]}
	if axis {
		f.rows--
	}
	if f.rows < 2 || f.xmax <= 0 || f.ymax <= f.ymin {
		return clip(Trace(d, w), h)
	}
	title := names[q] + " " + d.Unit
	if b := d.Band[q]; b.ok() {
		title += "   band " + span(b.Low, b.High)
	}
	g.text(0, 0, title, label)

	start, c0, ok := f.newest(d, q)
	c1 := c0
	fan := ok && d.Next.On && d.Next.Orifice[q].ok() && d.Next.Valve[q].ok() && finite(d.Next.X)
	if fan {
		c1 = min(max(f.col(d.Next.X), c0+max(leastFan, w/8)), w-room+1)
	}
	f.band(d.Band[q])
	f.stop(d.Stop[q], q)
	f.axes(d, axis, fan, c1)
	f.curve(d, q, th.ASCII)
	if d.Past.On && ok {
		f.past(d, q, c0, th.ASCII)
	}
	if fan {
		f.fan(start, c0, c1, d.Next.Orifice[q], fanA, th.ASCII)
		f.fan(start, c0, c1, d.Next.Valve[q], fanB, th.ASCII)
	}
	f.points(d, q)
	if fan {
		f.ends(d, q, c1, words)
	}
	out := g.lines(th)
	if th.ASCII {
		for i := range out {
			out[i] = ascii.Replace(out[i])
		}
	}
	return out
}

var ascii = strings.NewReplacer("┤", "+", "│", "|", "┼", "+", "─", "-", "┬", "+", "┴", "+", "├", "+",
	"●", "@", "○", "o", "◌", ".", "░", ":", "┄", ".", "╌", "-", "→", ">", "·", "-", "°", "")

// newest finds the newest point of a quantity and its column.
func (f frame) newest(d Data, q int) (y float64, col int, ok bool) {
	for i := len(d.Points) - 1; i >= 0; i-- {
		if p := d.Points[i]; finite(p.X) && finite(p.Y[q]) {
			return p.Y[q], f.col(p.X), true
		}
	}
	return 0, 0, false
}

// fan draws median and edges of one forecast, from the newest point to the end.
func (f frame) fan(y0 float64, c0, c1 int, r Range, style uint8, ascii bool) {
	if ascii {
		n := c1 - c0
		for i := 2; i < n-1; i++ {
			t := float64(i) / float64(n)
			f.g.set(c0+i, f.row(y0+t*(r[1]-y0)), '.', style)
		}
		return
	}
	x0, x1 := float64(c0)*2+2, float64(c1)*2-2
	f.g.line(x0, f.sub(y0), x1, f.sub(r[1]), 1, style)
	if f.rows >= 10 && f.sub(r[0])-f.sub(r[2]) >= 12 { // room to see edges apart from the median
		f.g.line(x0, f.sub(y0), x1, f.sub(r[0]), 4, style)
		f.g.line(x0, f.sub(y0), x1, f.sub(r[2]), 4, style)
	}
}

// past leaves a trace of the fans the newest point landed among.
func (f frame) past(d Data, q, c1 int, ascii bool) {
	if ascii || len(d.Points) < 2 {
		return
	}
	p := d.Points[len(d.Points)-2]
	if !finite(p.X) || !finite(p.Y[q]) {
		return
	}
	c0 := f.col(p.X)
	if c1-c0 < 4 {
		return
	}
	for _, r := range []Range{d.Past.Orifice[q], d.Past.Valve[q]} {
		if r.ok() {
			f.g.line(float64(c0)*2+2, f.sub(p.Y[q]), float64(c1)*2, f.sub(r[1]), 4, faint)
		}
	}
}

// curve draws the settled answer over the amount, where it is known.
func (f frame) curve(d Data, q int, ascii bool) {
	for i := 1; i < len(d.Curve); i++ {
		a, b := d.Curve[i-1], d.Curve[i]
		if !finite(a.X) || !finite(b.X) || !finite(a.Y[q]) || !finite(b.Y[q]) || a.X < 0 {
			continue
		}
		ca, cb := f.col(a.X), f.col(b.X)
		if !ascii {
			f.g.line(float64(ca)*2, f.sub(a.Y[q]), float64(cb)*2, f.sub(b.Y[q]), 1, fanA)
			continue
		}
		for c := ca; c <= cb; c++ {
			t := float64(c-ca) / math.Max(float64(cb-ca), 1)
			f.g.set(c, f.row(a.Y[q]+t*(b.Y[q]-a.Y[q])), '.', fanA)
		}
	}
}

func (f frame) points(d Data, q int) {
	last := -1
	for i, p := range d.Points {
		if !finite(p.X) || !finite(p.Y[q]) {
			continue
		}
		r := '○'
		if !p.Settled {
			r = '◌'
		}
		f.g.set(f.col(p.X), f.row(p.Y[q]), r, plain)
		last = i
	}
	if last >= 0 {
		f.g.set(f.col(d.Points[last].X), f.row(d.Points[last].Y[q]), '●', point)
	}
}

// fanWords are the words at the ends of the fans: orifice, valve; one alone
// where both say the same.
func fanWords(n Fans, q, w int) []string {
	if !n.On || !n.Orifice[q].ok() || !n.Valve[q].ok() {
		return nil
	}
	o, v := n.Orifice[q], n.Valve[q]
	so, sv := span(o[0], o[2]), span(v[0], v[2])
	switch {
	case n.Known != 0:
		return []string{"expected " + so}
	case so == sv && w >= 60:
		return []string{"either way " + so}
	case so == sv:
		return []string{"either " + so}
	case w >= 60:
		return []string{"if an orifice " + so, "if a valve " + sv}
	default:
		return []string{"orifice " + so, "valve " + sv}
	}
}

// ends draws the range of each forecast as a bracket and writes its words.
// Where brackets overlap they stand side by side, orifice first.
func (f frame) ends(d Data, q, c1 int, words []string) {
	ranges := []Range{d.Next.Orifice[q], d.Next.Valve[q]}
	styles := []uint8{fanA, fanB}
	if len(words) == 1 {
		ranges = ranges[:1]
	}
	overlap := len(ranges) == 2 && f.row(ranges[0][2]) <= f.row(ranges[1][0]) && f.row(ranges[1][2]) <= f.row(ranges[0][0])
	rows := make([]int, len(ranges))
	for i, r := range ranges {
		rows[i] = f.row(r[1])
	}
	if len(rows) == 2 && rows[0] == rows[1] {
		// Words cannot share a line: the higher median goes up, or the other down.
		hi := 0
		if ranges[1][1] > ranges[0][1] {
			hi = 1
		}
		if rows[hi] > f.top {
			rows[hi]--
		} else {
			rows[1-hi]++
		}
	}
	for i, r := range ranges {
		x := c1
		if overlap && i == 1 {
			x += 2
		}
		top, bottom := f.row(r[2]), f.row(r[0])
		for y := top; y <= bottom; y++ {
			c := '│'
			switch {
			case y == f.row(r[1]):
				c = '├'
			case y == top:
				c = '┬'
			case y == bottom:
				c = '┴'
			}
			f.g.set(x, y, c, styles[i])
		}
	}
	at := c1 + 2
	if overlap {
		at += 2
	}
	for i := range ranges {
		f.g.text(at, rows[i], words[i]+" ", styles[i])
	}
}
