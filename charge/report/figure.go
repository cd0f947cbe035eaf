package report

import (
	"bytes"
	"fmt"
	"html"
	"image/color"
	"math"
	"regexp"
	"strconv"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"

	"chargehand/charge"
	q "chargehand/charge/quantity"
)

// The figure is drawn at the size of a phone and scaled up, so that its
// numbers can be read there.
const (
	figureWidth  = 340
	figureHeight = 400
)

var (
	ink  = color.Gray{0x20}
	dim  = color.Gray{0x55}
	pale = color.Gray{0xdd}
)

// figure draws the fork as it went: superheat and subcooling over net amount
// weighed in, the target band, and for each reading the bars that had been
// foretold for it, the left one if an orifice is inside and the right one if a
// valve. Empty when there is nothing to draw.
func figure(p *Page, id string) (string, error) {
	shown := 0
	for _, pt := range p.Points {
		if finite(pt.SuperheatK) || finite(pt.SubcoolingK) {
			shown++
		}
	}
	if shown == 0 {
		return "", nil
	}
	c := vgsvg.New(figureWidth, figureHeight)
	dc := draw.New(c)
	half := dc.Rectangle.Max.Y / 2
	top, bottom := dc, dc
	top.Rectangle.Min.Y = half + 4
	bottom.Rectangle.Max.Y = half - 4
	newPanel(p, charge.OfSuperheat).Draw(top)
	newPanel(p, charge.OfSubcooling).Draw(bottom)
	var b bytes.Buffer
	if _, err := c.WriteTo(&b); err != nil {
		return "", err
	}
	return accessible(b.String(), id, describe(p)), nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// scale turns kelvins and kilograms into what is shown.
type scale struct {
	perK, perKg float64
	degree      string // on an axis
	kelvin      string // in a name: "superheat_F"
	mass        string
}

func scaleOf(u q.System) scale {
	if u == q.SI {
		return scale{1, 1000, "K", "K", "g"}
	}
	return scale{1.8, 1 / q.KilogramsPerOunce, "°F", "F", "oz"}
}

// panel draws one of the two numbers over the net amount.
type panel struct {
	*plot.Plot
	of                     charge.TargetOf
	sc                     scale
	left, right, low, high float64 // in what the axes show
}

func newPanel(p *Page, of charge.TargetOf) *plot.Plot {
	d := &panel{Plot: plot.New(), of: of, sc: scaleOf(p.Units)}
	d.axes()
	t := target(p, of)
	d.extent(p.Points, t)
	if t.Defined {
		d.band(t)
	}
	d.foretold(p.Points)
	d.path(p.Points)
	d.X.Min, d.X.Max, d.Y.Min, d.Y.Max = d.left, d.right, d.low, d.high
	return d.Plot
}

func (d *panel) axes() {
	d.Y.Label.Text = fmt.Sprintf("%s, %s", d.of, d.sc.degree)
	if d.of == charge.OfSubcooling {
		d.X.Label.Text = fmt.Sprintf("net weighed in, %s", d.sc.mass)
	}
	for _, a := range []*plot.Axis{&d.X, &d.Y} {
		a.Label.TextStyle.Font.Typeface, a.Label.TextStyle.Font.Variant = "Liberation", "Sans"
		a.Tick.Label.Font.Typeface, a.Tick.Label.Font.Variant = "Liberation", "Sans"
		a.Label.TextStyle.Font.Size, a.Tick.Label.Font.Size = 11, 10.5
		a.Color, a.Tick.Color, a.Label.TextStyle.Color, a.Tick.Label.Color = dim, dim, ink, ink
		a.Padding = 2
	}
	d.X.Tick.Marker, d.Y.Tick.Marker = ticks{}, ticks{}
}

// at is where a reading stands; y is NaN where the number is not known.
func (d *panel) at(pt Point) plotter.XY {
	y := pt.SuperheatK
	if d.of == charge.OfSubcooling {
		y = pt.SubcoolingK
	}
	return plotter.XY{X: pt.NetKg * d.sc.perKg, Y: y * d.sc.perK}
}

// extent takes in every reading and the band, with room for the last word.
func (d *panel) extent(points []Point, t charge.Target) {
	d.right, d.high = 1, 10
	for _, pt := range points {
		if at := d.at(pt); finite(at.X) && finite(at.Y) {
			d.left, d.right = min(d.left, at.X), max(d.right, at.X)
			d.low, d.high = min(d.low, at.Y), max(d.high, at.Y)
		}
	}
	wide := (d.right - d.left) * 0.06
	d.left, d.right = d.left-wide, d.right+3*wide
	if t.Defined {
		d.low, d.high = min(d.low, t.Low*d.sc.perK), max(d.high, t.High*d.sc.perK)
	}
	span := d.high - d.low
	d.low, d.high = d.low-0.05*span, d.high+0.08*span
}

func (d *panel) band(t charge.Target) {
	low, high := t.Low*d.sc.perK, t.High*d.sc.perK
	poly, err := plotter.NewPolygon(plotter.XYs{{X: d.left, Y: low}, {X: d.right, Y: low}, {X: d.right, Y: high}, {X: d.left, Y: high}})
	if err != nil {
		return
	}
	poly.Color, poly.LineStyle.Width = pale, 0
	d.Add(poly)
}

func (d *panel) line(pts plotter.XYs, width vg.Length, dashes []vg.Length) {
	l, err := plotter.NewLine(pts)
	if err != nil {
		return
	}
	l.Color, l.Width, l.Dashes = dim, width, dashes
	d.Add(l)
}

// foretold draws the bars that stood for a reading before it was taken; the
// last pair carries its words.
func (d *panel) foretold(points []Point) {
	last := -1
	for i, pt := range points {
		if pt.Forecast != nil {
			last = i
		}
	}
	clamp := func(y float64) float64 { return min(max(y, d.low), d.high) }
	for i, pt := range points {
		if pt.Forecast == nil {
			continue
		}
		for side, f := range []charge.Bands{pt.Forecast.IfOrifice, pt.Forecast.IfValve} {
			b := f.Superheat
			if d.of == charge.OfSubcooling {
				b = f.Subcooling
			}
			if !finite(b[0]) || !finite(b[2]) || b[0] == 0 && b[2] == 0 {
				continue
			}
			x := pt.NetKg*d.sc.perKg + (float64(side)*2-1)*(d.right-d.left)*0.018
			var dashes []vg.Length
			if side == 1 {
				dashes = []vg.Length{2, 2}
			}
			d.line(plotter.XYs{{X: x, Y: clamp(b[0] * d.sc.perK)}, {X: x, Y: clamp(b[2] * d.sc.perK)}}, 2, dashes)
			if i == last {
				end := b[0] // away from the path, which falls for superheat and rises for subcooling
				if d.of == charge.OfSubcooling {
					end = b[2]
				}
				word(d.Plot, x, clamp(end*d.sc.perK), side)
			}
		}
	}
}

// path joins the readings: settled ones full, early ones as rings.
func (d *panel) path(points []Point) {
	var path, settled, early plotter.XYs
	for _, pt := range points {
		at := d.at(pt)
		if !finite(at.Y) {
			continue
		}
		path = append(path, at)
		if pt.Settled {
			settled = append(settled, at)
		} else {
			early = append(early, at)
		}
	}
	if len(path) > 1 {
		d.line(path, 0.75, nil)
	}
	for k, pts := range []plotter.XYs{settled, early} {
		s, err := plotter.NewScatter(pts)
		if err != nil {
			continue
		}
		s.GlyphStyle.Radius, s.GlyphStyle.Color = 3.2, ink
		s.GlyphStyle.Shape = draw.CircleGlyph{}
		if k == 1 {
			s.GlyphStyle.Shape = draw.RingGlyph{}
		}
		d.Add(s)
	}
}

// word names a bar: if an orifice on its left, if a valve on its right.
func word(pl *plot.Plot, x, y float64, side int) {
	l, err := plotter.NewLabels(plotter.XYLabels{XYs: plotter.XYs{{X: x, Y: y}}, Labels: []string{[]string{"orifice", "valve"}[side]}})
	if err != nil {
		return
	}
	st := &l.TextStyle[0]
	st.Font.Typeface, st.Font.Variant, st.Font.Size, st.Color = "Liberation", "Sans", 10, ink
	st.XAlign, st.YAlign = text.XRight, text.YCenter
	l.Offset.X = -4
	if side == 1 {
		st.XAlign, l.Offset.X = text.XLeft, 4
	}
	pl.Add(l)
}

// ticks marks three to six round numbers, written as people write them.
type ticks struct{}

func (ticks) Ticks(low, high float64) []plot.Tick {
	step := math.Pow(10, math.Floor(math.Log10(max(high-low, 1e-6))))
	for _, f := range []float64{0.2, 0.5, 1, 2} {
		if n := (high - low) / (step * f); n <= 6 {
			step *= f
			break
		}
	}
	var out []plot.Tick
	for x := math.Ceil(low/step) * step; x <= high+step/1e6; x += step {
		out = append(out, plot.Tick{Value: x, Label: strconv.FormatFloat(math.Round(x*1000)/1000+0, 'f', -1, 64)})
	}
	return out
}

// target is the band of the last reading for one of the two.
func target(p *Page, of charge.TargetOf) charge.Target {
	if p.Last == nil {
		return charge.Target{}
	}
	if t := p.Last.Target; t.Of == of && t.Defined {
		return t
	}
	if p.Last.Target.Of == charge.OfWeight || p.Last.Target.Of == charge.OfSightGlass {
		return charge.Target{}
	}
	if of == charge.OfSuperheat && p.Last.Belief.Verdict != charge.ExpansionValve {
		return p.Last.IfOrifice
	}
	if of == charge.OfSubcooling && p.Last.Belief.Verdict != charge.FixedOrifice {
		return p.Last.IfValve
	}
	return charge.Target{}
}

// describe is the figure in a sentence, for who cannot see it.
func describe(p *Page) string {
	var parts []string
	for _, pt := range p.Points {
		parts = append(parts, fmt.Sprintf("at %s net, superheat %s and subcooling %s", q.FormatMassKg(pt.NetKg, p.Units), diff(pt.SuperheatK, p.Units), diff(pt.SubcoolingK, p.Units)))
	}
	return "Superheat and subcooling over the net amount weighed in: " + strings.Join(parts, "; ") + "."
}

var (
	svgHead = regexp.MustCompile(`(?s)^.*?<svg[^>]*>`)
	fonts   = regexp.MustCompile(`font-family:[^;"]*`)
)

// accessible gives the drawing a name, a description and a width that follows
// the page, and takes the font names out that no reader has.
func accessible(svg, id, description string) string {
	head := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" role="img" aria-labelledby="%s-t %s-d" class="fork"><title id="%s-t">Fork</title><desc id="%s-d">%s</desc>`,
		figureWidth, figureHeight, id, id, id, id, html.EscapeString(description))
	svg = svgHead.ReplaceAllLiteralString(svg, head)
	return fonts.ReplaceAllString(svg, "font-family:inherit")
}
