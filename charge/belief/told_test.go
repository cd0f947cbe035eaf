package belief

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A starved valve is wide open and answers an addition like an orifice: while no
// liquid is seen at the clamp and superheat falls, neither device is more than
// likely (common practice, no source). Readings invented.
func TestNothingIsToldWhileStarved(t *testing.T) {
	for _, u := range []Unit{
		{Refrigerant: "R-410A", CapacityW: 3 * ton},
		{Refrigerant: "R-410A", CapacityW: 3 * ton, NameplateKg: 110 * oz},
		{Refrigerant: "R-22", CapacityW: 5 * ton},
		{Refrigerant: "R-410A"},
	} {
		for _, step := range []float64{1, 1.5, 3, 5, 7} {
			t.Run(fmt.Sprintf("%s %.0f ton, %g °F a step", u.Refrigerant, u.CapacityW/ton, step), func(t *testing.T) {
				b := New(checked(u))
				for i := range 6 {
					k := float64(i)
					b.Observe(reading(15*k, 4*k, 55-step*k, 0.1*k, 22+step/2*k, 98+0.5*k, 88, 76, 64))
					if d := b.Device(); step < 2 { // nearly still: a valve may be holding, an orifice is not shown
						require.LessOrEqual(t, d.FixedOrifice, 0.94)
						continue
					}
					starved(t, b)
				}
			})
		}
	}
}

// The same whatever way superheat falls, by at least what counts as falling.
func TestNothingIsToldHoweverAStarvedSystemFalls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		b := New(checked(Unit{Refrigerant: "R-410A", CapacityW: 3 * ton}))
		sh, net := f("superheat", 45, 60), 0.0
		for i := range rapid.IntRange(2, 5).Draw(t, "readings") {
			b.Observe(reading(15*float64(i), net, sh, f("subcooling", -0.5, 0.5), f("evaporating", 20, 34), f("condensing", 96, 104), 88, 76, 64))
			starved(t, b)
			sh -= f("fall", 2.1, 7)
			net += f("added", 2, 6)
		}
	})
}

type failer interface {
	require.TestingT
	Helper()
}

func starved(t failer, b *Belief) {
	t.Helper()
	d := b.Device()
	require.LessOrEqual(t, d.FixedOrifice, 0.94)
	require.LessOrEqual(t, d.ExpansionValve, 0.94)
	require.Equal(t, Unknown, d.Verdict)
	require.InDelta(t, 1, d.FixedOrifice+d.ExpansionValve, 1e-9)
}

// With liquid at the clamp and superheat falling on with what goes in, the
// readings do tell: a valve would be holding. The rein is off then.
func TestLiquidAtTheClampTells(t *testing.T) {
	b := New(checked(Unit{Refrigerant: "R-410A", CapacityW: 3 * ton}))
	for i, y := range [][2]float64{{38, 2}, {29, 4.5}, {20, 6}, {11, 7.5}} {
		k := float64(i)
		b.Observe(reading(15*k, 7*k, y[0], y[1], 33+3*k, 100+2*k, 88, 76, 64))
	}
	require.Equal(t, FixedOrifice, b.Device().Verdict, "%v", b.Device())
}

// A clear glass says that liquid leaves the receiver: what superheat says of a
// shortage is not believed against it. Bubbles leave the shortage standing.
func TestAClearGlassIsNotShort(t *testing.T) {
	listed := func(g Glass) map[string]float64 {
		b := New(checked(Unit{Refrigerant: "R-404A", Application: MediumTemperature, Receiver: true}))
		r := reading(0, 0, 12, 1, 24, 103, 85, 38, 35)
		r.SightGlass = g
		b.Observe(r)
		out, sum := map[string]float64{}, 0.0
		for _, c := range b.Causes() {
			out[c.Name] = c.P
			sum += c.P
		}
		require.InDelta(t, 1, sum, 1e-9)
		return out
	}
	require.NotContains(t, listed(GlassClear), ShortOfCharge)
	require.Contains(t, listed(GlassClear), ChargeRight)
	require.Greater(t, listed(GlassBubbles)[ShortOfCharge], 0.01)
}

// A starved box: its coil is small against the air, evaporating temperature falls far, and superheat with it climbs past
// 50 °F; then the valve holds with a little liquid at the clamp. The steep way down speaks for no orifice. Readings are
// invented.
func TestABoxThatFallsSteeplyIsNoOrifice(t *testing.T) {
	b := New(checked(Unit{Refrigerant: "R-407A", CapacityW: 0.5 * ton, NameplateKg: 19 * oz, TargetSubcoolingK: 12 * degF, Application: MediumTemperature}))
	for i, r := range [][5]float64{{0, 57, 0, -10, 80}, {0.9, 46, 0.4, -0.5, 84}, {1.8, 34.5, 0.5, 10, 89}, {2.7, 24, 0.6, 18, 93}, {3.3, 16, 1, 22, 95.5},
		{3.5, 14.2, 1.3, 22.5, 96}, {3.7, 14.5, 2, 22.4, 96}, {3.9, 14.1, 3.2, 22.4, 96}, {4.1, 14.4, 3.9, 22.3, 96}} {
		b.Observe(reading(15*float64(i), r[0], r[1], r[2], r[3], r[4], 72.5, 40, 38.6))
		require.Less(t, b.Device().FixedOrifice, 0.6, "reading %d", i)
	}
}

