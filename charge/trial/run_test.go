package trial

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestTrialIsTheSameWhateverTheWorkers(t *testing.T) {
	one, err := Run(context.Background(), Options{Systems: 8, Seed: 5, Workers: 1})
	require.NoError(t, err)
	two, err := Run(context.Background(), Options{Systems: 8, Seed: 5, Workers: 3})
	require.NoError(t, err)
	require.Equal(t, one.Engine, two.Engine)
	require.Equal(t, one.FixedIncrements, two.FixedIncrements)
	require.Equal(t, 8, one.Orifices+one.Valves+one.Faulty+one.Unsolved)
}
