package refrigerants

import (
	"fmt"
	"math"
	"math/rand"
	"testing"
	"time"
)

func TestProbe3(t *testing.T) {
	for _, r := range All() {
		m, err := r.solved()
		if err != nil {
			t.Fatal(err)
		}
		rng := rand.New(rand.NewSource(2))
		var eT, eV, eL float64
		fails := 0
		var el time.Duration
		n := 0
		for i := 0; i < 300; i++ {
			p := m.dew.LowP * 1.7 * math.Pow(m.dew.HighP*.999/m.dew.LowP/1.7, rng.Float64())
			if p < m.bubble.LowP {
				continue
			}
			B, _ := m.bubble.AtPressure(p)
			D, _ := m.dew.AtPressure(p)
			l := m.mix.At(B.Temperature, B.Bulk)
			v := m.mix.At(D.Temperature, D.Bulk)
			q := rng.Float64()
			h := l.Enthalpy + q*(v.Enthalpy-l.Enthalpy)
			t0 := time.Now()
			f, err := r.AtEnthalpy(p, h)
			el += time.Since(t0)
			n++
			if err != nil {
				fails++
				if fails < 3 {
					fmt.Println(err)
				}
				continue
			}
			if d := math.Abs(f.Enthalpy - h); d > eT {
				eT = d
			}
			g, err := r.AtEntropy(p, f.Entropy)
			if err != nil {
				fails++
				continue
			}
			if d := math.Abs(g.Temperature-f.Temperature) + math.Abs(g.Quality-f.Quality); d > eV {
				eV = d
			}
			T := D.Temperature + rng.Float64()*(m.maxT-D.Temperature)
			s, err := r.Vapor(p, T)
			if err != nil {
				fails++
				fmt.Println(err)
				continue
			}
			f, err = r.AtEnthalpy(p, s.Enthalpy)
			if err != nil {
				fails++
				fmt.Println(err)
				continue
			}
			if d := math.Abs(f.Temperature - T); d > eL {
				eL = d
			}
			f, err = r.AtEntropy(p, s.Entropy)
			if err != nil {
				fails++
				fmt.Println(err)
				continue
			}
			if d := math.Abs(f.Temperature - T); d > eL {
				eL = d
			}
			T = B.Temperature - rng.Float64()*(B.Temperature-m.bubble.LowT)
			s, err = r.Liquid(p, T)
			if err != nil {
				fails++
				fmt.Println(err)
				continue
			}
			f, err = r.AtEnthalpy(p, s.Enthalpy)
			if err != nil {
				fails++
				fmt.Println(err)
				continue
			}
			if d := math.Abs(f.Temperature - T); d > eL {
				eL = d
			}
		}
		fmt.Printf("%-10s h2ph %.1e ps %.1e single %.1e fails %d  %v\n", r, eT, eV, eL, fails, el/time.Duration(n))
	}
}
