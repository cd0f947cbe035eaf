package belief

import (
	"fmt"
	"math"
	"slices"
)

// Move is what to do next. The zero Move is Measure.
type Move int

const (
	Measure Move = iota // readings are missing or doubtful: see Needs
	Wait                // not settled, or read again before deciding
	Add
	Recover
	Hold    // in the band over two settled readings: done
	Correct // something other than charge is wrong
)

// String gives the move in lower case.
func (m Move) String() string {
	return [...]string{"measure", "wait", "add", "recover", "hold", "correct"}[m]
}

// Band is a target with its edges. Defined is false when there is no target of that kind.
type Band struct {
	Low, Mid, High float64
	Defined        bool
}

// Goal is what the plan aims at. Zero limits are none.
type Goal struct {
	OrificeSuperheat Band // K, at the present weather
	ValveSubcooling  Band // K
	SuperheatFloorK  float64
	MaxAddKg         float64 // most in one step
	RoomKg           float64 // most in all before the data plate ceiling; +Inf or 0 when unknown
	Full             bool    // RoomKg is known and may be zero
	StepKg           float64 // scale granularity
	Receiver         bool    // charge by the sight glass
	CondenserCeilK   float64 // condensing over outdoor
	DischargeCeilK   float64 // discharge line temperature
}

// Plan is the advice of the belief alone; rules of the trade stand above it.
type Plan struct {
	Move        Move
	Kg          float64 // positive: to add or, for Recover, to recover
	WaitMinutes float64 // to let it settle, after the amount or now
	PLanded     float64 // chance of being in the target band after the amount, under the belief in each device
	POvershoot  float64 // chance of being past the far edge
	PUnderFloor float64 // chance of superheat under its floor
	Cause       string  // with Correct
	Needs       []string
	Why         []string
}

// outcome is what an amount leads to, over the samples of one device.
type outcome struct{ landed, over, under, remaining, ceiling float64 }

// planner holds what Plan computes once.
type planner struct {
	b      *Belief
	g      Goal
	o      *observation
	share  [2]float64 // of each device
	full   float64    // kg at charge fraction 1, cautious
	cap    float64    // most in one step, kg
	target [2]Band
	air    float64 // standard deviation of the target from the air readings, K
}

// Plan returns the next move toward g.
func (b *Belief) Plan(g Goal) Plan {
	if len(b.history) == 0 {
		return Plan{Move: Measure, Needs: []string{"suction_pressure", "liquid_pressure", "suction_line", "liquid_line"},
			Why: []string{"Take a full set of readings first."}}
	}
	if g.StepKg <= 0 {
		g.StepKg = 0.5 * oz
	}
	if g.Receiver {
		return b.planReceiver(g)
	}
	dev := b.inferred()
	p := &planner{b: b, g: g, o: &b.history[len(b.history)-1], share: [2]float64{dev.FixedOrifice, dev.ExpansionValve},
		target: [2]Band{g.OrificeSuperheat, g.ValveSubcooling}}
	p.air = math.Hypot(1.5*airBias, 0.5*airBias)

	if needs, why := p.missing(); len(needs) > 0 {
		return Plan{Move: Measure, Needs: needs, Why: why}
	}
	if c := b.Causes(); true {
		fault := 0.0
		lead := ""
		for _, k := range c {
			switch k.Name {
			case ShortOfCharge, ChargeRight, Overcharged:
			default:
				fault += k.P
				if lead == "" {
					lead = k.Name
				}
			}
		}
		limit := correctAt
		if p.o.netKg > 0 {
			limit = correctLate
		}
		if fault >= limit {
			return Plan{Move: Correct, Cause: lead, Why: []string{"Something other than charge explains the readings better: " + b.evidence(lead) + "."}}
		}
	}
	if w := p.unsettledFor(); w > 0 {
		return Plan{Move: Wait, WaitMinutes: w, Why: []string{"The last change has not settled yet."}}
	}
	if p.surprised() && p.reread() < 3 || b.wary > 0 && p.reread() < 2 {
		return Plan{Move: Wait, WaitMinutes: reread, Why: []string{"The reading is not what this system was expected to give: read again before acting on it."}}
	}
	p.prepare()
	return p.decide()
}

// surprised reports whether the members, having seen the newest reading, still disagree with it: either it is off, or
// they are. One more reading decides.
func (p *planner) surprised() bool {
	for _, c := range [2]int{chSH, chSC} {
		if !given(p.o.y[c]) {
			continue
		}
		r, hunt, n := 0.0, 0.0, 0.0
		for d := range 2 {
			for _, s := range p.b.draw(d) {
				w := p.share[d]
				r += w * (p.o.y[c] - s.m.last[c] - s.m.lag[c] - s.m.off[c])
				hunt += w * s.m.hunt
				n += w
			}
		}
		limit := surpriseSC
		if c == chSH {
			limit = surpriseSH + hunt/n
		}
		if math.Abs(r/n) > limit {
			return true
		}
	}
	return false
}

