package belief

import (
	"math"
	"math/rand/v2"
	"slices"
	"sync"
)

// Belief is what the readings so far say of one system. It is a value of its session alone: the same readings in the
// same order give the same belief. It is not safe for concurrent use. Use New.
type Belief struct {
	unit     Unit
	readings []Reading
	history  []observation
	hyps     []*hypothesis
	samples  [2][]sample // drawn lazily from the members, orifice then valve
	told     bool        // the readings can tell the devices apart (see tell)
	held     bool        // superheat was seen to hold
	obeyed   bool        // and to go against the charge
	swung    bool        // and to swing
	posted   []float64   // posterior of the hypotheses, nil until asked for
	wary     int         // charges left to look at twice, since a reading came that no hypothesis expected
	guessed  bool        // the first reading lacked the air and it was guessed
	glanced  bool        // the mark of a full reading was taken in
}

// New returns the belief before any reading. It does no work until the first reading.
func New(u Unit) *Belief {
	return &Belief{unit: u}
}

// Clone returns an independent copy.
func (b *Belief) Clone() *Belief { return b.CloneOver(nil) }

// CloneOver is Clone in the memory of old, a copy of an earlier day of b that is not used any more; nil for none.
func (b *Belief) CloneOver(old *Belief) *Belief {
	c := *b
	c.readings = slices.Clone(b.readings)
	c.history = slices.Clone(b.history)
	c.hyps = make([]*hypothesis, len(b.hyps))
	var wait sync.WaitGroup
	for i, h := range b.hyps {
		wait.Go(func() {
			k := *h
			k.unit = &c.unit
			var members []member
			if old != nil && i < len(old.hyps) {
				members = old.hyps[i].members[:0]
			}
			k.members, k.spare, k.lots = append(members, h.members...), nil, slices.Clone(h.lots)
			c.hyps[i] = &k
		})
	}
	wait.Wait()
	c.samples = [2][]sample{}
	return &c
}

// Observe folds a reading in. A reading without superheat and subcooling tells nothing and is passed over.
func (b *Belief) Observe(r Reading) {
	if !given(r.SuperheatK) && !given(r.SubcoolingK) {
		return
	}
	b.samples = [2][]sample{}
	b.readings = append(b.readings, r)
	if b.guessed && given(r.OutdoorK) && given(r.ReturnDryK) && given(r.ReturnWetK) {
		b.refold()
		return
	}
	b.fold(r)
}

// refold starts again from the readings, the air of the first taken from the first that has it.
func (b *Belief) refold() {
	all := b.readings
	last := all[len(all)-1]
	*b = Belief{unit: b.unit, readings: all}
	for i, r := range all {
		if i < len(all)-1 {
			fill := func(x *float64, from float64) {
				if !given(*x) {
					*x = from
				}
			}
			fill(&r.OutdoorK, last.OutdoorK)
			fill(&r.ReturnDryK, last.ReturnDryK)
			fill(&r.ReturnWetK, last.ReturnWetK)
		}
		b.fold(r)
	}
}

func (b *Belief) fold(r Reading) {
	o := b.observe(r)
	b.history = append(b.history, o)
	b.posted = nil
	defer func() { b.posted = nil }()
	if len(b.hyps) > 0 {
		best := math.Inf(-1)
		for _, h := range b.hyps {
			best = max(best, h.weight())
		}
		past := recent(b.history)
		before := make([]float64, len(b.hyps))
		for i, h := range b.hyps {
			before[i] = h.evidence
		}
		b.each(func(h *hypothesis) { h.update(b.history, past, h.weight() < best-hopeless) })
		gain := math.Inf(-1)
		for i, h := range b.hyps {
			gain = max(gain, h.evidence-before[i])
		}
		if n := len(b.history); b.wary > 0 && b.history[n-2].netKg != o.netKg {
			b.wary--
		}
		if gain < shockUnder {
			b.wary = wariness
		}
		b.calm(before)
		b.tell()
		if b.unit.Device == Unknown && !b.told {
			b.temper(before)
		}
		b.posted = nil
		b.glance(r)
		b.restrain()
		return
	}
	b.hyps = hypotheses(&b.unit)
	b.draws()
	b.glance(r)
	b.restrain()
}

