package refrigerants_test

import (
	"fmt"
	"math/rand"
	"testing"
	"time"

	"chargehand/refrigerants"
)

// Run with: go test ./refrigerants -bench . -benchmem -run '^$'
//
// Beside each, what the reference library (CoolProp 8.0.1dev) takes for the
// same on a two-core machine, and the bar.

var sink float64

// bar logs one line of the page of numbers from the benchmark that just ran.
func bar(b *testing.B, what, limit, bench string) {
	b.Helper()
	each := float64(b.Elapsed().Nanoseconds()) / float64(b.N)
	took := fmt.Sprintf("%.1f ns", each)
	switch {
	case each > 1e6:
		took = fmt.Sprintf("%.1f ms", each/float64(time.Millisecond))
	case each > 1e3:
		took = fmt.Sprintf("%.1f µs", each/float64(time.Microsecond))
	}
	b.Logf("bar: %s | %s | %s | go test ./refrigerants -run '^$' -bench %s", what, limit, took, bench)
}

// pressures and temperatures at random, so that no branch is learnt.
func inputs(n int, lo, hi float64) []float64 {
	rng := rand.New(rand.NewSource(4))
	x := make([]float64, n)
	for i := range x {
		x[i] = lo + (hi-lo)*rng.Float64()
	}
	return x
}

func curve(b *testing.B, name string) *refrigerants.Curve {
	c, _ := fast(b, lookup(b, name))
	return c
}

// Bicubic tables of the library: 205 ns. Bar 20 ns.
func BenchmarkCurveDewTemperature(b *testing.B) {
	c, p := curve(b, "R-410A"), inputs(1024, 5e5, 4e6)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		sink += c.DewTemperature(p[i&1023])
	}
	bar(b, "T(p) on the fast curve", "20 ns, no allocation (the library's tables: 205 ns)", "CurveDewTemperature")
}

func BenchmarkCurveBubblePressure(b *testing.B) {
	c, T := curve(b, "R-410A"), inputs(1024, 250, 330)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		sink += c.BubblePressure(T[i&1023])
	}
}

func BenchmarkCurveVapor(b *testing.B) {
	c, p := curve(b, "R-410A"), inputs(1024, 5e5, 4e6)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		sink += c.Vapor(p[i&1023]).Enthalpy
	}
}

// Bicubic tables of the library: 393 ns. Bar 40 ns.
func BenchmarkSurfaceVaporEnthalpy(b *testing.B) {
	_, s := fast(b, lookup(b, "R-410A"))
	p, T := inputs(1024, 5e5, 2e6), inputs(1024, 306, 400)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		sink += s.VaporEnthalpy(p[i&1023], T[(7*i)&1023])
	}
	bar(b, "h(p,T) on the fast surface, vapour", "40 ns (the library's tables: 393 ns)", "SurfaceVaporEnthalpy")
}

// All four properties at once. The library's tables: 379 ns for one.
func BenchmarkSurfaceLiquid(b *testing.B) {
	_, s := fast(b, lookup(b, "R-410A"))
	p, T := inputs(1024, 2e6, 4e6), inputs(1024, 250, 300)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		sink += s.Liquid(p[i&1023], T[(7*i)&1023]).Density
	}
}

func BenchmarkSurfaceVaporTemperature(b *testing.B) {
	_, s := fast(b, lookup(b, "R-410A"))
	p, h := inputs(1024, 5e5, 2e6), inputs(1024, 4.3e5, 4.9e5)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		sink += s.VaporTemperature(p[i&1023], h[(7*i)&1023])
	}
}

func bubble(b *testing.B, name string) {
	r := lookup(b, name)
	fast(b, r)
	p := inputs(1024, 3e5, 2.5e6)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		T, err := r.BubbleTemperature(p[i&1023])
		if err != nil {
			b.Fatal(err)
		}
		sink += T
	}
}

// The library: 0.41 µs by a fitted super-ancillary.
func BenchmarkFullSaturationPure(b *testing.B) { bubble(b, "R-134a") }

// The library: 212 µs. Bar 20 µs.
func BenchmarkFullBubbleTwoComponents(b *testing.B) {
	bubble(b, "R-410A")
	bar(b, "full mixture bubble point, two components", "20 µs (the library: 212 µs)", "FullBubbleTwo")
}

// The library: 658 µs. Bar 65 µs.
func BenchmarkFullBubbleFourComponents(b *testing.B) {
	bubble(b, "R-449A")
	bar(b, "full mixture bubble point, four components", "65 µs (the library: 658 µs)", "FullBubbleFour")
}

func BenchmarkFullBubbleFiveComponents(b *testing.B) { bubble(b, "R-448A") }

// The library: 16.5 µs with the phase known, 1,297 µs with it to be found.
func BenchmarkFullVaporTwoComponents(b *testing.B) {
	r := lookup(b, "R-410A")
	fast(b, r)
	p, T := inputs(1024, 5e5, 2e6), inputs(1024, 306, 400)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		s, err := r.Vapor(p[i&1023], T[(7*i)&1023])
		if err != nil {
			b.Fatal(err)
		}
		sink += s.Enthalpy
	}
}

func BenchmarkTwoPhaseFlash(b *testing.B) {
	for _, name := range []string{"R-134a", "R-410A", "R-449A"} {
		b.Run(name, func(b *testing.B) {
			r := lookup(b, name)
			fast(b, r)
			p, h := inputs(1024, 4e5, 1e6), inputs(1024, 2.7e5, 3.7e5)
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				s, err := r.AtEnthalpy(p[i&1023], h[(7*i)&1023])
				if err != nil {
					b.Fatal(err)
				}
				sink += s.Quality
			}
		})
	}
}

// First use, data files read, curves built. The library's tables: 3,700 ms. Bar 50 ms.
func BenchmarkFirstUse(b *testing.B) {
	for _, name := range []string{"R-134a", "R-410A", "R-448A"} {
		b.Run(name+"/curve", func(b *testing.B) {
			for b.Loop() {
				r := refrigerants.Fresh(name)
				if _, err := r.Curve(); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run(name+"/curve+surface", func(b *testing.B) {
			for b.Loop() {
				r := refrigerants.Fresh(name)
				if _, err := r.Surface(); err != nil {
					b.Fatal(err)
				}
			}
			bar(b, "first use of "+name+", curve and surface built", "50 ms (the library's tables: 3,700 ms)", "FirstUse")
		})
	}
}
