package signature

import "math"

// Net is a network with two hidden layers of tanh. Each row of a layer makes one output; its last number is added.
type Net struct {
	Layers [3][][]float64  `json:"layers"`
	Prior  [Faults]float64 `json:"log_prior"` // of the systems it was trained on
}

// Evidence is the log likelihood of x under each fault less that of a sound system, within Most.
func (n *Net) Evidence(x [Inputs]float64) (e [Faults]float64) {
	y := n.Outputs(x[:])[len(n.Layers)-1]
	for i := range e {
		e[i] = y[i] - y[Sound] - (n.Prior[i] - n.Prior[Sound])
		e[i] = Most * math.Tanh(e[i]/Most)
	}
	return e
}

// Outputs are those of each layer for x, the last without its tanh: log probabilities of the faults but for a constant.
func (n *Net) Outputs(x []float64) [][]float64 {
	out := make([][]float64, len(n.Layers))
	for k, rows := range n.Layers {
		y := make([]float64, len(rows))
		for i, row := range rows {
			s := row[len(x)]
			for j, v := range x {
				s += row[j] * v
			}
			if k < len(n.Layers)-1 {
				s = math.Tanh(s)
			}
			y[i] = s
		}
		out[k], x = y, y
	}
	return out
}
