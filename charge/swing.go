package charge

import (
	"fmt"
	"math"
	"time"
)

// spell is what some settled readings show together.
type spell struct {
	n                     int
	over                  time.Duration // from the first to the newest
	lowest, highest, mean float64       // superheat
	lowSC, highSC         float64       // subcooling
	rise, fall            float64       // most that superheat went up and down from one reading to the next
	oldest                float64       // superheat
}

// add puts one more reading, older than those before, into s.
func (s *spell) add(p *reading, newest time.Time) {
	if s.n == 0 {
		*s = spell{lowest: p.SuperheatK, highest: p.SuperheatK, lowSC: p.SubcoolingK, highSC: p.SubcoolingK, oldest: p.SuperheatK}
	}
	s.n++
	s.over = newest.Sub(p.At)
	s.rise, s.fall = math.Max(s.rise, s.oldest-p.SuperheatK), math.Max(s.fall, p.SuperheatK-s.oldest)
	s.oldest = p.SuperheatK
	s.mean += (p.SuperheatK - s.mean) / float64(s.n)
	s.lowest, s.highest = math.Min(s.lowest, p.SuperheatK), math.Max(s.highest, p.SuperheatK)
	s.lowSC, s.highSC = math.Min(s.lowSC, p.SubcoolingK), math.Max(s.highSC, p.SubcoolingK)
}

// superheat and subcooling are how far they moved.
func (s *spell) superheat() float64  { return s.highest - s.lowest }
func (s *spell) subcooling() float64 { return s.highSC - s.lowSC }

// spell is what the settled readings at the present charge show.
func (c *sight) spell() (s spell) {
	c.here(func(p *reading) { s.add(p, c.r.At) })
	return s
}

// held is the same of the newest readings of a valve that is named and hunts,
// at whatever charge they were taken: the valve holds its superheat, and more of
// them give its mean.
func (c *sight) held() (s spell) {
	rs := c.st.readings
	for i := len(rs) - 1; i >= 0 && rs[i].N >= c.st.epochN() && s.n < heldReadings; i-- {
		if p := &rs[i]; p.whole() {
			if math.Abs(p.SuperheatK-c.r.SuperheatK) > swingSpan {
				break
			}
			s.add(p, c.r.At)
		}
	}
	return s
}

// here visits the settled readings at the present charge, newest first.
func (c *sight) here(visit func(p *reading)) {
	for i := len(c.st.readings) - 1; i >= 0; i-- {
		p := &c.st.readings[i]
		if p.moved != c.r.moved || p.N < c.st.changeN {
			break
		}
		if p.whole() {
			visit(p)
		}
	}
}

// whole reports a settled reading of both superheat and subcooling that can be.
func (r *reading) whole() bool {
	return r.Settled && !r.grave && given(r.SuperheatK) && given(r.SubcoolingK)
}

// hunting sees superheat swing at one charge while subcooling holds.
func hunting(c *sight) verdict {
	if c.r == nil || c.device.FixedOrifice > orificeMay {
		return verdict{}
	}
	here := c.spell()
	s, swings := c.swing()
	if !swings {
		s = here
		if s.n < 3 || s.subcooling() > huntingSubcool {
			return verdict{}
		}
	}
	when := "at one charge while subcooling holds"
	if s.n > here.n {
		when = "from reading to reading"
	}
	floor := fmt.Sprintf("lowest superheat (%s)", diffFine(s.lowest, c.u()))
	if sh, mean := c.standing(); mean {
		floor = fmt.Sprintf("mean (%s)", diffFine(sh, c.u()))
	}
	return over(s.superheat(), huntingSuperheat, fmt.Sprintf("Superheat swings %s %s: the valve hunts. Judge the charge on subcooling, the floor on the %s; look at the bulb, its clamp and insulation.",
		diff(s.superheat(), c.u()), when, floor))
}

// hunts reports superheat seen to swing at one time in the job, and no orifice
// likely.
func (c *sight) hunts() bool {
	return c.st.mind.swings() && c.device.FixedOrifice <= orificeMay
}

// swing is the readings of a valve that hunts, for their mean; ok is false when
// superheat does not swing, or what swings is not known to be a valve's alone.
func (c *sight) swing() (s spell, ok bool) {
	t := c.tg.valve
	if c.r == nil || t.Defined && c.r.SubcoolingK > t.High {
		return s, false
	}
	named := c.device.Verdict == ExpansionValve
	if s = c.spell(); s.subcooling() > huntingSubcool {
		return s, false
	}
	if held := c.held(); named && (c.hunts() || held.rise > huntingSuperheat && held.fall > huntingSuperheat) {
		s = held
	}
	return s, s.superheat() > huntingSuperheat && (named && s.n >= swingReadings || c.hunts() && s.n >= 2)
}

// standing is the superheat that a floor is held against: the newest reading,
// or the mean of a valve that swings, while no reading says trouble by itself.
func (c *sight) standing() (sh float64, mean bool) {
	if s, ok := c.swing(); ok && s.lowest >= swingLowest {
		return s.mean, true
	}
	return c.r.SuperheatK, false
}