// Superheat that goes up and down at one charge is a hunting valve's: an orifice has nothing that moves (common practice,
// no source). What an orifice can do, fall steeply with what goes in and on for a while after it, is not taken for it.
// Readings are invented.
func TestASwingTells(t *testing.T) {
	type at struct{ minutes, since, net, sh, sc, outdoor float64 }
	for _, c := range []struct {
		name     string
		readings []at
		swings   bool
	}{
		{"up and down at one charge", []at{{0, 60, 0, 12, 2, 88}, {5, 65, 0, 7, 2, 88}}, true},
		{"up after an addition", []at{{0, 60, 0, 6, 0, 88}, {12, 10, 3, 12, 0.2, 88}}, true},
		{"low once between two that are far from it", []at{{0, 60, 0, 11, 1, 88}, {12, 10, 1, 4.5, 1, 88}, {24, 10, 0.5, 11, 1, 88}}, true},
		{"steep fall with what went in", []at{{0, 60, 0, 30, 3, 88}, {14, 12, 8, 12, 4.4, 88}}, false},
		{"falling on after what went in", []at{{0, 60, 0, 30, 3, 88}, {6, 5, 10, 16, 4.2, 88}, {11, 10, 10, 10, 4.4, 88}}, false},
		{"rising on after what came out", []at{{0, 60, 0, 6, 8, 88}, {6, 5, -6, 12, 7, 88}, {11, 10, -6, 17, 6.6, 88}}, false},
		{"with the weather", []at{{0, 60, 0, 12, 2, 84}, {30, 90, 0, 7, 2, 88}}, false},
		{"with subcooling: charge moves", []at{{0, 60, 0, 12, 6, 88}, {5, 65, 0, 7, 8.5, 88}}, false},
		{"as clamps and gauges scatter", []at{{0, 60, 0, 12, 2, 88}, {5, 65, 0, 9.5, 2, 88}, {10, 70, 0, 11.8, 2, 88}}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := New(checked(Unit{Refrigerant: "R-410A", CapacityW: 3 * ton, NameplateKg: 110 * oz}))
			for _, r := range c.readings {
				y := reading(r.minutes, r.net, r.sh, r.sc, 42, 108, r.outdoor, 76, 64)
				y.SinceChange = r.since
				b.Observe(y)
			}
			require.Equal(t, c.swings, b.Swings())
		})
	}
}

// Seen to swing, it is no orifice for long, though no liquid stands at the clamp yet.
func TestASwingNamesTheValve(t *testing.T) {
	b := New(checked(Unit{Refrigerant: "R-410A", CapacityW: 3 * ton}))
	for i, sh := range []float64{34, 26, 17, 9.5, 5, 10.5, 5.2, 11} {
		net := 6 * min(float64(i), 3)
		o := reading(12*float64(i), net, sh, 0.3, 44, 100, 85, 78, 66)
		o.SinceChange = 12 * max(float64(i)-2, 1)
		b.Observe(o)
	}
	require.True(t, b.Swings())
	require.Equal(t, ExpansionValve, b.Device().Verdict, "%+v", b.Device())
}

// Superheat that has fallen far with what went in last has not held yet, whatever liquid has come up: falling superheat
// with little subcooling settles nothing, and a knee is seen when superheat has gone flat past it (common practice, no
// source). Readings are invented.
func TestAFallShowsNoValve(t *testing.T) {
	b := New(checked(Unit{Refrigerant: "R-454B", CapacityW: 5 * ton}))
	see := func(i int, net, sh, sc, evap, cond float64) {
		b.Observe(reading(12*float64(i), net, sh, sc, evap, cond, 86, 70.3, 60.8))
		d := b.Device()
		if !b.shows(ExpansionValve) {
			require.LessOrEqual(t, d.ExpansionValve, untoldAt, "reading %d", i)
		}
		if !b.shows(FixedOrifice) {
			require.LessOrEqual(t, d.FixedOrifice, untoldAt, "reading %d", i)
		}
	}
	see(0, 0, 40, -1, 32, 100)
	see(1, 8, 31, 0, 37, 102)
	see(2, 16, 21, 0.3, 39.5, 104)
	require.False(t, b.shows(FixedOrifice), "starved")
	see(3, 24, 11, 4, 40.5, 105.5)
	require.True(t, b.shows(FixedOrifice), "liquid at the clamp")
	require.False(t, b.shows(ExpansionValve), "still falling")
	see(4, 28, 10.9, 6, 40.5, 106.3)
	require.True(t, b.shows(ExpansionValve), "it held")
	see(5, 34, 11, 9.5, 40.5, 107)
	require.Equal(t, ExpansionValve, b.Device().Verdict, "%+v", b.Device())
}

// Superheat that climbs as refrigerant goes in is no orifice's answer, whatever the members make of it; one fall with the
// charge, or a rise as some comes out, is.
func TestSuperheatThatClimbsWithChargeShowsNoOrifice(t *testing.T) {
	leaking := func(k int) *Belief {
		b := drawn(k, reading(0, 0, 25, 5, 40, 105, 90, 78, 66))
		for i, sh := range []float64{28, 31, 34} {
			b.Observe(reading(15*float64(i+1), 5*float64(i+1), sh, 4-float64(i), 38-2*float64(i), 104-float64(i), 90, 78, 66))
		}
		return b
	}
	for k := range 6 {
		b := leaking(k)
		require.False(t, b.shows(FixedOrifice))
		require.Equal(t, Unknown, b.Device().Verdict, "%+v", b.inferred())
		b.Observe(reading(80, 25, 27, 5, 41, 106, 90, 78, 66))
		require.True(t, b.obeyed, "down with more inside")
	}
	b := leaking(0)
	b.Observe(reading(80, 11, 36, 1, 32, 101, 90, 78, 66))
	require.True(t, b.obeyed, "up with less inside")
}
