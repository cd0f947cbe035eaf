package trial

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestTrialIsTheSameWhateverTheWorkers(t *testing.T) {
	one, err := Run(context.Background(), Options{Systems: 4, Seed: 5, Workers: 1})
	require.NoError(t, err)
	two, err := Run(context.Background(), Options{Systems: 4, Seed: 5, Workers: 3})
	require.NoError(t, err)
	require.Equal(t, one.Engine, two.Engine)
	require.Equal(t, one.FixedIncrements, two.FixedIncrements)
	require.Equal(t, 4, one.Orifices+one.Valves+one.Faulty+one.Unsolved)
}

func TestWatchWritesTheJobDown(t *testing.T) {
	var out strings.Builder
	require.NoError(t, Watch(&out, 5, 1))
	require.Contains(t, out.String(), `"kind":"setup"`)
	require.Contains(t, out.String(), "ended by")
}

func TestQuantileInterpolates(t *testing.T) {
	require.InDelta(t, 2.5, quantile([]float64{4, 1, 2, 3}, 0.5), 1e-12)
	require.Zero(t, quantile(nil, 0.5))
}
