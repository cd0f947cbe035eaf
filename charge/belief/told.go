package belief

import "math"

// What the readings can tell of the device, and what they are kept from saying while they cannot.

// tell looks for what tells in the newest reading. What has been seen stays seen. A starved valve is wide open and answers
// like an orifice: until liquid has been seen at the clamp, or superheat has held still against an addition, or has swung,
// the members differ by what they assume and no verdict is given.
func (b *Belief) tell() {
	b.obeyed = b.obeyed || b.obeys()
	b.swung = b.swung || b.swings()
	if b.held {
		return
	}
	liquid := b.history[len(b.history)-1].y[chSC] >= toldSubcooling && b.answered()
	b.held = b.swung || b.still() || liquid && !b.falling()
	b.told = b.told || liquid || b.held
}

// shows reports whether the readings can show device d. A valve is shown by superheat that holds: while it falls with what
// goes in, it may as well be an orifice that fills. An orifice is shown by superheat that falls with what goes in.
func (b *Belief) shows(d Device) bool {
	if d == FixedOrifice {
		return b.told && b.obeyed
	}
	return b.told && b.held
}

// obeys reports superheat that went against the charge between the newest reading and one before: down as some went in,
// or up as some came out.
func (b *Belief) obeys() bool {
	n := len(b.history)
	o := &b.history[n-1]
	for i := range b.history[:n-1] {
		q := &b.history[i]
		kg, moved := o.netKg-q.netKg, o.y[chSH]-q.y[chSH]
		if kg > 0 && moved <= -toldObeys || kg < 0 && moved >= toldObeys {
			return true
		}
	}
	return false
}

// still reports superheat that has held against an addition, by the newest reading.
func (b *Belief) still() bool {
	n := len(b.history)
	o := &b.history[n-1]
	full := 0.0
	for j := range b.history[:n-1] {
		q := &b.history[j]
		kg := math.Abs(o.netKg - q.netKg)
		if kg == 0 || math.Abs(o.y[chSH]-q.y[chSH]) >= toldStill || !o.sameAir(q) {
			continue
		}
		if full == 0 {
			full = b.fullKg(0.5)
		}
		if kg >= toldShare*full && b.inferred().ExpansionValve >= 0.5 { // only a valve holds: slow falling speaks for no orifice
			return true
		}
	}
	return false
}

// sameAir reports readings whose superheat may be compared as it stands.
func (o *observation) sameAir(q *observation) bool {
	return math.Abs(o.w.out-q.w.out) < sameOutdoor && math.Abs(o.w.wet-q.w.wet) < sameWetBulb
}

// falling reports superheat that fell with what went in last.
func (b *Belief) falling() bool {
	n := len(b.history)
	o := &b.history[n-1]
	for j := n - 2; j >= 0; j-- {
		if q := &b.history[j]; q.netKg != o.netKg {
			return q.netKg < o.netKg && q.y[chSH]-o.y[chSH] > toldFall
		}
	}
	return false
}

// Swings reports superheat that has moved between two readings in the same air as only a valve that hunts moves it.
func (b *Belief) Swings() bool { return b.swung }

// swings looks at the newest reading against those before: no orifice moves its superheat further than its charge between
// them, and what they had still to settle, account for at the steepest. A starved valve is wide open and does not swing.
func (b *Belief) swings() bool {
	n := len(b.history)
	o := &b.history[n-1]
	full := 0.0
	for j := range b.history[:n-1] {
		q := &b.history[j]
		up := o.y[chSH] - q.y[chSH]
		if !(math.Abs(up) > swingLeast) || min(o.y[chSH], q.y[chSH]) > swingMost || !o.sameAir(q) || !(math.Abs(o.y[chSC]-q.y[chSC]) < swingSubcool) {
			continue
		}
		if full == 0 {
			full = b.fullKg(smallFull)
		}
		// The most that superheat may rise and fall from the one to the other.
		rise, fall := swingLeast, swingLeast
		account := func(kg float64) {
			if k := swingSteepest * kg / full; k > 0 {
				fall += k
			} else {
				rise -= k
			}
		}
		account(o.netKg - q.netKg)
		account(-b.unsettledKg(n - 1))
		account(b.unsettledKg(j))
		if up > rise || -up > fall {
			return true
		}
	}
	return false
}

// unsettledKg is how much of the last change of charge reading i had not answered yet, at the slowest.
func (b *Belief) unsettledKg(i int) float64 {
	o := &b.history[i]
	for j := i - 1; j >= 0; j-- {
		if kg := o.netKg - b.history[j].netKg; kg != 0 {
			return kg * math.Exp(-o.change/settleSlow)
		}
	}
	return 0
}

// answered reports readings at two charges at least: a level alone names no device.
func (b *Belief) answered() bool {
	for i := range b.history {
		if b.history[i].netKg != b.history[0].netKg {
			return true
		}
	}
	return false
}

// fullKg is the p-quantile of the mass of a full charge.
func (b *Belief) fullKg(p float64) float64 {
	var v weighted
	post := b.posterior()
	for i, h := range b.hyps {
		if post[i] < 1e-3 {
			continue
		}
		for k := range h.members {
			v = append(v, weigh{h.members[k].kg, post[i] * math.Exp(h.members[k].logw)})
		}
	}
	return v.at(p)[0]
}

// restrain keeps the evidence of the devices from running ahead of what the readings can tell (see tell): what is
// gathered from a starved system is what the members assume of starved systems, and must stay within reach of the first
// reading that does tell.
func (b *Belief) restrain() {
	if b.unit.Device != Unknown {
		return
	}
	d := b.inferred()
	lead, p := FixedOrifice, d.FixedOrifice
	if d.ExpansionValve > p {
		lead, p = ExpansionValve, d.ExpansionValve
	}
	if p <= restrainAt || b.shows(lead) {
		return
	}
	over := math.Log(p/max(1-p, 1e-300)) - math.Log(restrainAt/(1-restrainAt))
	for _, h := range b.hyps {
		if h.device == lead {
			h.evidence -= over
		}
	}
	b.posted = nil
}

// temper lets the devices gain on each other only in part while the readings cannot tell them apart (see tell): a
// starved valve is an orifice, and what differs between the members then is what they assume.
func (b *Belief) temper(before []float64) {
	prior := [2][]float64{}
	after := [2][]float64{}
	for i, h := range b.hyps {
		d := h.device - FixedOrifice
		prior[d] = append(prior[d], h.prior+before[i])
		after[d] = append(after[d], h.weight())
	}
	gain := (logSumExp(after[0]) - logSumExp(prior[0])) - (logSumExp(after[1]) - logSumExp(prior[1]))
	for _, h := range b.hyps {
		if h.device == FixedOrifice {
			h.evidence -= (1 - untoldShare) * gain
		}
	}
}

// calm lets a cause gain or lose only in part on charge alone by how its curves follow the path of a session: between
// causes it is the levels of the first readings that tell, while the paths differ by less than the curves err. It is a
// likelihood raised to a power under a model known to be wrong (Gruenwald 2012).
func (b *Belief) calm(before []float64) {
	none := map[Device]float64{}
	for i, h := range b.hyps {
		if h.cause == causeNone {
			none[h.device] = h.evidence - before[i]
		}
	}
	for i, h := range b.hyps {
		gain := h.evidence - before[i]
		h.evidence = before[i] + none[h.device] + pathShare*(gain-none[h.device])
	}
}
