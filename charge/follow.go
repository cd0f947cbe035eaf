package charge

import (
	"fmt"
	"math"
	"time"
)

// follow turns what the belief proposes into the answer.
func (d *decision) follow(p proposal) {
	a := d.a
	a.Action, a.Wait = p.action, p.wait
	// A subcooling target stands; that of superheat moves with the air and its two thermometers, and is read more often.
	enough := 3
	if d.target.Of == OfSubcooling {
		enough = 2
	}
	step, rereads := p.action == Add || p.action == Recover, d.rereads()
	switch {
	case step && d.centred() && rereads >= enough, p.action == Wait && p.landed >= doneAt && d.heldBand():
		d.done("In band over two settled readings. Done.")
		return
	case p.action == Add && d.onlyRecovered() && rereads >= 2:
		d.done(fmt.Sprintf("In band with %s less than it was found with: none of that goes back to chase a degree. Done.", mass(-d.net, d.u())))
		return
	case step && d.near() && d.target.Of == OfSubcooling && rereads < enough, p.action == Add && d.onlyRecovered():
		p.action, p.wait, a.Action = Wait, rereadAfter, Wait
	}
	switch p.action {
	case Measure:
		d.ask(p)
	case Wait:
		if d.likelyDone() {
			d.done("An orifice is likely, and more could flood it: stop and watch.")
			return
		}
		d.wait(d.st.now.Add(max(p.wait, time.Minute)), d.st.now)
		if d.inBand() {
			d.why("%s In band: read once more to be sure.", d.where())
		} else {
			d.why("%s Read again before anything goes in.", d.where())
		}
	case Add:
		if d.backedUp() {
			a.Action, a.Wait, d.by = Correct, 0, "other-cause"
			d.why("%s It stays there while the condenser fills with liquid: look for a restriction (drier, strainer, a device blocked or too small).", d.where())
			d.whyNoMore()
			return
		}
		if d.sawn(p.kg) {
			a.Action, a.Wait = Stop, 0
			d.why("%s Twice more was weighed in from here and taken back: stop and watch.", d.where())
			d.whyNoMore()
			if d.unnamed() {
				d.why("See which device is inside and enter it: that may allow a step.")
			}
			return
		}
		a.AmountKg = p.kg
		d.why("%s", d.where())
		d.why("%s", d.whyStep(p))
	case Recover:
		if d.airFirst() {
			d.a.Action, d.by = Correct, "other-cause"
			d.why("%s %s", d.where(), airFirstText)
			return
		}
		d.recover(p)
		if p.tells {
			d.whyTell(p)
			return
		}
		if d.target.Of == OfSuperheat && d.inBand() {
			d.why("%s Its floor is too near: take a little back, wait, read again.", d.where())
			return
		}
		d.why("%s Take some back, wait, read again.", d.where())
	case Stop:
		if d.inBand() {
			a.Done = true
			d.why("%s Done.", d.where())
			d.whyLook()
			d.whyNoMore()
		} else if b := d.barred(); given(b.kg) {
			d.why("%s Stop and watch.", d.where())
			d.whyNoMore()
		} else {
			d.why("%s No further step is safe under what is known: stop and watch.", d.where())
			if d.unnamed() {
				d.why("See which device is inside and enter it: that may allow one.")
			}
		}
	case Correct:
		d.by = "other-cause"
		for _, k := range d.causes {
			if k.Name == p.cause {
				d.why("%s explains the readings better than charge does%s. %s", causeTitle(k.Name), because(k), k.Look)
			}
		}
	}
}

// done ends the job where it stands, and says why.
func (d *decision) done(why string) {
	d.a.Action, d.a.Wait, d.a.Done = Stop, 0, true
	d.why("%s %s", d.where(), why)
	d.whyLook()
}

// whyNoMore says at which charge a limit was passed.
func (d *decision) whyNoMore() {
	if b := d.barred(); given(b.kg) {
		d.why("With %s more in, %s: do not go back there.", mass(b.kg-d.r.netKg, d.u()), b.what)
	}
}

// inBand reports the newest reading inside the target band.
func (d *decision) inBand() bool {
	t := d.target
	switch t.Of {
	case OfSuperheat:
		return t.Defined && d.r.SuperheatK >= t.Low && d.r.SuperheatK <= t.High
	case OfSubcooling:
		return t.Defined && d.r.SubcoolingK >= t.Low && d.r.SubcoolingK <= t.High
	case OfSightGlass:
		return d.r.Glass == GlassClear
	}
	return false
}

