package belief

import (
	"math"
	"runtime"
	"sync"
	"sync/atomic"
)

// outcome is what an amount leads to, over the samples of one device.
type outcome struct {
	landed, over float64 // in the band, past its far edge
	harm         float64 // past it, and of an orifice near its floor as well
	under        float64 // superheat under its floor
	remaining    float64 // steps left to do
	ceiling      float64 // condensing or subcooling read over its ceiling
	superheat    float64 // what the mean of superheat changes by, K
	subcooling   float64 // and of subcooling
}

// prospect is an amount, kg, what it leads to under each device, and the worth of what it would show of the device.
type prospect struct {
	kg    float64
	then  [2]outcome
	tells float64
}

// foresee weighs every amount, side by side: none hangs on another.
func (p *planner) foresee(amounts []float64) []prospect {
	out := make([]prospect, len(amounts))
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(amounts)) {
		wait.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(amounts); i = int(next.Add(1)) - 1 {
				kg := amounts[i]
				then := [2]outcome{p.score(0, kg), p.score(1, kg)}
				out[i] = prospect{kg, then, p.tells(then)}
			}
		})
	}
	wait.Wait()
	return out
}

// short is the chance of standing before the band.
func (o outcome) short() float64 { return 1 - o.landed - o.over }

// unsettledFor is how much longer the system needs, in minutes; zero when it has settled.
func (p *planner) unsettledFor() float64 {
	if math.IsInf(p.o.change, 1) || len(p.b.history) < 2 {
		return 0
	}
	lag, n, tau := 0.0, 0.0, 0.0
	for d := range 2 {
		for _, s := range p.b.draw(d) {
			w := p.share[d]
			c := chSH
			if d == 1 {
				c = chSC
			}
			l := max(math.Abs(s.m.lag[c]), 0.5*math.Abs(s.m.lag[chSH]))
			lag += w * l
			tau += w * s.m.settle
			n += w
		}
	}
	if n == 0 {
		return 0
	}
	lag, tau = lag/n, tau/n
	limit := 0.8 * degF
	if lag <= limit {
		return 0
	}
	return clamp(math.Ceil(tau*math.Log(lag/(0.5*limit))), 2, longestWait)
}

// truth is the settled true superheat and subcooling of sample s after kg more, the session's instrument bias taken out,
// and the channels as they would be read.
func (p *planner) truth(s *sample, kg float64) (sh, sc float64, read [channels]float64) {
	read = s.settled(kg, p.o.w)
	sh = max(read[chSH]+s.normal[0]*math.Sqrt(s.standing(chSH, kg, &read)+p.o.bias[chSH]), 0)
	sc = read[chSC] - p.touch + s.normal[1]*math.Sqrt(s.standing(chSC, kg, &read)+p.o.bias[chSC])
	return sh, sc, read
}

// contact is by how much subcooling reads high because the clamp feels some of the outdoor air around the bare liquid
// line, K. Suction lines are insulated.
func (p *planner) contact() float64 {
	if warm := p.o.y[chCond] - p.o.y[chSC]; warm > 0 {
		return clampContact * warm
	}
	return 0
}

// prepare finds each sample's distance to its target and the caps.
func (p *planner) prepare() {
	var fulls weighted
	var wait sync.WaitGroup
	for d := range 2 {
		samples := p.b.draw(d)
		wait.Go(func() {
			for i := range samples {
				samples[i].kgStar = p.solve(d, &samples[i])
			}
		})
		for i := range samples {
			fulls = append(fulls, weigh{samples[i].m.kg, p.share[d]})
		}
	}
	wait.Wait()
	q := fulls.at(smallFull, 0.25)
	p.small, p.full = q[0], q[1]
	if p.full < smallSystem && p.g.FineStepKg > 0 {
		p.g.StepKg = min(p.g.StepKg, p.g.FineStepKg)
	}
	p.cap = p.most()
}