// draws draws the members of every hypothesis given the first reading, and more of those in the running whose evidence
// would hang on a few.
func (b *Belief) draws() {
	first := &b.history[0]
	b.each(func(h *hypothesis) { h.draw(h.count(), first) })
	for range moreDraws {
		best := math.Inf(-1)
		for _, h := range b.hyps {
			best = max(best, h.weight())
		}
		b.each(func(h *hypothesis) {
			if h.weight() > best-inTheRunning && h.vague() {
				h.draw(h.count(), first)
			}
		})
	}
	b.each(func(h *hypothesis) { h.settle(h.count(), b.history) })
}

// each works on every hypothesis, side by side; each has its own random stream, so the outcome does not depend on how.
func (b *Belief) each(f func(*hypothesis)) {
	var wait sync.WaitGroup
	for _, h := range b.hyps {
		wait.Go(func() { f(h) })
	}
	wait.Wait()
}

// recent is the history the moves are judged by: all of it while short, else the first reading and the latest, which
// keeps an event's cost bounded.
func recent(all []observation) []observation {
	if len(all) <= historyMost {
		return all
	}
	out := make([]observation, 0, historyMost)
	out = append(out, all[0])
	// Of readings repeated at one charge only the last is kept, from the front, until few enough are left.
	drop := len(all) - historyMost
	for i := 1; i < len(all); i++ {
		if drop > 0 && i+1 < len(all) && all[i+1].netKg == all[i].netKg {
			drop--
			continue
		}
		out = append(out, all[i])
	}
	if over := len(out) - historyMost; over > 0 {
		out = append(out[:1], out[1+over:]...)
	}
	return out
}

// hypotheses lists every pair of device and cause with its prior.
func hypotheses(u *Unit) []*hypothesis {
	level, sd := u.dischargeOver()
	if u.Application != Comfort {
		level += 8 * degF
		sd *= 1.5
	}
	po := orificePrior(u)
	pDevice := map[Device]float64{FixedOrifice: po, ExpansionValve: 1 - po}
	if u.Device != Unknown {
		for d := range pDevice {
			pDevice[d] = 1 - statedTrust
		}
		pDevice[u.Device] = statedTrust
	}
	var out []*hypothesis
	for _, d := range []Device{FixedOrifice, ExpansionValve} {
		for c := causeNone; c < causes; c++ {
			p := priorFault
			switch {
			case c == causeNone:
				p = 1 - float64(causes-1)*priorFault
			case c == causeAirflow && !u.AirSideChecked, c == causeCondenser && !u.CondenserChecked:
				p *= priorUnlooked
			}
			out = append(out, &hypothesis{device: d, cause: c, unit: u, dischargeLevel: level, dischargeSD: sd, rng: *rand.NewPCG(seed+u.Stream, uint64(len(out))),
				prior: math.Log(p) + math.Log(pDevice[d])})
		}
	}
	return out
}

// orificePrior is the probability of a fixed orifice before any reading.
func orificePrior(u *Unit) float64 {
	switch {
	case u.Application == Comfort:
		return priorOrifice
	case u.NameplateKg > smallSystem, u.CapacityW > smallBox*ton:
		return priorOrificeBig
	}
	return priorOrificeBox
}

