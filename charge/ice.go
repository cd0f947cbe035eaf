package charge

import (
	"fmt"

	"chargehand/charge/belief"
)

// iced reports what a coil that ran short for a while does: it freezes, ice
// keeps the air out, and the split widens though the unit is starved, or although
// it was right an hour ago. Charge brings it back over freezing; the ice must go
// before readings can be trusted.
func (c *sight) iced() bool {
	if c.r == nil || !c.st.comfort() || !(c.r.SplitK > splitMost) {
		return false
	}
	if c.starved() && c.r.EvaporatingK < fahrenheit(iceForms) && c.lead.Name == belief.ShortOfCharge && c.lead.P >= icedShort {
		return true
	}
	right, cold := false, false
	for i := range c.st.readings {
		if p := &c.st.readings[i]; p.N >= c.st.epochN() && !p.grave {
			right = right || p.SplitK <= splitMost
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
		if !p.grave && p.SplitK > splitMost {
			return true
		}
	}
	return false
}
