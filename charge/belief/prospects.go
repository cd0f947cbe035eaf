package belief

// prospects is the most that the readings of a history still to come can add to the log likelihood of a member, by the
// place of the next of them and by the member's scatter: a move that can no longer be taken need not be followed to its
// end.
type prospects [][prospectCells]float64

const (
	prospectCells = 32   // of a member's zDisc, which says how far its readings scatter
	prospectFirst = -4.0 // where the second of them begins; the first reaches down to no scatter at all
	prospectWidth = 0.25
)

// prospects finds those of a history whose newest reading counts to the given power. No reading is likelier than one
// without a residual to a member whose standing offsets are known, at the first reading as well as they may be.
func (h *hypothesis) prospects(history []observation, power float64) prospects {
	p := make(prospects, len(history))
	for cell := range prospectCells {
		disc := 0.0
		if cell > 0 {
			disc = scatter(prospectFirst + prospectWidth*float64(cell-1))
		}
		sum, share := 0.0, power
		for t := len(history) - 1; t >= 0; t-- {
			o, scale := &history[t], 1.0
			for c := range channels {
				if !given(o.y[c]) {
					continue
				}
				v := o.noise[c] + whiteOf[c]*whiteOf[c]*disc*disc
				if t == 0 {
					v += h.levelVariance(c, o)
				}
				scale *= v
			}
			sum -= share * 0.5 * log(scale)
			share = 1
			p[t][cell] = sum
		}
	}
	return p
}

// from is the most that a member which stands before the reading at place t can still gain.
func (p prospects) from(t int, m *member) float64 {
	return p[t][int(clamp((m.z[zDisc]-prospectFirst)/prospectWidth+1, 0, prospectCells-1))]
}

// scatter is what multiplies every discrepancy of a member whose zDisc is z.
func scatter(z float64) float64 { return exp(0.5 * z) }
