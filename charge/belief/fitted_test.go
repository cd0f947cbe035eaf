package belief

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// scattered are n members whose numbers hang on each other, the second on the first above all.
func scattered(n int) []member {
	r := rand.New(rand.NewPCG(7, 7))
	ms := make([]member, n)
	for i := range ms {
		last := 0.0
		for j := range ms[i].z {
			last = 0.4*float64(j%3) - 0.3 + 0.8*last + 0.5*r.NormFloat64()
			ms[i].z[j] = last
		}
		ms[i].z[1] = 0.9*ms[i].z[0] + 0.1*ms[i].z[1]
	}
	return ms
}

// reference is the mean and the covariance of the distribution that fit makes, by gonum.
func reference(ms []member) (mean []float64, cov mat.SymDense) {
	x := mat.NewDense(len(ms), zCount, nil)
	for i := range ms {
		x.SetRow(i, ms[i].z[:])
	}
	stat.CovarianceMatrix(&cov, x, nil)
	n := float64(len(ms))
	cov.ScaleSym((n-1)/n, &cov) // of all, not of a sample
	for j := range zCount {
		mean = append(mean, stat.Mean(mat.Col(nil, j, x), nil))
		cov.SetSym(j, j, cov.At(j, j)+fitLeast)
	}
	return mean, cov
}

func TestFitIsTheMeanAndTheCovariance(t *testing.T) {
	ms := scattered(500)
	f := fit(ms)
	mean, cov := reference(ms)
	require.InDeltaSlice(t, mean, f.mean[:], 1e-12)
	for j := range zCount {
		for k := range zCount {
			sum := 0.0
			for i := range zCount {
				sum += f.root[i][j] * f.root[i][k]
			}
			require.InDelta(t, cov.At(j, k), sum, 1e-12, "%d %d", j, k)
		}
	}
}

// A step taken says where it ends, and its ratio is that of the priors over that of the fitted density.
func TestLeanTellsWhereItWentAndHowLikelyThatIs(t *testing.T) {
	ms := scattered(500)
	f := fit(ms)
	mean, cov := reference(ms)
	var root mat.Cholesky
	require.True(t, root.Factorize(&cov))
	fitted := func(z *[zCount]float64) float64 { // log density, less a constant
		d := mat.NewVecDense(zCount, nil)
		d.SubVec(mat.NewVecDense(zCount, z[:]), mat.NewVecDense(zCount, mean))
		x := mat.NewVecDense(zCount, nil)
		require.NoError(t, root.SolveVecTo(x, d))
		return -0.5 * mat.Dot(d, x)
	}
	prior := func(z *[zCount]float64) (s float64) {
		for _, x := range z {
			s -= 0.5 * x * x
		}
		return s
	}
	r := rand.New(rand.NewPCG(1, 2))
	for i := range 50 {
		c, u := ms[i], f.white(&ms[i].z)
		ratio := f.lean(&c, &u, r)
		require.NotEqual(t, ms[i].z, c.z)
		at := f.white(&c.z)
		require.InDeltaSlice(t, at[:], u[:], 1e-9)
		want := prior(&c.z) - prior(&ms[i].z) - fitted(&c.z) + fitted(&ms[i].z)
		require.InDelta(t, want, ratio, 1e-8*math.Abs(want)+1e-8)
	}
}

// Copies of one member have no spread: the fit still has a root.
func TestFitOfCopies(t *testing.T) {
	ms := scattered(1)
	for range 5 {
		ms = append(ms, ms[0])
	}
	f := fit(ms)
	u := f.white(&ms[0].z)
	for j := range u {
		require.InDelta(t, 0, u[j], 1e-9)
		require.InDelta(t, math.Sqrt(fitLeast), f.root[j][j], 1e-9)
	}
}

// Superheat of a starved valve comes to stand while subcooling rises: each device explains that by members far from where
// the first reading left them. Measured over other random numbers the log odds scatter by 0.65, and by 1.07 where the
// members are only stirred, with twice as many moves.
func TestTheOddsHangOnNoHandful(t *testing.T) {
	var odds []float64
	for k := range 24 {
		b := drawn(k, reading(0, 0, 31.1, 0.3, 32.9, 104, 92, 78, 65))
		for i, r := range [][4]float64{{24.7, 1.1, 35.3, 106.3}, {16.9, 2.5, 38.5, 108.9}, {11.2, 4.8, 41.2, 111.1}, {10.3, 7, 41.6, 112.1}} {
			b.Observe(reading(12*float64(i+1), 8*float64(i+1), r[0], r[1], r[2], r[3], 92, 78, 65))
		}
		d := b.inferred()
		odds = append(odds, math.Log(d.FixedOrifice/d.ExpansionValve))
	}
	require.Less(t, stat.StdDev(odds, nil), 0.85)
}
