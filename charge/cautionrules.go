package charge

import (
	"fmt"
	"math"
	"time"
)

// cautionRules speak beside the advice, which goes on.
func cautionRules() []rule {
	return []rule{
		{"superheat-low", "superheat near its floor", Caution, "K", srcOwn, "", superheatLow},
		{"condensing-high", "condensing over outdoor air", Caution, "K", srcOwn, "", condensingHigh},
		{"discharge-warm", "discharge line", Caution, "temperature", srcOwn, "", dischargeWarm},
		{"ratio-high", "compression ratio", Caution, "ratio", srcPress, "", ratioHigh},
		{"coil-cold", "evaporating temperature", Caution, "temperature", srcPress, "", coilCold},
		{"outdoor-cool", "outdoor air", Caution, "temperature", srcOwn, "", outdoorCoolRule},
		{"return-range", "return air", Caution, "temperature", srcCA, "", returnRange},
		{"chart-silent", "chart silent", Caution, "", srcCP, "", chartSilent},
		{"plate-share", "20 % of the plate", Caution, "kg", srcOwn, "", plateShare},
		{"wrong-way", "superheat rising", Caution, "K", srcOwn, "", wrongWayRule},
		{"hunting", "hunting valve", Caution, "K", srcCP, "", hunting},
		{"unsteady", "steady readings", Caution, "K", srcOwn, "", unsteady},
		{"weather-moved", "outdoor air since the first reading", Caution, "K", srcOwn, "", weatherRule},
		{"many-steps", "steps", Caution, "steps", srcOwn, "", manySteps},
		{"long-job", "time on the job", Caution, "minutes", srcOwn, "", longJob},
		{"check-skipped", "check skipped", Caution, "", srcCP, "", checkSkipped},
	}
}

func superheatLow(c *sight) verdict {
	if c.r == nil {
		return verdict{}
	}
	limit, warn, _ := c.floor()
	v := under(c.r.SuperheatK, warn, fmt.Sprintf("Superheat %s is %s over its floor.", diff(c.r.SuperheatK, c.u()), diff(c.r.SuperheatK-limit, c.u())))
	v.fired = v.fired && c.r.SuperheatK >= limit
	return v
}

func condensingHigh(c *sight) verdict {
	if c.r == nil || c.st.headControlled(c.r) {
		return verdict{}
	}
	v := over(c.r.OverOutdoorK, overOutdoorWarn, fmt.Sprintf("Condensing %s over outdoor air: high for all but the oldest units.", diff(c.r.OverOutdoorK, c.u())))
	v.fired = v.fired && c.r.OverOutdoorK <= overOutdoorMost
	return v
}

func dischargeWarm(c *sight) verdict {
	if c.r == nil {
		return verdict{}
	}
	warn, most := c.st.dischargeLimits()
	v := over(c.r.DischargeK, warn, fmt.Sprintf("Discharge line at %s: hot. Stop at %s.", temp(c.r.DischargeK, c.u()), temp(most, c.u())))
	if c.r.DischargeK > most && c.hotFromStarving() {
		v.says = fmt.Sprintf("Discharge line at %s, over %s, because a starved coil sends hot gas back: keep runs short, or weigh in with the unit off, liquid into the liquid side. It must fall with each addition; if it does not, stop.",
			temp(c.r.DischargeK, c.u()), temp(most, c.u()))
		if c.r.DischargeK > fahrenheit(dischargeRunMost) {
			v.says = fmt.Sprintf("Discharge line at %s, far over %s, because a starved coil sends hot gas back: switch it off now and let it cool. Weigh in with the unit off only, liquid into the liquid side. The line must be cooler at the next reading; if it is not, stop.",
				temp(c.r.DischargeK, c.u()), temp(most, c.u()))
		}
		return v
	}
	v.fired = v.fired && c.r.DischargeK <= most
	return v
}

func ratioHigh(c *sight) verdict {
	if c.r == nil || !c.st.comfort() {
		return verdict{}
	}
	v := over(c.r.CompressionRatio, ratioComfortWarn, fmt.Sprintf("Compression ratio %.1f: 2.3 to 3.5 is usual in comfort cooling.", c.r.CompressionRatio))
	v.fired = v.fired && c.r.CompressionRatio <= ratioComfortMost
	return v
}

func coilCold(c *sight) verdict {
	if c.r == nil || !c.st.comfort() || !c.starved() {
		return verdict{}
	}
	says := ""
	if c.iced() {
		says = c.iceText() + " "
	}
	return under(c.r.EvaporatingK, fahrenheit(suctionFreezes), says+fmt.Sprintf("Evaporating at %s, under freezing: clearly starved, it should rise with each addition. If it does not, stop.", temp(c.r.EvaporatingK, c.u())))
}

