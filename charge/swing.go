package charge

import (
	"fmt"
	"math"
	"time"
)

// swing is how far superheat and subcooling moved between settled readings at
// the present charge, with the lowest superheat and the time they span.
func (c *sight) swing() (sh, sc, lowest float64, n int, over time.Duration) {
	lowest = math.Inf(1)
	high, lowSC, highSC := math.Inf(-1), math.Inf(1), math.Inf(-1)
	c.here(func(p *reading) {
		lowest, high = math.Min(lowest, p.SuperheatK), math.Max(high, p.SuperheatK)
		lowSC, highSC = math.Min(lowSC, p.SubcoolingK), math.Max(highSC, p.SubcoolingK)
		n++
		over = c.r.At.Sub(p.At)
	})
	return high - lowest, highSC - lowSC, lowest, n, over
}

// here visits the settled readings at the present charge, newest first.
func (c *sight) here(visit func(p *reading)) {
	for i := len(c.st.readings) - 1; i >= 0; i-- {
		p := &c.st.readings[i]
		if p.moved != c.r.moved || p.N < c.st.changeN {
			break
		}
		if p.Settled && !p.grave && given(p.SuperheatK) && given(p.SubcoolingK) {
			visit(p)
		}
	}
}

// hunting sees superheat swing at one charge while subcooling holds.
func hunting(c *sight) verdict {
	if c.r == nil || c.device.FixedOrifice > orificeMay {
		return verdict{}
	}
	sh, sc, lowest, n, _ := c.swing()
	if n < 3 && !c.swings() || sc > huntingSubcool {
		return verdict{}
	}
	return over(sh, huntingSuperheat, fmt.Sprintf("Superheat swings %s at one charge while subcooling holds: the valve hunts. Judge the charge on subcooling, the floor on the mean of the readings, none under %s (lowest %s); look at the bulb, its clamp and insulation.", diff(sh, c.u()), diff(swingLowest, c.u()), diff(lowest, c.u())))
}

// swings reports superheat that moves as only a valve that hunts moves it, by
// the whole job or by the readings at this charge of a named valve.
func (c *sight) swings() bool {
	t := c.tg.valve
	if c.r == nil || t.Defined && c.r.SubcoolingK > t.High {
		return false
	}
	sh, sc, _, n, _ := c.swing()
	if sh <= huntingSuperheat || sc > huntingSubcool {
		return false
	}
	return c.device.Verdict == ExpansionValve && n >= swingReadings || c.hunts() && n >= 2
}

// hunts reports superheat seen to swing at one time in the job, and no orifice
// likely.
func (c *sight) hunts() bool {
	return c.st.mind.swings() && c.device.FixedOrifice <= orificeMay
}

// standing is the superheat that a floor is held against: the newest reading,
// or at a valve that swings the mean of the settled readings at this charge,
// while none of them says trouble by itself.
func (c *sight) standing() float64 {
	_, _, lowest, _, _ := c.swing()
	if !c.swings() || lowest < swingLowest {
		return c.r.SuperheatK
	}
	sum, n := 0.0, 0.0
	c.here(func(p *reading) { sum, n = sum+p.SuperheatK, n+1 })
	return sum / n
}
