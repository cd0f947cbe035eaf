package charge

import (
	"math"
	"time"
)

// flooding answers superheat under its floor.
func (d *decision) flooding(v verdict, p proposal) {
	d.by = "superheat-floor"
	d.why("%s", v.says)
	switch {
	case otherThanCharge(d.lead.Name) && d.lead.P > floodingCause && (d.lead.P >= otherCauseSure || !d.asksFirst(p)):
		d.a.Action = Correct
		d.why("%s is the likely cause%s. %s", causeTitle(d.lead.Name), because(d.lead), d.lead.Look)
	case d.valveHolds():
		d.lowAtValve()
	case d.asFound() && d.device.Verdict == DeviceUnknown && d.r.SubcoolingK < starvedSubcool && v.room <= -floorMargin && !d.asksFirst(p):
		d.a.Action = Correct
		d.why("Subcooling is %s: too much charge would stand in the condenser. Look for a valve that hangs open or a loose bulb, too little air, a compressor that does not pump.", diffFine(d.r.SubcoolingK, d.u()))
	case d.asFound() && d.lead.Name != causeOver && d.other() >= floodingDoubt && v.room <= -floorMargin && !d.asksFirst(p):
		d.overfed()
	case d.net > 0 || d.lead.Name == causeOver || p.action == Recover:
		d.recover(p)
		d.why("Take a little back, wait, read again.")
	case d.asksFirst(p):
		d.ask(p)
	case v.room > -floorMargin && d.floorTwice(floorMargin):
		d.a.Action = Stop
		d.why("It stands at its floor with nothing weighed in: leave the charge as it is.")
		if d.unnamed() {
			d.why("See which device is inside and enter it: an orifice may have too much.")
		}
	case v.room > -floorMargin:
		d.wait(d.st.now.Add(rereadAfter), d.st.now)
		d.why("Within what clamp and gauge may be off: read again.")
	default:
		d.overfed()
	}
}

// overfed answers superheat far under its floor as found, with nothing that
// speaks of too much charge.
func (d *decision) overfed() {
	d.a.Action = Correct
	d.why("Nothing went in, so look for too little air, a cold room, a device that overfeeds (bulb loose, orifice not seated) or a compressor that does not pump.")
}

// valveHolds reports an expansion valve with no more subcooling than its band:
// superheat is the valve's doing then, and taking charge back would not raise it.
func (d *decision) valveHolds() bool {
	t := d.tg.valve
	return d.device.Verdict == ExpansionValve && t.Defined && d.r.SubcoolingK <= t.High
}

// lowAtValve answers superheat under its floor at a valve that is not
// overcharged. One low reading may be the bottom of a swing.
func (d *decision) lowAtValve() {
	switch {
	case d.floorTwice(floorMargin) && d.r.SubcoolingK >= d.tg.valve.Low:
		d.a.Action = Stop
		d.why("Subcooling is in its band: leave the charge. The valve sets superheat; look at its bulb, clamp and insulation.")
	case d.rereads() >= swingReadings, d.r.SuperheatK < swingLowest && d.underTwice(swingLowest):
		d.a.Action = Correct
		d.why("The valve lets too much through, and charge does not change that: look at its bulb, clamp and insulation.")
	default:
		// No two waits alike, or a swing that keeps step with them looks steady.
		d.wait(d.st.now.Add(rereadAfter-time.Duration(d.rereads())*time.Minute), d.st.now)
		d.why("A valve swings and charge does not set its superheat: read again.")
	}
}

// floorTwice reports the reading before at the same charge no more than margin
// over the floor as well.
func (d *decision) floorTwice(margin float64) bool {
	limit, _, _ := d.floor()
	return d.underTwice(limit + margin)
}

// underTwice reports superheat under limit in the reading before at the same
// charge as well.
func (d *decision) underTwice(limit float64) bool {
	n := len(d.st.readings)
	if n < 2 {
		return false
	}
	p := &d.st.readings[n-2]
	return p.moved == d.r.moved && !p.grave && p.SuperheatK < limit
}

// recover offers to take some out: what the belief would, else half a step.
func (d *decision) recover(p proposal) {
	a := d.a
	a.Action = Recover
	a.AmountKg, a.Wait = p.kg, p.wait
	if p.action != Recover || !(a.AmountKg > 0) {
		d.halfStep()
		a.Action = Recover
	}
	// Where the last addition took superheat under its floor, that much comes out again and no more.
	limit, _, _ := d.floor()
	if b := d.before(); b != nil && b.netKg < d.r.netKg && b.SuperheatK >= limit && d.r.SuperheatK < limit {
		a.AmountKg = math.Min(a.AmountKg, d.r.netKg-b.netKg)
	}
}
