package train

import (
	"math"
	"math/rand"

	"chargehand/charge/belief/signature"
)

// The network and its training [our choice].
const (
	hidden1, hidden2 = 24, 16
	batch            = 64
	rate             = 0.004 // of Adam at the start, falling to nothing by a cosine
	decay            = 0.003
)

// Fit trains a network by stochastic gradients of the cross entropy (Adam, Kingma and Ba 2015, algorithm 1, with decoupled
// weight decay, Loshchilov and Hutter 2019). progress hears the share done and the loss since it heard last.
func Fit(rows []Row, epochs int, seed int64, progress func(share, loss float64)) *signature.Net {
	rng := rand.New(rand.NewSource(seed))
	n := begin(rows, rng)
	grad, mean, square := like(n), like(n), like(n)
	steps := epochs * len(rows) / batch
	order := rng.Perm(len(rows))
	loss, seen := 0.0, 0
	for step := 1; step <= steps; step++ {
		grad.each(func(_, _ int, row []float64) { clear(row) })
		for range batch {
			if len(order) == 0 {
				order = rng.Perm(len(rows))
			}
			r := &rows[order[0]]
			order = order[1:]
			l := scatter(r.look, rng)
			if x, ok := l.Inputs(); ok {
				loss += backward(n, grad, x[:], r.fault)
				seen++
			}
		}
		at := float64(step)
		speed := rate * 0.5 * (1 + math.Cos(math.Pi*at/float64(steps)))
		warm1, warm2 := 1-math.Pow(0.9, at), 1-math.Pow(0.999, at)
		grad.each(func(k, i int, row []float64) {
			w, m, v := n.Layers[k][i], mean[k][i], square[k][i]
			for j, g := range row {
				g /= batch
				m[j] = 0.9*m[j] + 0.1*g
				v[j] = 0.999*v[j] + 0.001*g*g
				w[j] -= speed * (m[j]/warm1/(math.Sqrt(v[j]/warm2)+1e-8) + decay*w[j])
			}
		})
		if progress != nil && step%max(steps/10, 1) == 0 {
			progress(at/float64(steps), loss/float64(seen))
			loss, seen = 0, 0
		}
	}
	layers(n.Layers).each(func(_, _ int, row []float64) {
		for j := range row {
			row[j] = math.Round(row[j]*1e4) / 1e4
		}
	})
	return n
}

// layers are numbers in the shape of a network's.
type layers [3][][]float64

func (l layers) each(f func(k, i int, row []float64)) {
	for k := range l {
		for i := range l[k] {
			f(k, i, l[k][i])
		}
	}
}

func like(n *signature.Net) (l layers) {
	for k, rows := range n.Layers {
		for _, row := range rows {
			l[k] = append(l[k], make([]float64, len(row)))
		}
	}
	return l
}

// begin is a network of random weights with the prior of rows.
func begin(rows []Row, rng *rand.Rand) *signature.Net {
	n := &signature.Net{}
	for i := range n.Prior {
		n.Prior[i] = 1
	}
	for i := range rows {
		n.Prior[rows[i].fault]++
	}
	for i, c := range n.Prior {
		n.Prior[i] = math.Log(c / float64(len(rows)))
	}
	in := signature.Inputs
	for k, out := range []int{hidden1, hidden2, int(signature.Faults)} {
		for range out {
			row := make([]float64, in+1)
			for j := range in {
				row[j] = rng.NormFloat64() / math.Sqrt(float64(in))
			}
			n.Layers[k] = append(n.Layers[k], row)
		}
		in = out
	}
	return n
}

// backward adds to grad the gradient of the cross entropy of x, whose fault is known, and returns that.
func backward(n *signature.Net, grad layers, x []float64, fault signature.Fault) float64 {
	y := n.Outputs(x)
	last := len(y) - 1
	d := softmax(y[last])
	loss := -math.Log(math.Max(d[fault], 1e-300))
	d[fault]--
	for k := last; k >= 0; k-- {
		in := x
		if k > 0 {
			in = y[k-1]
		}
		before := make([]float64, len(in))
		for i, row := range n.Layers[k] {
			for j, v := range in {
				grad[k][i][j] += d[i] * v
				before[j] += d[i] * row[j]
			}
			grad[k][i][len(in)] += d[i]
		}
		for j, v := range in {
			before[j] *= 1 - v*v // of the tanh below; not used under the first layer
		}
		d = before
	}
	return loss
}

func softmax(y []float64) []float64 {
	top, sum := math.Inf(-1), 0.0
	for _, v := range y {
		top = math.Max(top, v)
	}
	p := make([]float64, len(y))
	for i, v := range y {
		p[i] = math.Exp(v - top)
		sum += p[i]
	}
	for i := range p {
		p[i] /= sum
	}
	return p
}
