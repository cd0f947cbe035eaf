package charge

import (
	"math"
	"time"
)

// settled judges whether a reading shows the settled system: enough time after
// the last change, or steady readings before that.
func (st *state) settled(r *reading) bool {
	if r.sinceChange < 0 {
		return true // nothing was changed in this session
	}
	need := settleAfter
	if w := st.waitTold; w > 0 && w < need {
		need = w
	}
	if r.sinceChange >= need-settleSlack {
		return true
	}
	return r.sinceChange >= settleLeast && st.steady(r)
}

// steady compares r with an earlier reading after the same change.
func (st *state) steady(r *reading) bool {
	for i := len(st.readings) - 1; i >= 0; i-- {
		p := &st.readings[i]
		if p.N < st.changeN {
			return false
		}
		if r.At.Sub(p.At) < steadyApart {
			continue
		}
		near := func(a, b, by float64) bool { return !(math.Abs(a-b) > by) }
		return near(r.EvaporatingK, p.EvaporatingK, steadyEvap) && near(r.SuperheatK, p.SuperheatK, steadySuper) &&
			near(r.SubcoolingK, p.SubcoolingK, steadySub) && near(r.OutdoorK, p.OutdoorK, steadyTemp)
	}
	return false
}

// waitAfter is how long to wait after the last change, from the advice that
// led to it, or by the trade's habit.
func (st *state) waitAfter(d DeviceBelief) time.Duration {
	if st.waitTold > 0 {
		return st.waitTold
	}
	switch {
	case st.setup.Arrangement == Receiver:
		return adviseReceiver
	case d.Verdict == FixedOrifice:
		return adviseOrifice
	case d.Verdict == ExpansionValve:
		return adviseValve
	}
	return adviseStarved
}

// pending reports that the system was changed after the newest reading, or so
// shortly before it that it shows nothing settled yet.
func (st *state) pending() (unread, early bool) {
	if st.changeN == 0 {
		return false, false
	}
	r := st.newest()
	if r == nil || r.N < st.changeN {
		return true, false
	}
	return false, !r.Settled
}
