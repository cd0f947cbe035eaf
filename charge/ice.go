package charge

import (
	"fmt"

	"chargehand/charge/belief"
)

// mayIce reports a reading of a comfort system so starved that its coil runs
// under freezing: ice may keep the air out, and what the split says of fan and
// filter is worth nothing until charge has brought the coil back.
func (st *state) mayIce(r *reading) bool {
	return st.comfort() && r.EvaporatingK < fahrenheit(iceForms) && r.SuperheatK > starvedSuperheat && !(r.SubcoolingK > starvedSubcool+starvedSlack)
}

// iced reports what a coil that ran short for a while does: it freezes, ice
// keeps the air out, and the split widens though the unit is starved, or although
// it was right an hour ago. Charge brings it back over freezing; the ice must go
// before readings can be trusted.
func (c *sight) iced() bool {
	if c.r == nil || !c.st.comfort() || !(c.r.SplitK > c.r.splitLimit()) {
		return false
	}
	if c.st.mayIce(c.r) && c.lead.Name == belief.ShortOfCharge {
		return true
	}
	right, cold := false, false
	for i := range c.st.readings {
		if p := &c.st.readings[i]; p.N >= c.st.epochN() && !p.grave {
			right = right || p.SplitK <= p.splitLimit()
			cold = cold || p.EvaporatingK < fahrenheit(iceForms)
		}
	}
	return right && cold
}

func (c *sight) iceText() string {
	return fmt.Sprintf("Return to supply is %s with the coil at %s, after running starved: ice on it keeps the air out. Compressor off, blower on until the coil is clear, then read again.", diff(c.r.SplitK, c.u()), temp(c.r.EvaporatingK, c.u()))
}

// thawed reports that ice was told of at this charge already: the job goes on,
// with a caution.
func (c *sight) thawed() bool {
	for i := len(c.st.readings) - 2; i >= 0; i-- {
		p := &c.st.readings[i]
		if p.moved != c.r.moved {
			return false
		}
		if !p.grave && p.SplitK > p.splitLimit() {
			return true
		}
	}
	return false
}
