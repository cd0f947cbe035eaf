package helmholtz

import (
	"math"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// stability is the smallest eigenvalue of the matrix of ln-fugacity derivatives
// in mole numbers, scaled to be one for an ideal gas. It is zero on the spinodal
// and, with a vanishing cubic form besides, at the critical point (Heidemann
// and Khalil 1980).
func stability(m *Mixture, T, rho float64) float64 {
	var c Composition
	for i := 0; i < m.n; i++ {
		c[i] = rho * m.z[i]
	}
	var ph phase
	m.at(T, &c, &ph)
	s := mat.NewSymDense(m.n, nil)
	for i := 0; i < m.n; i++ {
		for j := i; j < m.n; j++ {
			v := ph.h[i][j] / c[j] * math.Sqrt(c[i]*c[j])
			if i == j {
				v++
			}
			s.SetSym(i, j, v)
		}
	}
	var e mat.EigenSym
	if !e.Factorize(s, false) {
		return math.NaN()
	}
	return e.Values(nil)[0]
}

// The critical points in the blends' data files were found by another
// implementation of the model: ours must be at the limit of stability there,
// and stable above.
func TestCriticalPointsOfBlends(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "data", "R-*.json"))
	require.NoError(t, err)
	n, worst := 0, 0.0
	for _, file := range files {
		var d struct {
			Name        string
			Composition []struct {
				Component   string
				MassPercent float64 `json:"mass_percent"`
			}
			Critical struct {
				T   float64 `json:"T_K"`
				P   float64 `json:"p_Pa"`
				Rho float64 `json:"rho_kg_m3"`
			}
		}
		load(t, filepath.Base(file), &d)
		if len(d.Composition) == 0 {
			continue
		}
		n++
		var names []string
		var z []float64
		sum := 0.0
		for _, c := range d.Composition {
			x := c.MassPercent / fluid(t, c.Component).Data.MolarMass
			names, z, sum = append(names, c.Component), append(z, x), sum+x
		}
		for i := range z {
			z[i] /= sum
		}
		m := mixture(t, names, z...)
		rho := d.Critical.Rho / m.molarMass
		assert.InEpsilon(t, d.Critical.P, m.At(d.Critical.T, d.Critical.Rho).Pressure, 1e-6, d.Name)
		assert.InDelta(t, 0, stability(m, d.Critical.T, rho), 1e-4, d.Name)
		worst = max(worst, math.Abs(m.At(d.Critical.T, d.Critical.Rho).Pressure/d.Critical.P-1))
		assert.Greater(t, stability(m, 1.02*d.Critical.T, rho), 0.01, d.Name)
	}
	assert.Equal(t, 20, n)
	t.Logf("evidence: CoolProp 8.0.1dev, the same mixture model | pressure at the critical points of %d blends, at the limit of stability there | %.1g off | - | 1e-6", n, worst)
}
