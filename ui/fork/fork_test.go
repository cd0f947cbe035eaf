package fork

import (
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	_ "github.com/charmbracelet/x/exp/golden" // defines -update
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chargehand/ui/part"
	"chargehand/ui/theme"
)

// sample is invented: a five ton split, three readings, device not known.
func sample() Data {
	return Data{
		Unit: "°F", MassUnit: "oz",
		Points: []Point{
			{0, [2]float64{42, 2.8}, true}, {8, [2]float64{26.7, 3.4}, true}, {12, [2]float64{13.4, 3.9}, true},
		},
		Band: [2]Band{{4, 14}, {6, 12}},
		Next: Fans{On: true, X: 16, Orifice: [2]Range{{6, 8.7, 11}, {4, 4.4, 5}}, Valve: [2]Range{{10, 12, 14}, {5, 6, 7}}},
		Stop: [2]float64{3, 14},
		Past: Fans{On: true, X: 12, Orifice: [2]Range{{10, 14, 18}, {3.2, 3.6, 4}}, Valve: [2]Range{{18, 22, 25}, {4, 5, 6}}},
	}
}

// metric is the same in kelvins and grams, with the device settled on.
func metric() Data {
	d := sample()
	d.Unit, d.MassUnit = "K", "g"
	d.Next.Known, d.Past.Known = KnownOrifice, KnownOrifice
	for i := range d.Points {
		d.Points[i].X *= 28
		d.Points[i].Y[0] /= 1.8
		d.Points[i].Y[1] /= 1.8
	}
	d.Next.X *= 28
	return d
}

func TestGoldenForks(t *testing.T) {
	plain := sample()
	unsettled := sample()
	unsettled.Points[2].Settled = false
	unsettled.Points = append(unsettled.Points, Point{12, [2]float64{12.1, 4}, false})
	recover := sample()
	recover.Next.X = 9
	same := sample()
	same.Next.Valve = same.Next.Orifice
	curve := sample()
	curve.Next, curve.Past = Fans{}, Fans{}
	for x := 0.0; x <= 32; x += 2 {
		curve.Curve = append(curve.Curve, Point{x, [2]float64{42 - 1.6*x, 2 + 0.3*x}, true})
	}
	for _, c := range []struct {
		name string
		d    Data
		w, h int
		th   theme.Theme
	}{
		{"two-panels", plain, 72, 22, theme.Theme{}},
		{"wide", plain, 160, 26, theme.Theme{}},
		{"one-panel", plain, 60, 12, theme.Theme{}},
		{"least", plain, 44, 8, theme.Theme{}},
		{"trace", plain, 36, 8, theme.Theme{}},
		{"ascii", plain, 72, 22, theme.Theme{ASCII: true}},
		{"known", metric(), 72, 22, theme.Theme{}},
		{"unsettled", unsettled, 72, 22, theme.Theme{}},
		{"recover", recover, 72, 22, theme.Theme{}},
		{"same", same, 72, 22, theme.Theme{}},
		{"debrief", curve, 72, 22, theme.Theme{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := strings.Join(Draw(c.d, c.w, c.h, c.th), "\n") + "\n"
			path := filepath.Join("testdata", c.name+".txt")
			if f := flag.Lookup("update"); f.Value.String() == "true" {
				require.NoError(t, os.MkdirAll("testdata", 0o755))
				require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
				return
			}
			want, err := os.ReadFile(path)
			require.NoError(t, err)
			require.Equal(t, string(want), got)
		})
	}
}

// The two futures and the band are there in words, in every drawing that has
// room for any.
func TestMeaningIsInWords(t *testing.T) {
	for w := 36; w <= 160; w++ {
		for _, h := range []int{6, 9, 14, 20, 30} {
			all := strings.Join(Draw(sample(), w, h, theme.Theme{}), "\n")
			assert.Contains(t, all, "orifice", "%dx%d", w, h)
			assert.Contains(t, all, "valve", "%dx%d", w, h)
			assert.Contains(t, all, "band 4 to 14", "%dx%d\n%s", w, h, all)
		}
	}
}

// A point that lands between the ends of a fan is drawn on one of its rows.
func TestNextPointLandsOnItsFan(t *testing.T) {
	d := sample()
	before := d.Grow(Scale{})
	d.Points = append(d.Points, Point{16, [2]float64{8.7, 4.4}, true})
	d.Next = Fans{}
	d.Past = sample().Next
	after := d.Grow(before)
	assert.Equal(t, before, after, "the axes keep still")
	assert.Equal(t, "Landed as an orifice would: SH 8.7 (orifice 6 to 11, valve 10 to 14).", d.Land())
	d.Points[3].Y[0] = 13
	assert.Equal(t, "Landed as a valve would: SH 13 (orifice 6 to 11, valve 10 to 14).", d.Land())
	d.Points[3].Y[0] = 10.5
	assert.Equal(t, "Landed as an orifice would: SC 4.4 (orifice 4 to 5, valve 5 to 7).", d.Land(), "where superheat cannot tell, subcooling may")
	d.Points[3].Y = [2]float64{30, 30}
	assert.Contains(t, d.Land(), "as neither would")
	d.Past.Known = KnownValve
	assert.Equal(t, "Landed otherwise than expected: SH 30 (10 to 14).", d.Land())
	d.Points[3].Settled = false
	assert.Empty(t, d.Land(), "it has not landed yet")
	d.Points[3].Settled, d.Past = true, Fans{}
	assert.Empty(t, d.Land())
}

