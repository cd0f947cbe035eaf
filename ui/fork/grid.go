package fork

import (
	"math"
	"strings"

	"chargehand/ui/theme"
)

// A cell of the drawing: one character, or braille dots, in one of the styles.
type cell struct {
	r     rune
	dots  uint8
	style uint8
}

const (
	plain uint8 = iota
	faint
	band
	fanA
	fanB
	point
	label
)

// grid is the canvas. Everything written outside it is dropped.
type grid struct {
	w, h  int
	cells []cell
}

func newGrid(w, h int) *grid { return &grid{w: w, h: h, cells: make([]cell, w*h)} }

func (g *grid) in(x, y int) bool { return x >= 0 && y >= 0 && x < g.w && y < g.h }

func (g *grid) set(x, y int, r rune, style uint8) {
	if g.in(x, y) {
		g.cells[y*g.w+x] = cell{r: r, style: style}
	}
}

func (g *grid) text(x, y int, s string, style uint8) {
	for _, r := range s {
		g.set(x, y, r, style)
		x++
	}
}

// Dots of a braille cell, by column and row (Unicode 15, chapter 21.1).
var dotBits = [2][4]uint8{{0x01, 0x02, 0x04, 0x40}, {0x08, 0x10, 0x20, 0x80}}

// dot lights one dot, at sub-cell coordinates (two across, four down a cell).
// Dots do not overwrite points or words.
func (g *grid) dot(sx, sy int, style uint8) {
	if sx < 0 || sy < 0 || !g.in(sx/2, sy/4) {
		return
	}
	c := &g.cells[sy/4*g.w+sx/2]
	if c.r != 0 && c.style != band {
		return
	}
	if c.dots == 0 {
		c.r, c.style = 0, style
	}
	c.dots |= dotBits[sx%2][sy%4]
}

// line draws dots from one sub-cell place to another, every step-th one.
func (g *grid) line(x0, y0, x1, y1 float64, every int, style uint8) {
	n := int(max(math.Abs(x1-x0), math.Abs(y1-y0)))
	if n <= 0 || n > 4*(g.w+g.h)*4 {
		return
	}
	for i := 0; i <= n; i += every {
		t := float64(i) / float64(n)
		g.dot(int(math.Round(x0+t*(x1-x0))), int(math.Round(y0+t*(y1-y0))), style)
	}
}

// lines renders the grid, runs of one style at a time.
func (g *grid) lines(th theme.Theme) []string {
	styles := [...]theme.Style{plain: {}, faint: th.Faint, band: th.Band, fanA: th.A, fanB: th.B, point: th.Point, label: th.Label}
	out := make([]string, g.h)
	var line, run strings.Builder
	for y := range g.h {
		line.Reset()
		row := g.cells[y*g.w : (y+1)*g.w]
		end := len(row)
		for end > 0 && row[end-1].r == 0 && row[end-1].dots == 0 {
			end--
		}
		for x := 0; x < end; {
			s := row[x].style
			run.Reset()
			for ; x < end && row[x].style == s; x++ {
				switch c := row[x]; {
				case c.dots != 0:
					run.WriteRune(0x2800 + rune(c.dots))
				case c.r != 0:
					run.WriteRune(c.r)
				default:
					run.WriteByte(' ')
				}
			}
			line.WriteString(styles[s].Render(run.String()))
		}
		out[y] = line.String()
	}
	return out
}
