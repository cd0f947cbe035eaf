package belief

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var comfortGoal = Goal{OrificeSuperheat: band(11, 5), ValveSubcooling: band(10, 3), SuperheatFloorK: 5 * degF, StepKg: 0.5 * oz, CondenserCeilK: 35 * degF}

// Readings that contradict each other: superheat jumps up and down although little goes in. The belief must widen, not
// settle, and must not add into a danger.
func TestContradictionsWidenTheBelief(t *testing.T) {
	calm, wild := New(checked(Unit{Refrigerant: "R-410A", CapacityW: 3 * ton})), New(checked(Unit{Refrigerant: "R-410A", CapacityW: 3 * ton}))
	for i, sh := range []float64{30, 26, 22, 18} {
		calm.Observe(reading(15*float64(i), 4*float64(i), sh, 3+float64(i), 38, 106, 90, 76, 64))
	}
	for i, sh := range []float64{30, 12, 34, 9} {
		wild.Observe(reading(15*float64(i), 4*float64(i), sh, 3+4*float64(i%2), 38, 106, 90, 76, 64))
	}
	width := func(b *Belief) float64 {
		f := b.Forecast(4 * oz).Both
		return f.Superheat[2] - f.Superheat[0]
	}
	require.Greater(t, width(wild), 1.5*width(calm))
	require.NotEqual(t, Add, wild.Plan(comfortGoal).Move, "read again first")
}

// A reading typed wrong and taken back: what is folded again without it is what would have been.
func TestAReadingTakenBackLeavesNothing(t *testing.T) {
	good := []Reading{reading(0, 0, 30, 2, 36, 108, 90, 76, 64), reading(15, 6, 22, 4, 38, 110, 90, 76, 64)}
	wrong := reading(10, 0, 3, 2, 63, 108, 90, 76, 64) // 122 psig for 72
	with := New(checked(Unit{Refrigerant: "R-22", CapacityW: 3 * ton}))
	with.Observe(good[0])
	kept := with.Clone()
	with.Observe(wrong)
	without := New(checked(Unit{Refrigerant: "R-22", CapacityW: 3 * ton}))
	without.Observe(good[0])
	without.Observe(good[1])
	kept.Observe(good[1])
	require.Equal(t, without.Device(), kept.Device())
	require.Equal(t, without.Forecast(0), kept.Forecast(0))
	require.NotEqual(t, Add, with.Plan(comfortGoal).Move, "superheat 3 °F")
}

// Outdoor air swings by 10 °F between readings of an orifice system that is not touched: superheat falls by about half
// of it (published table). That must not look like charge, nor like a valve.
func TestWeatherIsNotCharge(t *testing.T) {
	b := New(checked(Unit{Refrigerant: "R-410A", CapacityW: 3 * ton, NameplateKg: 120 * oz}))
	b.Observe(reading(0, 0, 20, 8, 42, 105, 85, 78, 66))
	before := b.Device()
	b.Observe(reading(30, 0, 15, 7.7, 43, 114.5, 95, 78, 66))
	b.Observe(reading(60, 0, 20.3, 8.2, 42, 105, 85, 78, 66))
	require.GreaterOrEqual(t, b.Device().FixedOrifice, before.FixedOrifice)
	require.NotEqual(t, ExpansionValve, b.Device().Verdict)
	require.NotContains(t, []string{LowAirflow, CondenserFouled, Restriction, WeakCompressor, NonCondensables}, b.Causes()[0].Name)
}

// A leak faster than charging: superheat climbs although refrigerant goes in. No amount may follow from a slope of the
// wrong sign: the forecast must not promise to land.
func TestALeakFasterThanChargingPromisesNothing(t *testing.T) {
	b := New(checked(Unit{Refrigerant: "R-410A", CapacityW: 3 * ton, NameplateKg: 120 * oz}))
	for i, sh := range []float64{25, 28, 31, 34} {
		b.Observe(reading(15*float64(i), 5*float64(i), sh, 5-float64(i), 40-2*float64(i), 105-float64(i), 90, 78, 66))
	}
	p := b.Plan(comfortGoal)
	require.Less(t, p.PLanded, 0.6, "%v", p.Move)
	require.Equal(t, Unknown, b.Device().Verdict)
}

// The wrong refrigerant selected: R-410A pressures read as R-22 give superheat far under nothing. Nothing may be added.
func TestTheWrongRefrigerantAddsNothing(t *testing.T) {
	b := New(checked(Unit{Refrigerant: "R-22", CapacityW: 3 * ton}))
	b.Observe(reading(0, 0, -12, 45, 68, 150, 90, 76, 64))
	require.NotEqual(t, Add, b.Plan(comfortGoal).Move)
	b.Observe(reading(10, 0, -12, 45, 68, 150, 90, 76, 64))
	require.NotEqual(t, Add, b.Plan(comfortGoal).Move)
}

// Whatever is read, nothing is added at a superheat that is already under the floor of an orifice, probabilities stay
// probabilities and bands are in order.
func TestNothingIsAddedIntoAFlood(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		u := checked(Unit{Refrigerant: rapid.SampledFrom([]string{"R-410A", "R-22", "R-454B", "R-999"}).Draw(t, "refrigerant")})
		if rapid.Bool().Draw(t, "capacity known") {
			u.CapacityW = f("tons", 0.3, 10) * ton
		}
		b := New(u)
		net, at := 0.0, 0.0
		for range rapid.IntRange(1, 2).Draw(t, "readings") {
			r := reading(at, net, f("superheat", -5, 60), f("subcooling", -3, 40), f("evaporating", 10, 60), f("condensing", 80, 150),
				f("outdoor", 55, 115), f("dry", 65, 90), f("wet", 50, 76))
			r.ReturnWetK = min(r.ReturnWetK, r.ReturnDryK)
			if rapid.Bool().Draw(t, "no wet bulb") {
				r.ReturnWetK = math.NaN()
			}
			b.Observe(r)
			d := b.Device()
			if s := d.FixedOrifice + d.ExpansionValve; math.Abs(s-1) > 1e-6 || math.IsNaN(s) {
				t.Fatalf("device probabilities %v", d)
			}
			p := b.Plan(comfortGoal)
			if p.Move == Add && (p.Kg <= 0 || math.IsNaN(p.Kg)) {
				t.Fatalf("adds %v", p.Kg)
			}
			if p.Move == Add && r.SuperheatK < 0 {
				t.Fatalf("adds %.1f oz at superheat %.1f °F", p.Kg/oz, r.SuperheatK/degF)
			}
			for _, w := range [][3]float64{b.Forecast(p.Kg).Both.Superheat, b.Forecast(p.Kg).Both.Subcooling} {
				if !(w[0] <= w[1] && w[1] <= w[2]) {
					t.Fatalf("bands %v", w)
				}
			}
			if p.Move == Add {
				net += p.Kg / oz
			}
			at += 15
		}
	})
}