func TestScalesGrowAndNeverShrink(t *testing.T) {
	d := sample()
	s := d.Grow(Scale{})
	assert.Equal(t, Scale{XMax: 20, YMin: [2]float64{}, YMax: [2]float64{50, 15}}, s)
	small := Data{Points: []Point{{1, [2]float64{3, 1}, true}}}
	assert.Equal(t, s, small.Grow(s))
	big := Data{Points: []Point{{100, [2]float64{-6, 60}, true}}}
	assert.Equal(t, Scale{XMax: 100, YMin: [2]float64{-6, 0}, YMax: [2]float64{50, 80}}, big.Grow(s))
}

func TestLadder(t *testing.T) {
	for x, want := range map[float64]float64{0: 1, 1: 1, 1.2: 1.5, 4.1: 5, 42: 50, 51: 60, 99: 100, 0.07: 0.08, 1e6 + 1: 1.5e6} {
		assert.InDelta(t, want, ladder(x), 1e-9*want, "%g", x)
	}
	assert.Equal(t, 1.0, ladder(math.NaN()))
	assert.Equal(t, 1.0, ladder(math.Inf(1)))
}

// Whatever it is given, the chart comes back, in its box.
func FuzzDraw(f *testing.F) {
	nan, inf := math.NaN(), math.Inf(1)
	f.Add(80, 24, 0.0, 42.0, 2.8, 16.0, 6.0, 9.0, 12.0, 4.0, 14.0)
	f.Add(0, 0, nan, inf, -inf, 1e300, nan, 0.0, inf, inf, nan)
	f.Add(1, 1, -5.0, 1e308, -1e308, -3.0, 3.0, 2.0, 1.0, 9.0, 2.0)
	f.Add(44, 8, 1e9, 0.0, 0.0, 1e9, 0.0, 0.0, 0.0, 0.0, 0.0)
	f.Add(160, 60, 1e-12, -40.0, 3.0, 1e-11, -50.0, -45.0, -44.0, -60.0, -10.0)
	f.Fuzz(func(t *testing.T, w, h int, x, sh, sc, next, a, b, c, lo, hi float64) {
		if w > 400 || h > 200 {
			return
		}
		d := Data{
			Unit: "°F", MassUnit: "oz", Stop: [2]float64{a, hi},
			Points: []Point{{0, [2]float64{sh, sc}, true}, {x, [2]float64{sc, sh}, false}, {x, [2]float64{nan, sc}, true}},
			Band:   [2]Band{{lo, hi}, {hi, lo}},
			Next:   Fans{On: true, X: next, Orifice: [2]Range{{a, b, c}, {c, b, a}}, Valve: [2]Range{{b, b, b}, {lo, a, hi}}},
			Past:   Fans{On: true, X: x, Orifice: [2]Range{{lo, a, hi}, {a, b, c}}, Valve: [2]Range{{c, c, c}, {a, a, hi}}},
			Curve:  []Point{{x, [2]float64{a, b}, true}, {next, [2]float64{c, hi}, true}},
		}
		for _, th := range []theme.Theme{{}, {ASCII: true}} {
			lines := Draw(d, w, h, th)
			if len(lines) > max(h, 0) {
				t.Fatalf("%d lines in a box of %d", len(lines), h)
			}
			for _, l := range lines {
				if part.Width(l) > max(w, 0) {
					t.Fatalf("a line of %d cells in a box of %d: %q", part.Width(l), w, l)
				}
			}
		}
		_ = d.Land()
	})
}

func BenchmarkDraw(b *testing.B) {
	d := sample()
	for b.Loop() {
		Draw(d, 120, 26, theme.Theme{})
	}
}

func ExampleTrace() {
	for _, l := range Trace(sample(), 40) {
		fmt.Println(l)
	}
	// Output:
	// SH 42 → 27 → 13             band 4 to 14
	//    orifice → 6 to 11 · valve → 10 to 14
	// SC 2.8 → 3.4 → 3.9          band 6 to 12
	//    orifice → 4 to 5 · valve → 5 to 7
}

// The step on the axis is the one advised, half ounces and all.
func TestTheStepIsWrittenAsAdvised(t *testing.T) {
	d := sample()
	d.Next.X = d.Points[len(d.Points)-1].X + 10.5
	assert.Contains(t, strings.Join(Draw(d, 100, 30, theme.Theme{}), "\n"), "+10.5 oz")
}