// missing names the readings without which no amount can be offered.
func (p *planner) missing() (needs, why []string) {
	r := p.b.readings[len(p.b.readings)-1]
	ask := func(x float64, name string) {
		if !given(x) {
			needs = append(needs, name)
		}
	}
	ask(r.SuperheatK, "suction_line")
	ask(r.SubcoolingK, "liquid_line")
	if p.share[0] > 0.02 && !p.target[0].Defined {
		ask(r.OutdoorK, "outdoor")
		ask(r.ReturnWetK, "return_wet_bulb")
		ask(r.ReturnDryK, "return_dry_bulb")
	}
	if len(needs) > 0 {
		return needs, []string{"The target superheat of an orifice depends on the air: take these too."}
	}
	// What would tell a fault from a shortage is asked for once, while the question is open.
	fault := 0.0
	q := p.b.posterior()
	for i, h := range p.b.hyps {
		if h.cause != causeNone {
			fault += q[i]
		}
	}
	if fault > askFault && len(p.b.readings) <= 2 {
		before := false
		for _, old := range p.b.readings[:len(p.b.readings)-1] {
			before = before || !given(old.SupplyDryK) || !given(old.DischargeK)
		}
		if !before {
			ask(r.SupplyDryK, "supply_dry_bulb")
			ask(r.DischargeK, "discharge_line")
			ask(r.ReturnWetK, "return_wet_bulb")
			ask(r.OutdoorK, "outdoor")
			if len(needs) > 0 {
				return needs, []string{"These tell a shortage from another fault."}
			}
		}
	}
	return nil, nil
}

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

// truth is the settled true value of channel c of sample s after kg more, the session's instrument bias taken out.
func (p *planner) truth(s *sample, kg float64) (sh, sc float64) {
	y, v := s.settled(kg, p.o.w)
	sh = max(y[chSH]+s.normal[0]*math.Sqrt(v[chSH]+p.o.bias[chSH]), 0)
	sc = y[chSC] + s.normal[1]*math.Sqrt(v[chSC]+p.o.bias[chSC])
	return sh, sc
}

// prepare finds each sample's distance to its target and the caps.
func (p *planner) prepare() {
	var fulls weighted
	for d := range 2 {
		for i := range p.b.draw(d) {
			s := &p.b.samples[d][i]
			fulls = append(fulls, weigh{s.m.kg, p.share[d]})
			s.kgStar = p.solve(d, s)
		}
	}
	p.full = fulls.at(0.25)[0]
	share := laterShare
	if p.b.history[len(p.b.history)-1].netKg == p.b.history[0].netKg {
		share = firstShare
	}
	p.cap = share * p.full
	// A valve that is about to seal answers steeply at once, and where the seal lies cannot be seen: the step may not pass
	// the band even if it lies just ahead and the system is as steep as any known.
	if t := p.target[1]; t.Defined && p.share[1] >= 0.5 && given(p.o.y[chSC]) {
		p.cap = min(p.cap, max(t.High+valveSlack-max(p.o.y[chSC], 0), 0)/steepestValve*p.full)
	}
	if p.g.MaxAddKg > 0 {
		p.cap = min(p.cap, p.g.MaxAddKg)
	}
	if p.g.Full || p.g.RoomKg > 0 {
		p.cap = min(p.cap, max(p.g.RoomKg, 0))
	}
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
	cond := 0.0
	for i := range p.b.samples[d] {
		s := &p.b.samples[d][i]
		if s.cause != causeNone {
			continue
		}
		n++
		sh, sc := p.truth(s, kg)
		floor := p.g.SuperheatFloorK
		if d == 1 {
			floor = min(floor, valveFloor)
		}
		if sh < floor {
			r.under++
		}
		if p.g.CondenserCeilK > 0 {
			y := s.m.law.at(s.m.x+kg/s.m.kg, p.o.w)
			if y[chCond]+s.m.off[chCond] > p.g.CondenserCeilK {
				cond++
			}
		}
		if !t.Defined {
			continue
		}
		in, over := false, false
		if d == 0 {
			e := sh + s.normal[2]*p.air
			in = e >= t.Low && e <= t.High && sc >= orificeLiquid && sh >= valveFloor
			over = e < t.Low
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
				r.remaining += overshootCost
			}
		}
	}
	if n > 0 {
		r.landed, r.over, r.under, r.remaining, r.ceiling = r.landed/n, r.over/n, r.under/n, r.remaining/n, cond/n
	}
	return r
}