// solve finds the mass after which the reading of sample s meets the middle of device d's target.
func (p *planner) solve(d int, s *sample) float64 {
	t := p.target[d]
	if !t.Defined {
		return math.NaN()
	}
	c, sign := chSH, -1.0
	if d == 1 {
		c, sign = chSC, 1
	}
	m := s.m
	// Illinois' variant of the false position: the curves are monotone and smooth.
	off := func(dx float64) float64 {
		y := m.law.at(m.x+dx, p.o.w)
		return sign * (y[c] + m.off[c] - t.Mid)
	}
	lo, hi := 0.3-m.x, 1.7-m.x
	fl, fh := off(lo), off(hi)
	if fl >= 0 {
		return lo * m.kg
	}
	if fh <= 0 {
		return hi * m.kg
	}
	side, x := 0, 0.0
	for range 12 {
		x = (lo*fh - hi*fl) / (fh - fl)
		if x-lo < 0.02*(hi-lo) || hi-x < 0.02*(hi-lo) {
			x = 0.5 * (lo + hi)
		}
		f := off(x)
		if math.Abs(f) < 0.05*degF || hi-lo < 1e-3 {
			break
		}
		if f < 0 {
			lo, fl = x, f
			if side == -1 {
				fh *= 0.5
			}
			side = -1
		} else {
			hi, fh = x, f
			if side == 1 {
				fl *= 0.5
			}
			side = 1
		}
	}
	return x * m.kg
}

// score is the outcome of kg more (negative: recovered) under device d.
func (p *planner) score(d int, kg float64) (r outcome) {
	t := p.target[d]
	n := 0.0
	ceiling := 0.0
	for i := range p.b.samples[d] {
		s := &p.b.samples[d][i]
		if s.cause != causeNone {
			continue
		}
		n++
		sh, sc, read := p.truth(s, kg)
		r.superheat += read[chSH] - s.m.off[chSH] - s.m.last[chSH]
		r.subcooling += read[chSC] - s.m.off[chSC] - s.m.last[chSC]
		floor := p.g.SuperheatFloorK
		if d == 1 {
			floor = min(floor, valveFloor)
		}
		if sh < floor {
			r.under++
		}
		if p.g.CondenserCeilK > 0 && read[chCond] > p.g.CondenserCeilK || p.g.SubcoolingCeilK > 0 && read[chSC] > p.g.SubcoolingCeilK {
			ceiling++
		}
		if !t.Defined {
			continue
		}
		in, over := false, false
		if d == 0 {
			e := sh + s.normal[2]*p.air
			past := t.past(sh, e)
			in = !past && e <= t.High && sc >= orificeLiquid && sh >= valveFloor
			over = past && (sc >= orificeLiquid || sh < floor) // without liquid an orifice is not past its band, whatever its superheat
		} else {
			in = sc >= t.Low && sc <= t.High
			over = sc > t.High
		}
		if in {
			r.landed++
		} else {
			left := math.Abs(s.kgStar - kg)
			r.remaining += 1 + max(0, left-0.02*s.m.kg)/(laterShare*p.full)
			if over {
				r.over++
				if d == 1 || sh < floor+clearOfFloor {
					r.harm++
					r.remaining += overshootCost
				} else {
					r.remaining += pastCost
				}
			}
		}
	}
	if n > 0 {
		r.landed, r.over, r.harm, r.under, r.remaining, r.ceiling = r.landed/n, r.over/n, r.harm/n, r.under/n, r.remaining/n, ceiling/n
		r.superheat, r.subcooling = r.superheat/n, r.subcooling/n
	}
	return r
}

// passes reports a chance of condensing or subcooling over its ceiling, under device d after an addition, that is more
// than likely or raised by more than a little: the next reading would end the job.
func (o outcome) passes(now outcome) bool {
	return o.ceiling > min(now.ceiling+ceilingMore, ceilingMost)
}

