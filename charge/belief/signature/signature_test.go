package signature

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// look is an R-410A unit in 95 °F air, return 80/67 °F, given in °F.
func look(superheat, subcooling, evaporating, condensing, split, discharge float64) *Look {
	at := func(f float64) float64 { return zeroF + f*degF }
	return &Look{Superheat: superheat * degF, Subcooling: subcooling * degF, Evaporating: at(evaporating), Condensing: at(condensing),
		Outdoor: at(95), ReturnDry: at(80), ReturnWet: at(67), SupplyDry: at(80 - split), Discharge: at(discharge),
		DischargeOver: 41 * degF, TargetSuperheat: 13 * degF, TargetSubcooling: 10 * degF}
}

// The signs are those of the trade's tables of symptoms (common practice, no single source); the figures are invented.
func TestMarksAreThoseOfTheTradesTables(t *testing.T) {
	for name, c := range map[string]struct {
		look *Look
		mark Fault
	}{
		"in order":                     {look(12, 10, 45, 116, 19, 180), Sound},
		"short of charge":              {look(35, 1, 31, 105, 15, 195), Sound},
		"nearly empty":                 {look(58, 0, 5, 99, 6, 250), Sound},
		"too little air over the coil": {look(3, 12, 33, 112, 28, 170), Airflow},
		"condenser fouled":             {look(8, 8, 49, 140, 17, 205), Condenser},
		"air in the system":            {look(10, 24, 46, 133, 18, 200), Gas},
		"restricted liquid line":       {look(45, 16, 25, 106, 11, 205), Restriction},
		"compressor does not pump":     {look(8, 6, 56, 107, 11, 160), Weak},
		"valve hangs open":             {look(0, 5, 47, 118, 19, 150), Overfeed},
	} {
		t.Run(name, func(t *testing.T) {
			e, ok := Evidence(c.look)
			require.True(t, ok)
			t.Logf("%.1f", e)
			for f, v := range e {
				if Fault(f) != c.mark {
					require.Greater(t, e[c.mark], v, "%d", f)
				}
			}
		})
	}
}

func TestAReadingThatIsNotFullTellsNothing(t *testing.T) {
	for _, miss := range []func(*Look){
		func(l *Look) { l.SupplyDry = math.NaN() },
		func(l *Look) { l.Discharge = math.NaN() },
		func(l *Look) { l.ReturnWet = math.NaN() },
		func(l *Look) { l.Outdoor = math.NaN() },
		func(l *Look) { l.Condensing = math.NaN() },
	} {
		l := look(12, 10, 45, 116, 19, 180)
		miss(l)
		e, ok := Evidence(l)
		require.False(t, ok)
		require.Zero(t, e)
	}
	box := look(12, 10, 20, 116, 8, 180)
	box.Box, box.ReturnDry, box.ReturnWet = true, zeroF+37*degF, math.NaN()
	_, ok := Evidence(box)
	require.True(t, ok, "nobody takes a wet bulb in a cold room")
}

func TestEvidenceIsBounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := func(name string) float64 { return rapid.Float64Range(-1e4, 1e4).Draw(t, name) }
		l := &Look{Box: rapid.Bool().Draw(t, "box"), Superheat: x("sh"), Subcooling: x("sc"), Evaporating: x("evap"), Condensing: x("cond"),
			Outdoor: x("out"), ReturnDry: x("dry"), ReturnWet: x("wet"), SupplyDry: x("supply"), Discharge: x("discharge"),
			DischargeOver: x("over"), TargetSuperheat: x("target"), TargetSubcooling: x("plate")}
		e, ok := Evidence(l)
		require.True(t, ok)
		require.Zero(t, e[Sound])
		for _, v := range e {
			require.LessOrEqual(t, math.Abs(v), Most)
		}
	})
}

func BenchmarkEvidence(b *testing.B) {
	l := look(12, 10, 45, 116, 19, 180)
	for b.Loop() {
		Evidence(l)
	}
}