// decide weighs holding, waiting and every practical amount. A step costs one; a job ended outside its band costs
// missCost steps; what a step leaves to do counts by its distance. While the device is open, a step after which the two
// devices would read differently is worth a part of the step it saves.
func (p *planner) decide() Plan {
	now := [2]outcome{p.score(0, 0), p.score(1, 0)}
	landed, over, under, _ := p.mix(now)
	gap := p.medianGap()
	stay := Plan{Move: Wait, WaitMinutes: reread, PLanded: landed, POvershoot: over, PUnderFloor: under}
	amounts := p.amounts(gap, over)
	n := p.reread()
	wet := p.o.y[chSH] < wetReading
	if wet { // liquid may be on its way to the compressor: nothing goes in, whatever explains it
		amounts = slices.DeleteFunc(amounts, func(kg float64) bool { return kg > 0 })
	}
	bestLanded, kg, step := p.choose(amounts, now, stay, 1)
	if (n >= 3 || p.changes() >= longJob) && landed < looseUnder && (kg == 0 || bestLanded < landed+0.02) {
		// Read three times, not there, and every step worth taking is a little over the limits: go by what is likelier.
		bestLanded, kg, step = p.choose(amounts, now, stay, looseLimits)
	}
	switch {
	case landed >= nearBand && missCost*(1-landed) <= 1+missCost*(1-bestLanded):
		if n >= 2 && landed >= holdAt || n >= 3 && landed >= looseUnder || n >= 4 {
			stay.Move, stay.WaitMinutes = Hold, 0
			stay.Why = []string{"In the target band over two settled readings."}
			return stay
		}
		stay.Why = []string{"In the target band: read once more to be sure."}
		return stay
	case landed >= nearBand && n < 2:
		stay.Why = []string{"Near the target band: read again before trimming."}
		return stay
	case kg == 0 && n < 3:
		stay.Why = []string{"No amount is safe enough yet: read again."}
		return stay
	case kg == 0:
		// Read three times and still no amount is within the limits: the smallest worth weighing moves on.
		kg = max(p.round(leastShare*p.full), p.g.StepKg)
		if gap < 0 {
			kg = -kg
		}
		if kg > p.cap || kg > 0 && (wet || over > 0.3 && p.share[1] < leadAt || under > 0.3) {
			stay.Move, stay.WaitMinutes = Hold, 0
			stay.Why = []string{"No further amount is within the limits."}
			return stay
		}
	}
	step.Move, step.Kg = Add, kg
	if kg < 0 {
		step.Move, step.Kg = Recover, -kg
	}
	step.WaitMinutes = p.settleTime(kg)
	step.Why = []string{p.reason(step)}
	return step
}

