package belief

import (
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

// past reports a superheat under band b: sh itself under its floor, where the floor cuts the band short, or e, which has
// the error of the air in it as well, under what the air makes of it.
func (b Band) past(sh, e float64) bool {
	low := b.Mid - (b.High - b.Mid)
	return e < low || sh < b.Low && b.Low > low+0.01*degF
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
	FineStepKg       float64 // the same for a system that the readings show to be small; zero when there is none
	Receiver         bool    // charge by the sight glass
	CondenserCeilK   float64 // condensing over outdoor
	SubcoolingCeilK  float64 // of subcooling; zero when there is none
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
	Tells       bool // the step is to show which device is inside
}

// planner holds what Plan computes once.
type planner struct {
	b      *Belief
	g      Goal
	o      *observation
	share  [2]float64 // of each device
	full   float64    // kg at charge fraction 1, cautious
	small  float64    // the same, of as small a system as it may well be
	cap    float64    // most in one step, kg
	target [2]Band
	air    float64 // standard deviation of the target from the air readings, K
	touch  float64 // subcooling that the clamp reads too much, K
	dry    bool    // no liquid has come up at the clamp, and superheat is clear of its floor
}

// Plan returns the next move toward g.
func (b *Belief) Plan(g Goal) Plan {
	if len(b.history) == 0 {
		return Plan{Move: Measure, Needs: []string{"suction_pressure", "liquid_pressure", "suction_line", "liquid_line"}}
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
	p.touch = p.contact()

	if needs := p.missing(); len(needs) > 0 {
		return Plan{Move: Measure, Needs: needs}
	}
	fault, lead := b.fault()
	limit := correctAt
	if p.o.netKg > 0 {
		limit = correctLate
	}
	if fault >= limit {
		return Plan{Move: Correct, Cause: lead}
	}
	if w := p.unsettledFor(); w > 0 {
		return Plan{Move: Wait, WaitMinutes: w}
	}
	if p.surprised() && p.reread() < 3 || b.wary > 0 && p.reread() < 2 {
		return Plan{Move: Wait, WaitMinutes: reread}
	}
	p.prepare()
	return p.decide()
}

// fault is the probability of all causes other than charge together, and the likeliest of them.
func (b *Belief) fault() (p float64, lead string) {
	for _, k := range b.Causes() {
		switch k.Name {
		case ShortOfCharge, ChargeRight, Overcharged:
		default:
			p += k.P
			if lead == "" {
				lead = k.Name
			}
		}
	}
	return p, lead
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

// missing names the readings without which no amount can be offered: those the target depends on, and once those that
// would tell a fault from a shortage.
func (p *planner) missing() (needs []string) {
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
		return needs
	}
	// What would tell a fault from a shortage is asked for once, while the question is open.
	if fault, _ := p.b.fault(); fault > askFault && len(p.b.readings) <= 2 {
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
				return needs
			}
		}
	}
	return nil
}

// decide weighs holding, waiting and every practical amount. A step costs one; a job ended outside its band costs
// missCost steps; what a step leaves to do counts by its distance. While the device is open, a step after which the two
// devices would read differently is worth a part of the step it saves.
func (p *planner) decide() Plan {
	now := [2]outcome{p.score(0, 0), p.score(1, 0)}
	landed, over, under, _ := p.mix(now)
	gap := p.medianGap()
	stay := Plan{Move: Wait, WaitMinutes: reread, PLanded: landed, POvershoot: over, PUnderFloor: under}
	p.dry = p.liquidless()
	n := p.reread()
	if n >= 2 {
		if out, step := p.takeBack(now); out > 0 {
			step.Move, step.Kg, step.WaitMinutes = Recover, out, p.settleTime(-out)
			return step
		}
	}
	amounts := p.amounts(p.named() && landed >= nearBand, p.tooMuch(now))
	miss := missCost * (1 + 0.5*p.share[1]) // a valve's band is the narrower one
	wet := p.o.y[chSH] < wetReading
	if wet { // liquid may be on its way to the compressor: nothing goes in, whatever explains it
		amounts = slices.DeleteFunc(amounts, func(kg float64) bool { return kg > 0 })
	}
	ahead := p.foresee(amounts)
	bestLanded, kg, step := p.choose(ahead, now, stay, 1)
	if (n >= 3 || p.changes() >= longJob) && landed < looseUnder && (kg == 0 || bestLanded < landed+0.02) {
		// Read three times, not there, and every step worth taking is a little over the limits: go by what is likelier.
		bestLanded, kg, step = p.choose(ahead, now, stay, looseLimits)
	}
	switch {
	case kg > 0 && !p.named() && (p.changes() > 0 || landed < asFound) && miss*p.regret(now) > probeSteps && p.probes(now, kg):
		// Go on: the step is taken.
	case landed >= nearBand && miss*(1-landed) <= 1+miss*(1-bestLanded):
		if n >= 2 && landed >= holdAt || n >= 3 && landed >= looseUnder || n >= 4 {
			stay.Move, stay.WaitMinutes = Hold, 0
		}
		return stay
	case p.changes() == 0 && landed >= asFound && bestLanded < landed+asFoundGain && n >= 2:
		if n >= 3 {
			stay.Move, stay.WaitMinutes = Hold, 0
		}
		return stay
	case n < 2 && landed >= nearBand, n < 3 && kg == 0:
		return stay
	case kg == 0:
		// Read three times and still no amount is within the limits: the smallest worth weighing moves on.
		kg = max(p.round(leastShare*p.full), p.g.StepKg)
		if gap < 0 {
			kg = -kg
		}
		if kg < 0 && !p.tooMuch(now) {
			stay.Move, stay.WaitMinutes = Hold, 0
			return stay
		}
		lead := p.lead()
		if kg > p.cap || kg > 0 && (wet || over > 0.3 && p.share[1] < leadAt || under > 0.3 || p.score(lead, kg).passes(now[lead])) {
			stay.Move, stay.WaitMinutes = Hold, 0
			return stay
		}
	}
	step.Move, step.Kg = Add, kg
	if kg < 0 {
		step.Move, step.Kg = Recover, -kg
	}
	step.WaitMinutes = p.settleTime(kg)
	return step
}

