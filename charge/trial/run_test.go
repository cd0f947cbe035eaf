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
	require.NoError(t, Watch(&out, Options{Seed: 5}, 1))
	require.Contains(t, out.String(), `"kind":"setup"`)
	require.Contains(t, out.String(), "ended by")
}

// Another stream of random numbers moves what is believed and leaves the jobs as they are: the gauges of the first reading
// show the same, and the rule of thumb, which believes nothing, ends as it did.
func TestAStreamLeavesTheJobs(t *testing.T) {
	watch := func(o Options) (first, all string) {
		var out strings.Builder
		require.NoError(t, Watch(&out, o, 1))
		for line := range strings.Lines(out.String()) {
			if strings.Contains(line, `"kind":"reading"`) && first == "" {
				first = line
			}
		}
		return first, out.String()
	}
	first, all := watch(Options{Seed: 5})
	again, otherwise := watch(Options{Seed: 5, Stream: 1})
	require.NotEmpty(t, first)
	require.Equal(t, first, again)
	require.NotEqual(t, all, otherwise)

	one, err := Run(context.Background(), Options{Systems: 4, Seed: 5})
	require.NoError(t, err)
	two, err := Run(context.Background(), Options{Systems: 4, Seed: 5, Stream: 1})
	require.NoError(t, err)
	require.Equal(t, one.FixedIncrements, two.FixedIncrements)
}

func TestQuantileInterpolates(t *testing.T) {
	require.InDelta(t, 2.5, quantile([]float64{4, 1, 2, 3}, 0.5), 1e-12)
	require.Zero(t, quantile(nil, 0.5))
}
