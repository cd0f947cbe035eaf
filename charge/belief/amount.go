package belief

import "math"

// How much may be weighed at once, and which amounts are worth weighing.

// most is the most that may go in in one step, kg.
func (p *planner) most() float64 {
	share := laterShare
	if p.b.history[len(p.b.history)-1].netKg == p.b.history[0].netKg {
		share = firstShare
	}
	kg := share * p.full
	if last := p.lastStep(); last > 0 && p.b.unit.NameplateKg <= 0 {
		// Charge that goes in and shows nothing makes the system look larger, and where the seal lies is still unseen.
		kg = min(kg, max(growth*last, p.least()))
	}
	// A valve that is about to seal answers steeply at once, and where the seal lies cannot be seen: the step may not pass
	// the band even if it lies just ahead and the system is as steep as any known.
	if t := p.target[1]; t.Defined && p.share[1] >= 0.5 && given(p.o.y[chSC]) {
		kg = min(kg, max(t.High+valveSlack-max(p.o.y[chSC], 0), 0)/steepestValve*p.small)
	}
	// So may an orifice once liquid seals it, and where that is cannot be seen either: the step may not flood it even if it
	// seals at once and answers as steeply as any known.
	if p.share[0] >= 0.5 && p.o.y[chSC] < orificeLiquid {
		kg = min(kg, max(p.o.y[chSH]-p.g.SuperheatFloorK, 0)/swingSteepest*p.small)
	}
	if p.g.MaxAddKg > 0 {
		kg = min(kg, p.g.MaxAddKg)
	}
	if p.g.Full || p.g.RoomKg > 0 {
		kg = min(kg, max(p.g.RoomKg, 0))
	}
	return kg
}

// lastStep is what the newest change weighed in, kg; zero when it took some out or nothing has changed.
func (p *planner) lastStep() float64 {
	for i := len(p.b.history) - 2; i >= 0; i-- {
		if kg := p.o.netKg - p.b.history[i].netKg; kg != 0 {
			return max(kg, 0)
		}
	}
	return 0
}

// least is the smallest amount worth weighing, kg.
func (p *planner) least() float64 { return max(leastShare*p.full, p.g.StepKg) }

// amounts lists the practical amounts, kg: additions from the least worth weighing, or half of that for the last degree,
// up to the cap, and recoveries up to a tenth.
func (p *planner) amounts(fine, recover bool) []float64 {
	var out []float64
	last := 0.0
	put := func(kg float64) {
		a := p.round(kg)
		if a != last && a != 0 {
			out = append(out, a)
			last = a
		}
	}
	least := p.least()
	if fine && 0.5*least <= p.cap {
		put(0.5 * least)
	}
	n := 22
	for i := 0; i <= n; i++ {
		if a := least + (p.cap-least)*float64(i)/float64(n); a <= p.cap*1.0001 && a >= p.g.StepKg*0.999 {
			put(a)
		}
	}
	if p.cap > 0 && len(out) == 0 && p.cap >= 0.5*p.g.StepKg {
		put(p.g.StepKg)
	}
	if !recover {
		return out
	}
	last = 0
	for i := 1; i <= 14; i++ {
		a := laterShare * p.full * float64(i) / 14
		if a >= 0.999*least {
			put(-a)
		}
	}
	return out
}

// round brings an amount to the scale's step, toward zero.
func (p *planner) round(kg float64) float64 {
	s := p.g.StepKg
	if kg < 0 {
		return -math.Floor(-kg/s+1e-9) * s
	}
	return math.Floor(kg/s+1e-9) * s
}
