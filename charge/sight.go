package charge

import "math"

// sight is what one answer is judged from: the newest reading, the air, the
// device as believed, the targets, the totals. It is made once an answer.
type sight struct {
	st     *state
	last   *reading // newest, nil before the first
	r      *reading // newest that may be believed, nil before the first
	air    ambient
	device DeviceBelief
	tg     targets
	target Target
	net    float64
	added  float64
	causes []Cause
	lead   Cause // most likely
}

func (st *state) look() *sight {
	c := &sight{st: st, last: st.newest(), r: st.believed(), air: st.ambient(), device: st.mind.device(st)}
	c.tg = st.targets(c.air)
	c.target = c.tg.rules(c.device)
	c.net, c.added, _ = st.totals()
	c.causes = st.mind.causes(c)
	if len(c.causes) > 0 {
		c.lead = c.causes[0]
	}
	return c
}

// starved reports superheat well up with no liquid to speak of at the device.
func (c *sight) starved() bool {
	if c.r == nil {
		return false
	}
	over := starvedSuperheat
	if t := c.tg.orifice; t.Defined && t.High > over {
		over = t.High
	}
	return c.r.SuperheatK > over && !(c.r.SubcoolingK > starvedSubcool+starvedSlack)
}

// likely is the probability of a cause.
func (c *sight) likely(name string) float64 {
	for _, k := range c.causes {
		if k.Name == name {
			return k.P
		}
	}
	return 0
}

// other is the probability of all causes together that refrigerant does not
// mend.
func (c *sight) other() float64 {
	p := 0.0
	for _, k := range c.causes {
		if otherThanCharge(k.Name) {
			p += k.P
		}
	}
	return p
}

// suspect is the likeliest cause other than charge; its P is 0 when there is none.
func (c *sight) suspect() Cause {
	for _, k := range c.causes {
		if otherThanCharge(k.Name) {
			return k
		}
	}
	return Cause{}
}

// valve reports a valve stated or likely enough to pick limits by.
func (c *sight) valve() bool { return c.device.ExpansionValve >= deviceLikely }

// headControlled reports a receiver system in air so cool that its
// head-pressure control is expected to act: condensing then says nothing of
// the condenser.
func (st *state) headControlled(r *reading) bool {
	return st.setup.Arrangement == Receiver && r != nil && r.OutdoorK < fahrenheit(headControlActs)
}

// floor is the hard superheat limit that fits the system, with where it holds
// and the warning line above it.
func (c *sight) floor() (limit, warn float64, source string) {
	switch {
	case !c.st.comfort() && (c.st.setup.Arrangement == CriticalCharge || c.device.Verdict == FixedOrifice):
		return floorInlet, warnInlet, srcOwn
	case !c.st.comfort():
		return floorCoil, warnCoil, srcOwn
	}
	return floorComfort, warnComfort, srcChart
}

// subcoolingMost is the most subcooling the system may show.
func (c *sight) subcoolingMost() float64 {
	most := subcoolingMost
	if s := c.st.setup.TargetSubcooling; s.IsValid() {
		most = s.Kelvins() + subcoolingOver
		if c.device.FixedOrifice > orificeMay {
			most = math.Max(most, subcoolingMost)
		}
	}
	return most
}

// response is the settled reading to compare the newest one with: at least so
// many weighings ago, more having gone in than out since. nil without one.
func (c *sight) response(least int) *reading { return c.weighedSince(least, 0) }

// weighedSince is the newest settled reading at least so many weighings and so
// much net charge before the newest one. nil without one.
func (c *sight) weighedSince(least int, kg float64) *reading {
	if c.r == nil || !c.r.Settled || c.r.grave {
		return nil
	}
	rs := c.st.readings
	for i := len(rs) - 2; i >= 0 && rs[i].N >= c.st.epochN(); i-- {
		if p := &rs[i]; p.Settled && !p.grave && c.r.moved-p.moved >= least && c.r.netKg > p.netKg && c.r.netKg-p.netKg >= kg-1e-9 {
			return p
		}
	}
	return nil
}

// epochN is the event since which the system is the same one: the last thing
// put right.
func (st *state) epochN() int {
	if st.changeKg == 0 {
		return st.changeN
	}
	n := 0
	for item, f := range st.checks {
		if f.state == CheckCorrected && movesAir(item) && f.n > n && len(st.readings) > 0 && st.readings[0].N < f.n {
			n = f.n
		}
	}
	return n
}

// splitExpected is the usual return-to-supply difference in K of a comfort
// system at about 400 cfm a ton, for return dry and wet bulb in K. A
// second-degree surface through the target temperature split table of the
// California appendix RA3.2 (table RA3.2-3, recalled, not seen), within 0.06 °F
// of its 356 numbers: 18 °F at 80/67 °F, less when humid.
func splitExpected(dryK, wetK float64) float64 {
	d, w := (dryK-zeroF)/perF-77, (wetK-zeroF)/perF-63
	return (19.70 + 0.5444*d - 0.6784*w - 0.02281*w*w) * perF
}

// splitLimit is the largest difference in K from return to supply that enough
// air gives: dry air gives more.
func (r *reading) splitLimit() float64 {
	if dry := splitExpected(r.ReturnDryK, r.ReturnWetK) + splitOver; dry > splitMost {
		return dry
	}
	return splitMost
}
