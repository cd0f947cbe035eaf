package fork

import (
	"math"

	"chargehand/ui/part"
)

func (f frame) band(b Band) {
	if !b.ok() || b.High < f.ymin || b.Low > f.ymax {
		return
	}
	top, bottom := f.row(b.High), f.row(b.Low)
	for y := top; y <= bottom; y++ {
		for x := gutter; x < f.g.w; x++ {
			switch {
			case y == top || y == bottom:
				f.g.set(x, y, '┄', band)
			case (x+2*y)%4 == 0:
				f.g.set(x, y, '·', band)
			}
		}
	}
}

// axes draws the upright axis with its numbers and the level one with amounts.
func (f frame) axes(d Data, below, fan bool, c1 int) {
	g := f.g
	for y := f.top; y < f.top+f.rows; y++ {
		g.set(gutter-1, y, '│', faint)
	}
	step := tickStep(f.ymax-f.ymin, max(f.rows/3+1, min(f.rows-1, 3)))
	last := -10
	for y := math.Ceil(f.ymin/step) * step; y <= f.ymax+step/1e6; y += step {
		r := f.row(y)
		if r == last {
			continue
		}
		last = r
		s := num(y)
		g.text(gutter-2-len(s), r, s, faint)
		g.set(gutter-1, r, '┤', faint)
	}
	base := f.top + f.rows
	for x := gutter; x < gutter+f.cols; x++ {
		g.set(x, base, '─', faint)
	}
	g.set(gutter-1, base, '┼', faint)
	if !below {
		for _, p := range d.Points {
			if finite(p.X) {
				g.set(f.col(p.X), base, '┴', faint)
			}
		}
		return
	}
	// Amounts: a tick wherever something was read, the numbers where they fit.
	free := 0
	put := func(x int, s string) {
		at := max(x-part.Width(s)/2, 0)
		if at >= free && at+part.Width(s) <= g.w {
			g.text(at, base+1, s, faint)
			free = at + part.Width(s) + 2
		}
	}
	end := ""
	if fan {
		if n := d.Next.X - d.Points[len(d.Points)-1].X; finite(n) {
			sign := "+"
			if n < 0 {
				sign = "−"
			}
			end = sign + amount(math.Abs(n)) + " " + d.MassUnit
			for x := gutter + f.cols; x <= c1; x++ {
				g.set(x, base, '─', faint)
			}
		}
	}
	limit := g.w
	if end != "" {
		limit = c1 - part.Width(end)/2 - 2
	}
	step = tickStep(f.xmax, max(f.cols/9, 2))
	for x := 0.0; x <= f.xmax+step/1e6; x += step {
		c := f.col(x)
		s := num(x)
		if x == 0 {
			s += " " + d.MassUnit + " in"
			c += part.Width(s)/2 - 1
		}
		if c+part.Width(s)/2 < limit {
			g.set(f.col(x), base, '┬', faint)
			put(c, s)
		}
	}
	if end != "" {
		g.set(c1, base, '┬', faint)
		put(c1, end)
	}
}

func tickStep(span float64, n int) float64 {
	if n < 1 {
		n = 1
	}
	step := ladder(span / float64(n))
	// 3 and 6 and 8 make awkward ticks.
	p := math.Pow(10, math.Floor(math.Log10(step)+1e-9))
	switch m := step / p; {
	case m <= 1.001:
		return p
	case m <= 2.001:
		return 2 * p
	case m <= 5.001:
		return 5 * p
	default:
		return 10 * p
	}
}

// stop draws where a stopping rule lies, with its name at the right.
func (f frame) stop(y float64, q int) {
	if y == 0 || !finite(y) || y <= f.ymin || y >= f.ymax || f.rows < 7 {
		return
	}
	row := f.row(y)
	for x := gutter; x < f.g.w; x++ {
		if (x-gutter)%3 != 2 {
			f.g.set(x, row, '╌', band)
		}
	}
	words := [2]string{" floor ", " ceiling "}[q] + num(y)
	f.g.text(f.g.w-len(words), row, words, band)
}
