package train

import (
	"encoding/json"
	"math"
	"math/rand"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"chargehand/charge/belief/signature"
)

// The embedded weights judge systems of a seed that they were not trained on.
func TestWeightsKnowSystemsNeverSeen(t *testing.T) {
	text, err := os.ReadFile("../weights.json")
	require.NoError(t, err)
	var n signature.Net
	require.NoError(t, json.Unmarshal(text, &n))
	s := Judge(&n, Gather(1000, 7))
	called, of := 0, 0
	for f := signature.Airflow; f < signature.Faults; f++ {
		called, of = called+s[f].Called, of+s[f].Of
	}
	t.Logf("faults called %d of %d, sound ones %d of %d", called, of, s[signature.Sound].Called, s[signature.Sound].Of)
	require.Less(t, float64(s[signature.Sound].Called), 0.025*float64(s[signature.Sound].Of))
	require.Greater(t, float64(called), 0.70*float64(of))
}

func TestGradientIsThatOfTheLoss(t *testing.T) {
	rng := rand.New(rand.NewSource(1))
	rows := []Row{{fault: signature.Gas}, {fault: signature.Sound}}
	n := begin(rows, rng)
	x := make([]float64, signature.Inputs)
	for i := range x {
		x[i] = rng.NormFloat64()
	}
	grad, none := like(n), like(n)
	backward(n, grad, x, signature.Gas)
	for k := range n.Layers {
		for _, at := range [][2]int{{0, 0}, {3, 5}, {6, len(n.Layers[k][0]) - 1}} {
			w := &n.Layers[k][at[0]][at[1]]
			const h = 1e-6
			*w += h
			up := backward(n, none, x, signature.Gas)
			*w -= 2 * h
			down := backward(n, none, x, signature.Gas)
			*w += h
			require.InDelta(t, (up-down)/(2*h), grad[k][at[0]][at[1]], 1e-6)
		}
	}
}

func TestTrainingLearns(t *testing.T) {
	rows := Gather(300, 3)
	first, last := math.NaN(), 0.0
	Fit(rows, 12, 1, func(_, loss float64) {
		if math.IsNaN(first) {
			first = loss
		}
		last = loss
	})
	require.Less(t, last, 0.8*first)
}
