package charge

import (
	"fmt"
	"math"
	"time"
)

// spell is what the settled readings at the present charge show together.
type spell struct {
	n                     int
	over                  time.Duration // from the first to the newest
	superheat, subcooling float64       // how far they moved
	lowest, mean          float64       // superheat
}

func (c *sight) spell() spell {
	s := spell{lowest: math.Inf(1)}
	high, lowSC, highSC := math.Inf(-1), math.Inf(1), math.Inf(-1)
	c.here(func(p *reading) {
		s.n++
		s.over = c.r.At.Sub(p.At)
		s.mean += (p.SuperheatK - s.mean) / float64(s.n)
		s.lowest, high = math.Min(s.lowest, p.SuperheatK), math.Max(high, p.SuperheatK)
		lowSC, highSC = math.Min(lowSC, p.SubcoolingK), math.Max(highSC, p.SubcoolingK)
	})
	s.superheat, s.subcooling = high-s.lowest, highSC-lowSC
	return s
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
	s := c.spell()
	if s.n < 3 && !c.swings() || s.subcooling > huntingSubcool {
		return verdict{}
	}
	floor := fmt.Sprintf("lowest superheat (%s)", diffFine(s.lowest, c.u()))
	if sh := c.standing(); sh != c.r.SuperheatK {
		floor = fmt.Sprintf("mean (%s)", diffFine(sh, c.u()))
	}
	return over(s.superheat, huntingSuperheat, fmt.Sprintf("Superheat swings %s at one charge while subcooling holds: the valve hunts. Judge the charge on subcooling, the floor on the %s; look at the bulb, its clamp and insulation.",
		diff(s.superheat, c.u()), floor))
}

// swings reports superheat that moves as only a valve that hunts moves it, by
// the whole job or by the readings at this charge of a named valve.
func (c *sight) swings() bool {
	t := c.tg.valve
	if c.r == nil || t.Defined && c.r.SubcoolingK > t.High {
		return false
	}
	s := c.spell()
	if s.superheat <= huntingSuperheat || s.subcooling > huntingSubcool {
		return false
	}
	return c.device.Verdict == ExpansionValve && s.n >= swingReadings || c.hunts() && s.n >= 2
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
	if s := c.spell(); c.swings() && s.lowest >= swingLowest {
		return s.mean
	}
	return c.r.SuperheatK
}