// observe turns a reading into an observation, filling air that was not taken from the last reading that has it.
func (b *Belief) observe(r Reading) observation {
	o := observation{netKg: r.NetKg, change: r.SinceChange, time: r.Minutes}
	if !given(o.time) {
		o.time = 0
	}
	box := b.unit.Application != Comfort
	air := func(x float64, last func(*observation) float64, guess float64) float64 {
		if given(x) {
			return x
		}
		if n := len(b.history); n > 0 {
			return last(&b.history[n-1])
		}
		b.guessed = true
		return guess
	}
	dry, depression := zeroF+76*degF, 12*degF
	if box {
		dry, depression = zeroF+37*degF, 3*degF
		if b.unit.Application == LowTemperature {
			dry = zeroF
		}
	}
	o.w.out = air(r.OutdoorK, func(o *observation) float64 { return o.w.out }, zeroF+85*degF)
	o.w.dry = air(r.ReturnDryK, func(o *observation) float64 { return o.w.dry }, dry)
	o.w.wet = air(r.ReturnWetK, func(o *observation) float64 { return o.w.wet }, o.w.dry-depression)
	o.w.wet = min(o.w.wet, o.w.dry)

	o.y[chSH], o.y[chSC] = r.SuperheatK, r.SubcoolingK
	o.y[chEvap] = r.EvaporatingK - r.ReturnDryK
	o.y[chCond] = r.CondensingK - r.OutdoorK
	o.y[chSplit] = r.ReturnDryK - r.SupplyDryK
	if r.Ice {
		o.y[chSplit] = math.NaN()
	}
	o.y[chDisch] = r.DischargeK - r.CondensingK

	suction, liquid := pressureError(r.SuctionPa, r.SuctionSlopeKPerPa, 0.7*degF), pressureError(r.LiquidPa, r.LiquidSlopeKPerPa, 0.7*degF)
	sq := func(x float64) float64 { return x * x }
	set := func(c int, bias, noise float64) { o.bias[c], o.noise[c] = bias, noise }
	set(chSH, sq(clampBias)+sq(suction*gaugeBias), sq(clampNoise)+sq(suction*gaugeNoise)+sq(airNoise))
	set(chSC, sq(clampBias)+sq(liquid*gaugeBias), sq(clampNoise)+sq(liquid*gaugeNoise))
	set(chEvap, sq(airBias)+sq(suction*gaugeBias), sq(airNoise)+sq(suction*gaugeNoise)+sq(airNoise))
	set(chCond, sq(airBias)+sq(liquid*gaugeBias), sq(airNoise)+sq(liquid*gaugeNoise)+sq(0.3*airNoise))
	set(chSplit, 2*sq(airBias), 3*sq(airNoise))
	set(chDisch, sq(clampBias)+sq(liquid*gaugeBias), sq(clampNoise)+sq(liquid*gaugeNoise))
	return o
}

// pressureError is the change of saturation temperature for a relative gauge error of one, K.
func pressureError(pa, slope, otherwise float64) float64 {
	if given(pa) && given(slope) && pa > 0 {
		return max(pa-101325, 101325) * slope
	}
	return otherwise / gaugeBias
}

// DevicePosterior is the probability of each device. Verdict is Unknown while neither reaches 0.95.
type DevicePosterior struct {
	FixedOrifice, ExpansionValve float64
	Verdict                      Device
}

// Device returns the probability of each metering device.
func (b *Belief) Device() DevicePosterior {
	if len(b.hyps) == 0 {
		po := orificePrior(&b.unit)
		p := DevicePosterior{FixedOrifice: po, ExpansionValve: 1 - po}
		switch b.unit.Device {
		case FixedOrifice:
			p = DevicePosterior{statedTrust, 1 - statedTrust, FixedOrifice}
		case ExpansionValve:
			p = DevicePosterior{1 - statedTrust, statedTrust, ExpansionValve}
		}
		return p
	}
	d := b.inferred()
	if b.unit.Device == Unknown {
		if !b.shows(FixedOrifice) {
			d.FixedOrifice = min(d.FixedOrifice, untoldAt)
		}
		if !b.shows(ExpansionValve) {
			d.FixedOrifice = max(d.FixedOrifice, 1-untoldAt)
		}
		d.ExpansionValve = 1 - d.FixedOrifice
	}
	switch {
	case d.FixedOrifice >= verdictAt:
		d.Verdict = FixedOrifice
	case d.ExpansionValve >= verdictAt:
		d.Verdict = ExpansionValve
	}
	return d
}

// inferred is the device posterior of the members alone.
func (b *Belief) inferred() DevicePosterior {
	p := b.posterior()
	var d DevicePosterior
	for i, h := range b.hyps {
		if h.device == FixedOrifice {
			d.FixedOrifice += p[i]
		} else {
			d.ExpansionValve += p[i]
		}
	}
	return d
}

// posterior is the probability of each hypothesis.
func (b *Belief) posterior() []float64 {
	if b.posted != nil {
		return b.posted
	}
	w := make([]float64, len(b.hyps))
	for i, h := range b.hyps {
		w[i] = h.weight()
	}
	t := logSumExp(w)
	for i := range w {
		w[i] = math.Exp(w[i] - t)
	}
	b.posted = w
	return w
}
