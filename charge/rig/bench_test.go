package rig

import (
	"math/rand"
	"testing"
	"time"
)

// BenchmarkSteady solves random plausible systems from cold, 35 to 140 % of charge.
func BenchmarkSteady(b *testing.B) {
	rng := rand.New(rand.NewSource(7))
	type job struct {
		s  *System
		kg float64
		c  Conditions
	}
	var jobs []job
	for range 200 {
		spec, c := Plausible(rng)
		s, err := Size(spec)
		if err != nil {
			b.Fatal(err)
		}
		jobs = append(jobs, job{s, between(rng, 0.35, 1.4) * s.NameplateKg, c})
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		j := jobs[i%len(jobs)]
		if _, err := j.s.Steady(j.kg, j.c, Faults{}); err != nil {
			b.Fatal(err)
		}
	}
	b.Logf("bar: rig steady state, mean of random plausible systems from cold | 200 µs a solve | %.0f µs | go test ./charge/rig -run '^$' -bench Steady",
		float64(b.Elapsed().Microseconds())/float64(b.N))
}

func BenchmarkSweep(b *testing.B) {
	s, err := Size(Spec{Refrigerant: "R-410A", Device: ThermostaticValve})
	if err != nil {
		b.Fatal(err)
	}
	c := Comfort.Rating()
	c.OutdoorK -= 8
	for b.Loop() {
		if _, err := s.Sweep(c, Faults{}, 50); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSize(b *testing.B) {
	for b.Loop() {
		if _, err := Size(Spec{Refrigerant: "R-410A", Device: ThermostaticValve}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPlantHour is an hour of a hunting valve in gusty weather.
func BenchmarkPlantHour(b *testing.B) {
	s, err := Size(Spec{Refrigerant: "R-410A", Device: ThermostaticValve, ValveGradientK: 1.8})
	if err != nil {
		b.Fatal(err)
	}
	p, err := NewPlant(s, PlantOptions{GustK: 0.3})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if err := p.Advance(time.Hour); err != nil {
			b.Fatal(err)
		}
	}
	b.Logf("bar: live system against the clock | 10,000 times faster | %.0f times | go test ./charge/rig -run '^$' -bench PlantHour",
		time.Hour.Seconds()*float64(b.N)/b.Elapsed().Seconds())
}
