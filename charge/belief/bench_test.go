package belief

import (
	"math"
	"testing"
)

// session gives n readings of an invented orifice system being charged.
func session(n int) []Reading {
	var out []Reading
	for i := range n {
		f := float64(i)
		sh := 40*math.Exp(-f/6) + 6
		out = append(out, reading(15*f, 4*f, sh, 12-10*math.Exp(-f/5), 40-8*math.Exp(-f/4), 106, 88, 76, 64))
	}
	return out
}

// BenchmarkFirstReading is the dearest event: the members are drawn.
func BenchmarkFirstReading(b *testing.B) {
	r := session(1)
	for b.Loop() {
		x := New(checked(Unit{Refrigerant: "R-410A", CapacityW: 3 * ton}))
		x.Observe(r[0])
		x.Plan(Goal{OrificeSuperheat: band(11, 5), ValveSubcooling: band(10, 3), SuperheatFloorK: 5 * degF})
		x.Forecast(0.1)
	}
}

// BenchmarkFortyReadings is a whole session of forty readings with advice after each, divided by forty.
func BenchmarkFortyReadings(b *testing.B) {
	r := session(40)
	for b.Loop() {
		x := New(checked(Unit{Refrigerant: "R-410A", CapacityW: 3 * ton}))
		for _, v := range r {
			x.Observe(v)
			x.Plan(Goal{OrificeSuperheat: band(11, 5), ValveSubcooling: band(10, 3), SuperheatFloorK: 5 * degF})
			x.Forecast(0.1)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Milliseconds())/float64(b.N)/40, "ms/reading")
}