// liquidless reports that by the members no liquid stands at the clamp, while superheat is clear of its floor: neither
// device is full then, and nothing is taken out.
func (p *planner) liquidless() bool {
	if !(p.o.y[chSH] > p.g.SuperheatFloorK+clearOfFloor) {
		return false
	}
	dry, n := 0.0, 0.0
	for d := range 2 {
		for i := range p.b.samples[d] {
			s := &p.b.samples[d][i]
			if s.cause != causeNone {
				continue
			}
			if _, sc, _ := p.truth(s, 0); sc < orificeLiquid {
				dry += p.share[d]
			}
			n += p.share[d]
		}
	}
	return dry > 0.5*n
}

// mix weighs the outcomes of both devices.
func (p *planner) mix(o [2]outcome) (landed, over, under, remaining float64) {
	for d := range 2 {
		w := p.share[d]
		landed += w * o[d].landed
		over += w * o[d].over
		under += w * o[d].under
		remaining += w * o[d].remaining
	}
	return
}

// tells is the worth, in steps, of what an amount would show of the device: how far apart the two devices' superheat
// and subcooling would then read, against the scatter of a reading.
func (p *planner) tells(then [2]outcome) float64 {
	open := 4 * p.share[0] * p.share[1]
	if open < 4*verdictAt*(1-verdictAt) {
		return 0
	}
	apart := math.Hypot(then[0].superheat-then[1].superheat, then[0].subcooling-then[1].subcooling) / (3 * degF)
	return tellsWorth * open * min(apart, 1)
}

// medianGap is the median mass to the target.
func (p *planner) medianGap() float64 {
	var v weighted
	for d := range 2 {
		for _, s := range p.b.samples[d] {
			if given(s.kgStar) && s.cause == causeNone {
				v = append(v, weigh{s.kgStar, p.share[d]})
			}
		}
	}
	return v.at(0.5)[0]
}

// reread counts the settled readings at the present charge. Two in the same minute are one.
func (p *planner) reread() int {
	n, last := 1, p.o.time
	for i := len(p.b.history) - 2; i >= 0 && p.b.history[i].netKg == p.o.netKg; i-- {
		if at := p.b.history[i].time; last-at >= rereadApart {
			n, last = n+1, at
		}
	}
	return n
}

// changes counts how often something was weighed in or taken out.
func (p *planner) changes() int {
	n := 0
	for i := 1; i < len(p.b.history); i++ {
		if p.b.history[i].netKg != p.b.history[i-1].netKg {
			n++
		}
	}
	return n
}

// lead is the index of the likelier device.
func (p *planner) lead() int {
	if p.share[1] > p.share[0] {
		return 1
	}
	return 0
}

// named reports a device sure enough to be named.
func (p *planner) named() bool { return max(p.share[0], p.share[1]) >= verdictAt }

// tooMuch reports that some may have to come out. While the device is not named, an orifice that is past its band counts
// only where superheat nears its floor or a valve would have too much as well: what is too much for an orifice may be what
// a valve lacks, and superheat clear of its floor can wait.
func (p *planner) tooMuch(now [2]outcome) bool {
	if p.dry {
		return false
	}
	_, over, under, _ := p.mix(now)
	if p.named() {
		return over >= recoverAt
	}
	return (over >= leadAt || under >= 0.5) && (now[1].over >= 0.5 || now[0].harm >= 0.3)
}

// settleTime is the time until most of kg's effect is there.
func (p *planner) settleTime(kg float64) float64 {
	var change, tau weighted
	for d := range 2 {
		for i := range p.b.samples[d] {
			s := &p.b.samples[d][i]
			y := s.m.law.at(s.m.x+kg/s.m.kg, p.o.w)
			change = append(change, weigh{max(math.Abs(y[chSH]-s.m.last[chSH]), math.Abs(y[chSC]-s.m.last[chSC])), p.share[d]})
			tau = append(tau, weigh{s.m.settle, p.share[d]})
		}
	}
	c, t := change.at(0.5)[0], tau.at(0.7)[0]
	return clamp(math.Ceil(t*math.Log(max(c, degF)/(0.5*degF))), shortestWait, longestWait)
}
