package belief

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// What prospects says a member can still gain is never less than what it gains: no move is given up that could have been
// taken.
func TestNoMemberGainsMoreThanItsProspects(t *testing.T) {
	b := New(checked(Unit{Refrigerant: "R-410A", CapacityW: 3 * ton}))
	for _, r := range []Reading{
		reading(0, 0, 31, 0.3, 33, 104, 92, 78, 66), reading(12, 8, 25, 1, 35, 106, 92, 78, 66),
		reading(18, 8, 24.8, 1.1, 35, 106, 92, 78, 66), reading(30, 16, 17, 2.5, 38, 109, 92, 78, 66),
	} {
		b.Observe(r)
	}
	tight := math.Inf(1)
	for _, power := range []float64{1, 0.3} {
		for j, h := range b.hyps {
			most := h.prospects(b.history, power)
			for i := range h.members {
				m := h.members[i]
				m.z[zDisc] = 6 * (float64(i)/float64(len(h.members)) - 0.5) // all of its cells
				h.decode(&m, &b.history[0])
				h.anchor(&m, &b.history[0])
				before := []float64{m.logl}
				var prev *observation
				for t := range b.history {
					m.newest = h.advance(&m, prev, &b.history[t])
					prev = &b.history[t]
					before = append(before, m.logl)
				}
				end := m.logl - (1-power)*m.newest
				for at, logl := range before[:len(b.history)] {
					spare := logl + most.from(at, &m) - end
					if spare < 0 {
						t.Fatalf("hypothesis %d: member %d gains %v more than it could at reading %d", j, i, -spare, at)
					}
					tight = min(tight, spare)
				}
			}
		}
	}
	require.Less(t, tight, 3.0, "and it is no idle bound")
}
