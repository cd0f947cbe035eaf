package helmholtz

import "math"

// rowSize holds the widest system solved, the two-phase split with
// 2 MaxComponents + 1 unknowns, and two right-hand sides.
const rowSize = 2*MaxComponents + 3

type row = [rowSize]float64

// eliminate solves a square system of n rows with the two right-hand sides in
// columns n and n+1, by Gaussian elimination with partial pivoting; both
// columns become solutions. It works in place and allocates nothing.
func eliminate(a []row) bool {
	n := len(a)
	if n+2 > rowSize {
		panic("helmholtz: system too large")
	}
	for k := 0; k < n; k++ {
		piv, big := k, math.Abs(a[k][k])
		for i := k + 1; i < n; i++ {
			if v := math.Abs(a[i][k]); v > big {
				piv, big = i, v
			}
		}
		if !(big > 1e-300) {
			return false
		}
		if piv != k {
			a[piv], a[k] = a[k], a[piv]
		}
		top := &a[k]
		inv := 1 / top[k]
		for i := k + 1; i < n; i++ {
			q := &a[i]
			f := q[k] * inv
			if f == 0 {
				continue
			}
			for l := k + 1; l < n+2; l++ {
				q[l] -= f * top[l]
			}
		}
	}
	for k := n - 1; k >= 0; k-- {
		top := &a[k]
		u, v := top[n], top[n+1]
		for l := k + 1; l < n; l++ {
			u -= top[l] * a[l][n]
			v -= top[l] * a[l][n+1]
		}
		inv := 1 / top[k]
		top[n], top[n+1] = u*inv, v*inv
	}
	return true
}
