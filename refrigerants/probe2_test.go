package refrigerants

import (
	"fmt"
	"math"
	"math/rand"
	"testing"
	"time"
)

func TestProbe2(t *testing.T) {
	for _, r := range All() {
		t0 := time.Now()
		c, err := r.Curve()
		if err != nil {
			t.Error(err)
			continue
		}
		t1 := time.Now()
		s, err := r.Surface()
		if err != nil {
			t.Error(err)
			continue
		}
		el, el2 := t1.Sub(t0), time.Since(t1)
		rng := rand.New(rand.NewSource(1))
		lo, hi := c.PressureRange()
		tc := r.rec.Critical.T
		var eT, eP, eh, er, es, ec, evh, evr, evs, evc, elh, elr, els, elc, inv float64
		up := func(x *float64, v float64) {
			if math.IsNaN(v) {
				v = 1e9
			}
			if v = math.Abs(v); v > *x {
				*x = v
			}
		}
		for i := 0; i < 2000; i++ {
			p := lo * math.Pow(hi/lo, rng.Float64())
			T := c.DewTemperature(p)
			F, err := r.DewTemperature(p)
			if err != nil {
				t.Error(err)
			}
			up(&eT, T-F)
			B := c.BubbleTemperature(p)
			F2, _ := r.BubbleTemperature(p)
			up(&eT, B-F2)
			up(&eP, c.DewPressure(T)/p-1)
			if B > c.liquid.lowT {
				up(&eP, c.BubblePressure(B)/p-1)
			}
			v := c.Vapor(p)
			V, err := r.Vapor(p, F)
			if err != nil {
				t.Error(err)
				continue
			}
			up(&eh, v.Enthalpy-V.Enthalpy)
			up(&er, v.Density/V.Density-1)
			up(&es, v.Entropy-V.Entropy)
			l := c.Liquid(p)
			L, err := r.Liquid(p, F2)
			if err != nil {
				t.Error(err)
				continue
			}
			up(&eh, l.Enthalpy-L.Enthalpy)
			up(&er, l.Density/L.Density-1)
			up(&es, l.Entropy-L.Entropy)
			x := s.Vapor(p, T)
			up(&ec, x.Enthalpy-v.Enthalpy)
			up(&ec, x.Density/v.Density-1)
			y := s.Liquid(p, B)
			if B >= s.liquid.limit {
				up(&ec, y.Enthalpy-l.Enthalpy)
				up(&ec, y.Density/l.Density-1)
			}
			if T > 0.95*tc {
				continue
			}
			// vapor
			T = F + rng.Float64()*rng.Float64()*(443.15-F)
			x = s.Vapor(p, T)
			X, err := r.Vapor(p, T)
			if err != nil {
				t.Error(err)
				continue
			}
			up(&evh, x.Enthalpy-X.Enthalpy)
			up(&evr, x.Density/X.Density-1)
			up(&evs, x.Entropy-X.Entropy)
			up(&evc, x.HeatCapacity/X.HeatCapacity-1)
			if d := s.VaporTemperature(p, X.Enthalpy) - T; true {
				up(&inv, d)
			}
			if d := s.VaporTemperatureAtEntropy(p, X.Entropy) - T; true {
				up(&inv, d)
			}
			if F2 < s.liquid.limit+1 {
				continue
			}
			T = F2 - rng.Float64()*rng.Float64()*(F2-s.liquid.limit)
			x = s.Liquid(p, T)
			X, err = r.Liquid(p, T)
			if err != nil {
				t.Error(err)
				continue
			}
			up(&elh, x.Enthalpy-X.Enthalpy)
			up(&elr, x.Density/X.Density-1)
			up(&els, x.Entropy-X.Entropy)
			up(&elc, x.HeatCapacity/X.HeatCapacity-1)
			if d := s.LiquidTemperature(p, X.Enthalpy) - T; true {
				up(&inv, d)
			}
		}
		fmt.Printf("%-11s %6v %6v n=%d,%d T %.1e p %.1e h %.1e r %.1e s %.1e cont %.1e V: h %.1e r %.1e s %.1e cp %.1e L: h %.1e r %.1e s %.1e cp %.1e inv %.1e\n", r, el.Round(time.Microsecond*100), el2.Round(time.Microsecond*100), len(s.vapor.nodes), len(s.liquid.nodes), eT, eP, eh, er, es, ec, evh, evr, evs, evc, elh, elr, els, elc, inv)
	}
}
func BenchmarkCurveT(b *testing.B) {
	r, _ := Lookup("R-410A")
	c, _ := r.Curve()
	b.ReportAllocs()
	x := 0.0
	for i := 0; i < b.N; i++ {
		x += c.DewTemperature(8e5 + float64(i&1023)*100)
	}
	_ = x
}
func BenchmarkCurveP(b *testing.B) {
	r, _ := Lookup("R-410A")
	c, _ := r.Curve()
	x := 0.0
	for i := 0; i < b.N; i++ {
		x += c.DewPressure(280 + float64(i&1023)*.01)
	}
	_ = x
}
func BenchmarkSurfH(b *testing.B) {
	r, _ := Lookup("R-410A")
	c, _ := r.Surface()
	b.ReportAllocs()
	x := 0.0
	for i := 0; i < b.N; i++ {
		x += c.VaporEnthalpy(8e5+float64(i&1023)*100, 300+float64(i&255)*.1)
	}
	_ = x
}
func BenchmarkSurfAll(b *testing.B) {
	r, _ := Lookup("R-410A")
	c, _ := r.Surface()
	x := 0.0
	for i := 0; i < b.N; i++ {
		x += c.Vapor(8e5+float64(i&1023)*100, 300+float64(i&255)*.1).Density
	}
	_ = x
}
func BenchmarkSurfInv(b *testing.B) {
	r, _ := Lookup("R-410A")
	c, _ := r.Surface()
	x := 0.0
	for i := 0; i < b.N; i++ {
		x += c.VaporTemperature(8e5+float64(i&1023)*100, 440e3+float64(i&255)*10)
	}
	_ = x
}
func BenchmarkBubble2(b *testing.B) {
	r, _ := Lookup("R-410A")
	r.Curve()
	b.ReportAllocs()
	x := 0.0
	for i := 0; i < b.N; i++ {
		t, _ := r.BubbleTemperature(8e5 + float64(i&1023)*100)
		x += t
	}
	_ = x
}
func BenchmarkBubble4(b *testing.B) {
	r, _ := Lookup("R-449A")
	r.Curve()
	b.ReportAllocs()
	x := 0.0
	for i := 0; i < b.N; i++ {
		t, _ := r.BubbleTemperature(8e5 + float64(i&1023)*100)
		x += t
	}
	_ = x
}
func BenchmarkBubble1(b *testing.B) {
	r, _ := Lookup("R-134a")
	r.Curve()
	b.ReportAllocs()
	x := 0.0
	for i := 0; i < b.N; i++ {
		t, _ := r.BubbleTemperature(8e5 + float64(i&1023)*100)
		x += t
	}
	_ = x
}
