package belief

import (
	"math"
	"math/rand/v2"
)

// fitted is the normal distribution with the mean and the covariance of a hypothesis' members.
type fitted struct {
	mean [zCount]float64
	root [zCount][zCount]float64 // by columns, a lower triangle whose square is the covariance (Cholesky)
}

// whitened are the numbers of a member in the coordinates in which fitted is a standard normal.
type whitened [zCount]float64

// fit fits one to members of equal weight. Where they are copies of a few, fitLeast keeps the root from vanishing.
func fit(members []member) *fitted {
	f := &fitted{}
	n := float64(len(members))
	for i := range members {
		for j, z := range members[i].z {
			f.mean[j] += z / n
		}
	}
	left := &f.root // of the covariance, by columns
	for i := range members {
		var d [zCount]float64
		for j, z := range members[i].z {
			d[j] = z - f.mean[j]
		}
		for k, y := range d {
			for j := k; j < zCount; j++ {
				left[k][j] += y * d[j]
			}
		}
	}
	for k := range left {
		for j := k; j < zCount; j++ {
			left[k][j] /= n
		}
		left[k][k] += fitLeast
	}
	for k := range left {
		col := &left[k]
		d := math.Sqrt(max(col[k], fitLeast))
		for j := k; j < zCount; j++ {
			col[j] /= d
		}
		col[k] = d
		for i := k + 1; i < zCount; i++ {
			for j := i; j < zCount; j++ {
				left[i][j] -= col[i] * col[j]
			}
		}
	}
	return f
}

// white is z in the coordinates of f.
func (f *fitted) white(z *[zCount]float64) (u whitened) {
	for j := range u {
		u[j] = z[j] - f.mean[j]
	}
	for k := range u {
		col := &f.root[k]
		u[k] /= col[k]
		for j := k + 1; j < zCount; j++ {
			u[j] -= col[j] * u[k]
		}
	}
	return u
}

// lean moves c, which stands at u in the coordinates of f, to other places in a random half of those coordinates, drawn
// as f has them. It returns the log ratio of the priors over that of f. The members' posterior is close to normal, so
// such a long step is taken often, where one in the members' own numbers would have to be short (independent moves with
// a fitted normal distribution, Chopin 2002).
func (f *fitted) lean(c *member, u *whitened, r *rand.Rand) float64 {
	ratio := 0.0
	z := c.z
	bits := r.Uint64()
	for k := range u {
		if bits&1 != 0 {
			old := u[k]
			u[k] = r.NormFloat64()
			ratio += 0.5 * (u[k]*u[k] - old*old)
			step, col := u[k]-old, &f.root[k]
			for j := k; j < zCount; j++ {
				z[j] += step * col[j]
			}
		}
		bits >>= 1
	}
	for j := range z {
		ratio += 0.5 * (c.z[j]*c.z[j] - z[j]*z[j])
	}
	c.z = z
	return ratio
}
