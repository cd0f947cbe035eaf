package charge

import "math"

// Where nobody goes again: a charge at which a limit was passed, and one from which some was taken back twice.

// bar is a charge at which a limit was read passed.
type bar struct {
	kg   float64 // net; NaN when there is none
	what string  // in words
	full bool    // the condenser was full of liquid
	sh   float64 // superheat read there, K
}

// barred is the bar of least charge over what is inside now, in air like that of
// now: nobody goes there again.
//
// A named valve sets its superheat whatever is inside, and one that hunts was at
// the bottom of its swing: neither bars anything by its floor.
func (c *sight) barred() bar {
	b := bar{kg: math.NaN()}
	if c.r == nil {
		return b
	}
	floor, _, _ := c.floor()
	most := c.subcoolingMost()
	floods := c.device.Verdict != ExpansionValve && !c.hunts()
	backs := c.st.setup.Arrangement != Receiver
	for i := range c.st.readings {
		p := &c.st.readings[i]
		same := !(math.Abs(p.OutdoorK-c.r.OutdoorK) > weatherMoved) && !(math.Abs(p.ReturnWetK-c.r.ReturnWetK) > floodWetBulb)
		if p.N < c.st.epochN() || !p.Settled || p.grave || !same || !(p.netKg > c.r.netKg) || p.netKg >= b.kg {
			continue
		}
		switch {
		case floods && p.SuperheatK < floor:
			b = bar{kg: p.netKg, what: "superheat was under its floor"}
		case backs && p.SubcoolingK > most:
			b = bar{kg: p.netKg, what: "subcooling was over its ceiling", full: true, sh: p.SuperheatK}
		}
	}
	return b
}

// room is what may be weighed in before b. Superheat falls to its floor late and
// steeply, and an orifice's band lies next to it; a condenser fills evenly, and
// half the way shows what the other half would do.
func (b bar) room(net, unit float64) float64 {
	if b.full {
		return 0.5 * (b.kg - net)
	}
	return b.kg - net - unit
}

// sawn reports a step that would put back, for the third time, what was taken
// out twice: the two charges have been tried, and neither was right. What was
// taken out for an orifice's sake goes in again once a valve is named.
func (d *decision) sawn(kg float64) bool {
	if d.device.Verdict == ExpansionValve && !d.wasOver() {
		return false
	}
	least, times := math.Inf(1), 0
	net, up := 0.0, false
	for _, w := range d.st.weighed {
		if w.kg < 0 && up && w.n >= d.st.epochN() {
			least = math.Min(least, net)
			times++
		}
		net, up = net+w.kg, w.kg > 0
	}
	return times >= sawnAt && kg > sawnShare*(least-net)
}

// wasOver reports subcooling that was over a valve's band with more inside than now.
func (d *decision) wasOver() bool {
	for i := range d.st.readings {
		p := &d.st.readings[i]
		if p.N >= d.st.epochN() && p.Settled && !p.grave && p.netKg > d.r.netKg && p.SubcoolingK > d.tg.valve.High {
			return true
		}
	}
	return false
}

// backedUp reports superheat over its band here, and over it as well where
// subcooling was over its ceiling: no charge between the two, nor beyond, puts it
// right.
func (d *decision) backedUp() bool {
	b := d.barred()
	return b.full && d.target.Of == OfSuperheat && d.r.SuperheatK > d.target.High && b.sh > d.target.High
}