// choose returns the amount of least cost whose risks keep their limits, each widened by loose, and what it leads to;
// zero when none does.
func (p *planner) choose(amounts []float64, now [2]outcome, stay Plan, loose float64) (bestLanded, kg float64, step Plan) {
	best := math.Inf(1)
	step = stay
	for _, a := range amounts {
		var then [2]outcome
		ok := true
		for d := range 2 {
			then[d] = p.score(d, a)
			if a < 0 || p.share[d] < ignoreUnder {
				continue
			}
			allow := func(limit float64) float64 { return loose * max(limit, 0.5*limit/p.share[d]) }
			flood := max(maxUnderFloor, 0.5*maxUnderFloor/p.share[d])
			over := then[d].over
			if loose > 1 && p.share[d] < leadAt && d == 0 {
				over = 0 // passing an orifice's band that is probably not there does no harm: its floor still binds
			}
			if over > allow(maxOvershoot) || then[d].under-now[d].under > flood ||
				then[d].ceiling > 0.2+now[d].ceiling {
				ok = false
			}
		}
		if !ok {
			continue
		}
		l, ov, un, re := p.mix(then)
		cost := 1 + re - p.tells(a)
		if a < 0 {
			cost += recoverCost
		}
		if cost < best-1e-9 {
			best, bestLanded, kg = cost, l, a
			step.PLanded, step.POvershoot, step.PUnderFloor = l, ov, un
		}
	}
	return
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
func (p *planner) tells(kg float64) float64 {
	open := 4 * p.share[0] * p.share[1]
	if open < 4*verdictAt*(1-verdictAt) {
		return 0
	}
	var sh, sc [2]float64
	for d := range 2 {
		n := 0.0
		for i := range p.b.samples[d] {
			s := &p.b.samples[d][i]
			if s.cause != causeNone {
				continue
			}
			y := s.m.law.at(s.m.x+kg/s.m.kg, p.o.w)
			sh[d] += y[chSH] - s.m.last[chSH]
			sc[d] += y[chSC] - s.m.last[chSC]
			n++
		}
		if n > 0 {
			sh[d] /= n
			sc[d] /= n
		}
	}
	apart := math.Hypot(sh[0]-sh[1], sc[0]-sc[1]) / (3 * degF)
	return tellsWorth * open * min(apart, 1)
}

func (p *planner) reason(plan Plan) string {
	dev := ""
	switch {
	case p.share[0] >= verdictAt:
		dev = "a fixed orifice"
	case p.share[1] >= verdictAt:
		dev = "an expansion valve"
	default:
		return fmt.Sprintf("Device not known yet: this step is within limits for both, chance %.0f %% in band after it.", 100*plan.PLanded)
	}
	return fmt.Sprintf("With %s, chance %.0f %% in band after it and %.0f %% past it.", dev, 100*plan.PLanded, 100*plan.POvershoot)
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

// reread counts the settled readings at the present charge.
func (p *planner) reread() int {
	n := 0
	for i := len(p.b.history) - 1; i >= 0; i-- {
		if p.b.history[i].netKg != p.o.netKg {
			break
		}
		n++
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

// amounts lists the practical amounts, kg: additions from the least worth weighing up to the cap, recoveries up to a
// tenth when there is too much inside. Gap is the median mass to the target, over the chance of being past it.
func (p *planner) amounts(gap, over float64) []float64 {
	var out []float64
	last := 0.0
	put := func(kg float64) {
		a := p.round(kg)
		if a != last && a != 0 {
			out = append(out, a)
			last = a
		}
	}
	least := max(leastShare*p.full, p.g.StepKg)
	n := 22
	for i := 0; i <= n; i++ {
		if a := least + (p.cap-least)*float64(i)/float64(n); a <= p.cap*1.0001 && a >= p.g.StepKg*0.999 {
			put(a)
		}
	}
	if p.cap > 0 && len(out) == 0 && p.cap >= 0.5*p.g.StepKg {
		put(p.g.StepKg)
	}
	if over < leadAt && gap > -least {
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

// Missing returns the 5th, 50th and 95th percentile of the mass still missing to the target of g, kg; negative when
// there is too much. NaN before any reading or without a target.
func (b *Belief) Missing(g Goal) [3]float64 {
	n := math.NaN()
	if len(b.history) == 0 {
		return [3]float64{n, n, n}
	}
	dev := b.inferred()
	p := &planner{b: b, g: g, o: &b.history[len(b.history)-1], share: [2]float64{dev.FixedOrifice, dev.ExpansionValve},
		target: [2]Band{g.OrificeSuperheat, g.ValveSubcooling}}
	p.prepare()
	var v weighted
	for d := range 2 {
		for _, s := range b.samples[d] {
			if given(s.kgStar) {
				v = append(v, weigh{s.kgStar, p.share[d]})
			}
		}
	}
	return v.bands()
}

// planReceiver charges by the sight glass: to a clear glass, and a little more to stay clear.
func (b *Belief) planReceiver(g Goal) Plan {
	r := b.readings[len(b.readings)-1]
	if b.headPressure() >= correctAt {
		return Plan{Move: Correct, Cause: HeadPressure, Why: []string{"The head-pressure control passes hot gas: " + b.evidence(HeadPressure) + ". Bubbles then say nothing of the charge."}}
	}
	var needs []string
	if r.SightGlass == GlassNotGiven {
		needs = append(needs, "sight_glass")
	}
	if given(r.OutdoorK) && r.OutdoorK < zeroF+75*degF && !given(r.DropLegK) {
		needs = append(needs, "drop_leg", "condenser_outlet_pressure")
	}
	if len(needs) > 0 {
		return Plan{Move: Measure, Needs: needs, Why: []string{"With a receiver the sight glass and the drop leg decide."}}
	}
	p := &planner{b: b, g: g, o: &b.history[len(b.history)-1]}
	dev := b.inferred()
	p.share = [2]float64{dev.FixedOrifice, dev.ExpansionValve}
	p.prepare()
	clear := 0
	for i := len(b.readings) - 1; i >= 0 && b.readings[i].SightGlass == GlassClear && b.readings[i].NetKg == r.NetKg; i-- {
		clear++
	}
	switch {
	case clear >= 2:
		return Plan{Move: Hold, Why: []string{"The glass is clear over two readings."}}
	case clear == 1:
		return Plan{Move: Wait, WaitMinutes: reread, Why: []string{"The glass has cleared: look again before deciding."}}
	}
	share := firstShare
	if len(b.history) > 1 {
		share = 0.07
	}
	kg := p.round(min(p.cap, share*p.full))
	if kg <= 0 {
		kg = min(p.cap, g.StepKg)
	}
	return Plan{Move: Add, Kg: kg, WaitMinutes: 12, Why: []string{"Bubbles with the drop leg barely subcooled: short of charge."}}
}
