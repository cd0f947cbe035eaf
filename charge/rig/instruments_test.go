package rig

import (
	"math"
	"math/rand"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestPerfectInstrumentsShowTheTruth(t *testing.T) {
	s, err := Size(Spec{Refrigerant: "R-410A"})
	require.NoError(t, err)
	st := settle(t, s, 1, Comfort.Rating(), Faults{})
	var in Instruments
	r := in.Read(0, st)
	require.InDelta(t, st.SuctionPressurePa-101325, r.SuctionGaugePa, 1e-6, "gauges read against the air")
	require.InDelta(t, st.SuctionLineK, r.SuctionLineK, 1e-9)
	require.InDelta(t, st.PowerW/(0.92*230), r.CurrentA, 1e-9, "230 V at a power factor of 0.92")
	require.Equal(t, Clear, r.Glass)
	require.Equal(t, Foam, in.Read(0, settle(t, s, 0.6, Comfort.Rating(), Faults{})).Glass)
	high := Comfort.Rating()
	high.BarometerPa = 84000
	st = settle(t, s, 1, high, Faults{})
	require.InDelta(t, st.SuctionPressurePa-84000, in.Read(0, st).SuctionGaugePa, 1e-6)
}

// Moments of a large sample are those of the sensor.
func TestSensorErrors(t *testing.T) {
	rng := rand.New(rand.NewSource(1))
	s := Sensor{Bias: 2, Scale: 0.01, Noise: 0.5, Resolution: 0.1}
	const n = 20000
	sum, sq := 0.0, 0.0
	for range n {
		v := s.read(0, 100, 0, rng)
		require.InDelta(t, v, math.Round(v*10)/10, 1e-9, "resolution")
		sum += v
		sq += v * v
	}
	mean := sum / n
	require.InDelta(t, 103, mean, 0.02)
	require.InDelta(t, 0.5, math.Sqrt(sq/n-mean*mean), 0.02)

	lag := Sensor{Lag: 10}
	lag.read(0, 0, 0, rng)
	require.InDelta(t, 1-math.Exp(-1), lag.read(10*time.Second, 1, 0, rng), 1e-9)
	loose := Sensor{Contact: 0.1}
	require.InDelta(t, 14.0, loose.read(0, 10, 50, rng), 1e-9, "a poor clamp reads towards the air")
}

func TestPlausibleInstrumentsAreDeterministic(t *testing.T) {
	s, err := Size(Spec{Refrigerant: "R-410A"})
	require.NoError(t, err)
	st := settle(t, s, 1, Comfort.Rating(), Faults{})
	a, b := PlausibleInstruments(5), PlausibleInstruments(5)
	require.Equal(t, a.Read(0, st), b.Read(0, st))
	r := a.Read(time.Minute, st)
	require.LessOrEqual(t, r.ReturnWetK, r.ReturnDryK)
	require.InEpsilon(t, st.LiquidPressurePa-101325, r.LiquidGaugePa, 0.02)
}

// Scale and hose: what leaves the cylinder is what the scale says within its
// digits and drift, and the first of it stays in an unprimed hose (five feet of
// 3/16 in bore hold about an ounce of liquid: bore area times density).
func TestScaleAndHose(t *testing.T) {
	sc := Scale{ResolutionKg: 0.005, DriftKgPerHour: 0.01, ZeroKg: 0.002}
	require.InDelta(t, 10.0, sc.Weigh(0, 10), 0.0051)
	require.InDelta(t, 10.02, sc.Weigh(2*time.Hour, 10), 0.0051)
	h := Hose{LiquidKg: math.Pi / 4 * math.Pow(3.0/16*0.0254, 2) * 5 * 0.3048 * 1060}
	require.InDelta(t, 1.0*0.02835, h.LiquidKg, 0.003)
	first := h.Deliver(0.1)
	require.InDelta(t, 0.1-h.LiquidKg, first, 1e-12)
	require.InDelta(t, 0.1, h.Deliver(0.1), 1e-12, "primed now")
	require.InDelta(t, 0.99*h.LiquidKg, h.Empty(), 1e-12)
	require.Zero(t, h.HeldKg)
	require.InDelta(t, -0.1, h.Deliver(-0.1), 1e-12, "recovery passes")
}