func outdoorCoolRule(c *sight) verdict {
	if c.r == nil || !c.st.comfort() || c.st.setup.Arrangement == Receiver || !(c.air.outK > fahrenheit(outdoorLeast)) {
		return verdict{}
	}
	return under(c.air.outK, fahrenheit(outdoorCool), fmt.Sprintf("Outdoor air at %s: cool for judging charge; some makers ask for %s.", temp(c.air.outK, c.u()), temp(fahrenheit(outdoorCool), c.u())))
}

func returnRange(c *sight) verdict {
	if c.r == nil || !c.st.comfort() || !given(c.air.dryK) {
		return verdict{}
	}
	low, high := fahrenheit(returnLeast)-rangeRounding, fahrenheit(returnMost)+rangeRounding
	v := over(c.air.dryK, high, fmt.Sprintf("Return air at %s, outside %s to %s: the room is not as the method expects.", temp(c.air.dryK, c.u()), temp(fahrenheit(returnLeast), c.u()), temp(fahrenheit(returnMost), c.u())))
	if c.air.dryK-low < v.room {
		v.limit, v.room = low, c.air.dryK-low
	}
	v.fired = v.room < 0
	return v
}

func chartSilent(c *sight) verdict {
	t := c.target
	return yes(t.Of == OfSuperheat && t.Defined && t.Says != "" && c.st.comfort(), "Target superheat "+t.Says+".")
}

func plateShare(c *sight) verdict {
	plate := c.st.full()
	if !given(plate) || c.net <= 0 {
		return verdict{}
	}
	says := fmt.Sprintf("%s of the data plate is in: recovering all of it and weighing in %s is the cleaner repair.", percent(c.net/plate), mass(plate, c.u()))
	if c.st.med.glide() > glideTells {
		says += " What leaked may have changed the blend."
	}
	return over(c.net, plate*plateWeighIn, says)
}

// wrongWayRule looks at superheat over the last addition, weather the same.
func wrongWayRule(c *sight) verdict {
	p := c.before()
	if p == nil || c.valve() || c.r.netKg <= p.netKg {
		return verdict{}
	}
	if math.Abs(c.r.OutdoorK-p.OutdoorK) > sameOutdoor || math.Abs(c.r.ReturnWetK-p.ReturnWetK) > sameWetBulb {
		return verdict{}
	}
	rise := c.r.SuperheatK - p.SuperheatK
	return over(rise, wrongWay, fmt.Sprintf("Superheat rose %s with an addition: hunting, weather, or a fault. Read again before going on.", diff(rise, c.u())))
}

// before is the settled reading before the newest change, nil when there is
// none to compare with.
func (c *sight) before() *reading {
	if c.r == nil || !c.r.Settled || c.r.grave {
		return nil
	}
	for i := len(c.st.readings) - 2; i >= 0; i-- {
		p := &c.st.readings[i]
		if p.N < c.st.epochN() {
			return nil
		}
		if p.moved < c.r.moved && p.Settled && !p.grave {
			return p
		}
	}
	return nil
}

// unsteady sees subcooling that does not come to rest.
func unsteady(c *sight) verdict {
	if c.r == nil {
		return verdict{}
	}
	s := c.spell()
	if s.n < 3 || s.over < unstableAfter {
		return verdict{}
	}
	return over(s.subcooling(), unsteadySubcool, fmt.Sprintf("No steady set in %s: subcooling moved %s at one charge. Find what moves: fan cycling, weather, load.", minutes(s.over), diff(s.subcooling(), c.u())))
}

func weatherRule(c *sight) verdict {
	if c.r == nil || !c.st.comfort() || len(c.st.readings) < 2 {
		return verdict{}
	}
	moved := math.Abs(c.r.OutdoorK - c.st.readings[0].OutdoorK)
	return over(moved, weatherMoved, fmt.Sprintf("Outdoor air moved %s since the first reading: the target moved with it.", diff(moved, c.u())))
}

func manySteps(c *sight) verdict {
	n := 0
	for _, w := range c.st.weighed {
		if w.kg > 0 {
			n++
		}
	}
	return over(float64(n), stepsMany, fmt.Sprintf("%d additions: stop and think again about cause and method.", n))
}

func longJob(c *sight) verdict {
	if c.r == nil {
		return verdict{}
	}
	d := c.st.now.Sub(c.st.began)
	return over(d.Minutes(), jobLong.Minutes(), fmt.Sprintf("%s on the job: think again about cause and method.", hours(d)))
}

func hours(d time.Duration) string { return fmt.Sprintf("%.1f hours", d.Hours()) }

func checkSkipped(c *sight) verdict {
	var names []string
	for _, item := range items {
		if f, ok := c.st.checks[item]; ok && f.state == CheckSkipped {
			names = append(names, words(string(item)))
		}
	}
	return yes(len(names) > 0, "Not looked at: "+andList(names)+". The reading counts for less.")
}