// regret is what ending the job now would lose for want of the device's name: the chance of standing outside the band of
// the device that does not lead, of what a job for that device could still land.
func (p *planner) regret(now [2]outcome) float64 {
	other := 1 - p.lead()
	return p.share[other] * max(couldLand-now[other].landed, 0)
}

// probes reports that the system, if it has the device that leads, stays in its band after kg, and that the other gains
// by it: such a step costs little and shows which of the two is inside.
func (p *planner) probes(now [2]outcome, kg float64) bool {
	lead := p.lead()
	return p.changes() < probeMost && now[lead].landed >= nearBand && p.score(lead, kg).landed >= now[lead].landed-probeLoss &&
		now[1-lead].remaining-p.score(1-lead, kg).remaining > probeGain
}

// takeBack is the amount, kg, whose recovery shows which device is inside where the one that leads stands in its band or
// past it, and either may be past its own: the first loses little, and both together come nearer. Zero when there is none.
func (p *planner) takeBack(now [2]outcome) (kg float64, step Plan) {
	lead := p.lead()
	other := 1 - lead
	if p.named() || p.dry || p.changes() >= probeMost || now[lead].short() > 1-nearBand {
		return 0, step
	}
	// What is too much for an orifice may be what a valve lacks.
	past := now[lead].over >= 1-nearBand && (lead == 1 || now[1].short() <= 1-nearBand)
	if !past && p.share[other]*now[other].over < takeBackAt {
		return 0, step
	}
	if fault, _ := p.b.fault(); fault > takeBackFault {
		return 0, step // it is not charge, perhaps: leave it alone
	}
	_, _, _, best := p.mix(now)
	amounts := slices.DeleteFunc(p.amounts(false, true), func(kg float64) bool { return kg > -tellingShare*p.full })
	for _, at := range p.foresee(amounts) {
		a, then := at.kg, at.then
		l, ov, un, left := p.mix(then)
		if then[lead].short() > now[lead].short()+probeLoss ||
			!past && now[other].remaining-then[other].remaining <= probeGain || left >= best {
			continue
		}
		best, kg = left, -a
		step.PLanded, step.POvershoot, step.PUnderFloor = l, ov, un
	}
	step.Tells = kg > 0
	return kg, step
}

// choose returns the amount of least cost of those ahead whose risks keep their limits, each widened by loose, and what
// it leads to; zero when none does.
func (p *planner) choose(ahead []prospect, now [2]outcome, stay Plan, loose float64) (bestLanded, kg float64, step Plan) {
	best := math.Inf(1)
	step = stay
	for _, at := range ahead {
		a, then, ok := at.kg, at.then, true
		for d := range 2 {
			if p.share[d] < ignoreUnder {
				continue
			}
			if a < 0 {
				if d == p.lead() && then[d].short() > loose*maxShort && -a > p.least() {
					ok = false // what comes out too much must go in again
				}
				continue
			}
			allow := func(limit float64) float64 { return loose * max(limit, 0.5*limit/p.share[d]) }
			flood := max(maxUnderFloor, 0.5*maxUnderFloor/p.share[d])
			over := then[d].over
			switch {
			case d == 0 && (p.dry || loose > 1 && p.share[d] < leadAt):
				over = 0 // passing an orifice's band that is probably not there does no harm, and without liquid it is not full: its floor still binds
			case d == 0 && p.share[d] < verdictAt:
				over = then[d].harm // it can be taken out again, and tells
			}
			if over > allow(maxOvershoot) || then[d].under-now[d].under > flood ||
				then[d].passes(now[d]) {
				ok = false
			}
		}
		if !ok {
			continue
		}
		l, ov, un, re := p.mix(then)
		cost := 1 + re - at.tells
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
