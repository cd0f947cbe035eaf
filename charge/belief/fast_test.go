package belief

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The mathematical library of Go is the reference.
func TestExpAndLogAreTheLibrarys(t *testing.T) {
	for x := -720.0; x < 709; x += 0.00937 {
		want := math.Exp(x)
		require.LessOrEqual(t, math.Abs(exp(x)-want), 1e-12*want, "exp %v", x)
	}
	for x := 1e-300; x < 1e300; x *= 1.00731 {
		want := math.Log(x)
		require.LessOrEqual(t, math.Abs(log(x)-want), 1e-12*math.Max(math.Abs(want), 0.1), "log %v", x)
	}
	for x := 0.5; x < 2; x += 0.000131 {
		require.InDelta(t, math.Log(x), log(x), 1e-13, "log %v", x)
	}
	for _, x := range []float64{0, -1, math.Inf(1), math.Inf(-1), math.NaN(), 5e-320} {
		require.Equal(t, math.IsNaN(math.Log(x)), math.IsNaN(log(x)), "log %v", x)
		require.Equal(t, math.IsNaN(math.Exp(x)), math.IsNaN(exp(x)), "exp %v", x)
		if !math.IsNaN(math.Log(x)) {
			require.Equal(t, math.Log(x), log(x))
		}
	}
	require.Equal(t, 1.0, exp(0))
	require.Equal(t, 0.0, exp(math.Inf(-1)))
}

var sink float64

func BenchmarkExp(b *testing.B) {
	for _, f := range []struct {
		name string
		of   func(float64) float64
	}{{"exp/library", math.Exp}, {"exp/here", exp}, {"log/library", math.Log}, {"log/here", log}} {
		b.Run(f.name, func(b *testing.B) {
			x, s := 0.1, 0.0
			for b.Loop() {
				s += f.of(x)
				if x += 0.37; x > 9 {
					x -= 8.9
				}
			}
			sink = s
		})
	}
}