// near reports a named device and the newest reading within half the tolerance
// of the middle: what is left is read again before it is weighed in.
func (d *decision) near() bool { return d.within(nearMiddle) }

// centred reports a named device and the newest reading so close to the middle
// that the last degree is not worth chasing. That is less of the tolerance of
// subcooling, which is hardly wider than clamp and gauge may be off, unless the
// system was found in its band.
func (d *decision) centred() bool {
	if d.target.Of == OfSubcooling && !d.foundInBand() {
		return d.within(centreSubcooling)
	}
	return d.near()
}

// foundInBand reports that the first settled reading since the job began, or
// since something was put right, was in the target band.
func (d *decision) foundInBand() bool {
	of, _ := d.aimed()
	for i := range d.st.readings {
		if p := &d.st.readings[i]; p.N >= d.st.epochN() && p.Settled && !p.grave {
			return of(p) >= d.target.Low-readRounding && of(p) <= d.target.High+readRounding
		}
	}
	return false
}

// within reports a named device and the newest reading in its band, no further
// from the middle than a share of the tolerance.
func (d *decision) within(share float64) bool {
	if d.device.Verdict == DeviceUnknown || !d.inBand() || d.target.Of == OfSightGlass {
		return false
	}
	of, tolerance := d.aimed()
	return math.Abs(of(d.r)-d.target.Mid) <= share*tolerance
}

// onlyRecovered reports a named device well in its band, which some was taken
// out of and nothing weighed into.
func (d *decision) onlyRecovered() bool {
	share := takenOut
	if d.target.Of == OfSubcooling {
		share = nearMiddle
	}
	return d.added == 0 && d.net < 0 && d.within(share)
}

// aimed is what the target is of, and its tolerance.
func (d *decision) aimed() (of func(r *reading) float64, tolerance float64) {
	tolerance = d.target.High - d.target.Mid // half of it at the chart's edge
	of = func(r *reading) float64 { return r.SuperheatK }
	if d.target.Of == OfSubcooling {
		of = func(r *reading) float64 { return r.SubcoolingK }
	}
	return of, tolerance
}

// heldBand reports a centred reading and the settled one before it in the band
// as well: the state holds.
func (d *decision) heldBand() bool {
	if !d.centred() {
		return false
	}
	of, _ := d.aimed()
	for i := len(d.st.readings) - 2; i >= 0 && d.st.readings[i].N >= d.st.epochN(); i-- {
		if p := &d.st.readings[i]; p.Settled && !p.grave && d.r.At.Sub(p.At) >= readApart {
			return of(p) >= d.target.Low && of(p) <= d.target.High
		}
	}
	return false
}

// rereads counts the settled readings at the present charge. Two in the same
// minute are one.
func (d *decision) rereads() int {
	n, last := 0, d.r.At
	d.here(func(p *reading) {
		if n == 0 || last.Sub(p.At) >= readApart {
			n, last = n+1, p.At
		}
	})
	return n
}

// halfStep offers half the most of a step, in.
func (d *decision) halfStep() {
	unit := d.st.stepUnit()
	d.a.Action = Add
	d.a.AmountKg = math.Max(math.Floor(0.5*d.st.stepMost()/unit+1e-9)*unit, unit)
	d.a.Wait = d.st.waitAfter(d.device)
}

// likelyDone reports a device not named yet that is likely an orifice, with
// superheat fallen into the lower half of its band over two readings, well into
// it where there is little liquid yet: a valve would be holding, and the next
// step could only be for a valve.
func (d *decision) likelyDone() bool {
	t, p := d.tg.orifice, d.before()
	if !d.st.comfort() || d.device.Verdict != DeviceUnknown || d.device.FixedOrifice < likelyAt || p == nil || !t.Defined || p.SuperheatK <= d.r.SuperheatK {
		return false
	}
	most := t.Mid - superheatBand/2
	if d.r.SubcoolingK >= verdictSubcool || d.device.FixedOrifice >= verdictAt {
		most = t.Mid
	}
	return d.rereads() >= 2 && d.r.SubcoolingK >= likelySubcool && d.r.SuperheatK >= t.Low && d.r.SuperheatK <= most
}
