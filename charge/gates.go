package charge

import (
	"fmt"
	"math"
	"time"

	"chargehand/charge/belief"
	q "chargehand/charge/quantity"
)

type unitSystem = q.System

func gateRules() []rule {
	return []rule{
		{"fault-found", "fault found", Gated, "", srcCP, Correct, faultFound},
		{"head-pressure-control", "head-pressure control", Gated, "K", srcPress, Correct, headPressure},
		{"split-ceiling", "return to supply split", Gated, "K", srcOwn, Correct, splitCeiling},
		{"coil-freezing", "evaporating temperature", Gated, "temperature", srcPress, Correct, coilFreezing},
		{"outdoor-range", "outdoor air", Gated, "temperature", srcCA, Stop, outdoorRange},
		{"no-target", "target", Gated, "", srcChart, Stop, noTarget},
		{"compression-ratio", "compression ratio", Gated, "ratio", srcPress, Correct, compressionRatio},
		{"air-side", "air side looked at", Gated, "", srcCP, Measure, airSide},
		{"condenser", "condenser looked at", Gated, "", srcCP, Measure, condenserLooked},
		{"leak-search", "leak search", Gated, "", srcCP, Measure, leakSearch},
		{"leak-answer", "10 % of the plate without a leak answer", Gated, "kg", srcOwn, Measure, leakAnswer},
	}
}

func faultFound(c *sight) verdict {
	for _, item := range items {
		if f, ok := c.st.checks[item]; ok && f.state == CheckFaulty {
			return yes(true, fmt.Sprintf("%s was found faulty (event %d). Put it right first and enter the check again.", title(words(string(item))), f.n))
		}
	}
	return verdict{}
}

// headPressure is the trap of a receiver system in cool air: a control that
// holds head up passes hot gas to the receiver, and the glass bubbles with
// charge enough.
func headPressure(c *sight) verdict {
	if c.r == nil || c.st.setup.Arrangement != Receiver || !c.st.headControlled(c.r) {
		return verdict{}
	}
	leg := c.r.DropLegSubcoolingK
	if !given(leg) {
		v := yes(true, fmt.Sprintf("Outdoor air at %s: a head-pressure control is expected to act, and bubbles then say nothing. Read the condenser outlet (drop leg) temperature and pressure.", temp(c.r.OutdoorK, c.u())))
		v.then, v.needs = Measure, []string{"drop_leg", "condenser_outlet_pressure"}
		return v
	}
	v := over(leg, dropLegFlooded, fmt.Sprintf("The drop leg is subcooled %s: the condenser is flooded and the charge is there. The head-pressure control passes hot gas to the receiver. Within the maker's limits hold condenser air back until condensing passes its setting, then look at the glass again.", diff(leg, c.u())))
	if !v.fired && c.r.SubcoolingK > receiverShortageSat {
		return verdict{}
	}
	return v
}

func splitCeiling(c *sight) verdict {
	if c.r == nil || !c.st.comfort() {
		return verdict{}
	}
	return over(c.r.SplitK, splitMost, fmt.Sprintf("Return to supply is %s, %s is the most to expect: too little air over the coil. Filter, coil face, blower, registers; then read again.", diff(c.r.SplitK, c.u()), diff(splitMost, c.u())))
}

func coilFreezing(c *sight) verdict {
	if c.r == nil || !c.st.comfort() {
		return verdict{}
	}
	if c.starved() {
		p := c.response(2)
		if p == nil || c.r.EvaporatingK >= p.EvaporatingK {
			return verdict{}
		}
		return under(c.r.EvaporatingK, fahrenheit(suctionFar), fmt.Sprintf("Evaporating at %s and falling while %s went in: the coil freezes, and refrigerant does not help. Look at air flow, coil and restriction.", temp(c.r.EvaporatingK, c.u()), mass(c.r.netKg-p.netKg, c.u())))
	}
	return under(c.r.EvaporatingK, fahrenheit(suctionFreezes)-rangeRounding, fmt.Sprintf("Evaporating at %s with superheat %s: the coil will freeze, and it is not for want of refrigerant. Look at air flow, filter and coil.", temp(c.r.EvaporatingK, c.u()), diff(c.r.SuperheatK, c.u())))
}

func outdoorRange(c *sight) verdict {
	if c.r == nil || !c.st.comfort() || !given(c.air.outK) || c.st.setup.Arrangement == Receiver {
		return verdict{}
	}
	t := c.air.outK
	if t > fahrenheit(outdoorMost) {
		return over(t, fahrenheit(outdoorMost), fmt.Sprintf("Outdoor air at %s: the methods end at %s. Weigh in, or come back.", temp(t, c.u()), temp(fahrenheit(outdoorMost), c.u())))
	}
	v := under(t, fahrenheit(outdoorLeast), fmt.Sprintf("Outdoor air at %s: superheat and subcooling say nothing at %s and under. Weigh in, or come back in warmer weather.", temp(t, c.u()), temp(fahrenheit(outdoorLeast), c.u())))
	v.fired = t <= fahrenheit(outdoorLeast)
	return v
}

func noTarget(c *sight) verdict {
	if c.r == nil || c.tg.orifice.Defined || c.tg.other.Of != "" || c.device.Verdict != FixedOrifice {
		return verdict{}
	}
	if !given(c.air.outK) || !given(c.air.wetK) {
		return verdict{} // asked for by name instead
	}
	return yes(true, "No target superheat: "+c.tg.orifice.Says+".")
}

func compressionRatio(c *sight) verdict {
	if c.r == nil {
		return verdict{}
	}
	limit := ratioComfortMost
	switch c.st.setup.Application {
	case MediumTemperature:
		limit = ratioMediumMost
	case LowTemperature:
		limit = ratioLowMost
	}
	if c.starved() && c.lead.Name == belief.ShortOfCharge && c.lead.P >= ratioStarved {
		return verdict{} // suction is low because the coil is starved: charge is the cure
	}
	return over(c.r.CompressionRatio, limit, fmt.Sprintf("Compression ratio %.1f, limit %.0f: head too high or suction too low for this work. Condenser, then air flow and restriction.", c.r.CompressionRatio, limit))
}

// airSide is answered by the three checks, looked at or skipped aloud, or by a
// split in its usual range.
func airSide(c *sight) verdict {
	var needs []string
	for _, item := range []Item{Filter, EvaporatorCoil, Blower} {
		if _, ok := c.st.checks[item]; !ok {
			needs = append(needs, string(item))
		}
	}
	if len(needs) == 0 || !c.st.comfort() && len(needs) < 3 {
		return verdict{}
	}
	if c.st.comfort() && c.r != nil && given(c.r.ReturnWetK) && math.Abs(c.r.SplitK-splitExpected(c.r.ReturnDryK, c.r.ReturnWetK)) < splitUsual {
		return verdict{}
	}
	v := yes(true, fmt.Sprintf("Air before charge: look at the %s and enter what you found. Power locked out where hands go in.", andList(wordsOf(needs))))
	v.needs = needs
	return v
}

func condenserLooked(c *sight) verdict {
	var needs []string
	for _, item := range []Item{CondenserCoil, CondenserFan} {
		if _, ok := c.st.checks[item]; !ok {
			needs = append(needs, string(item))
		}
	}
	if len(needs) == 0 || c.r != nil && c.r.OverOutdoorK < condenserFree {
		return verdict{}
	}
	v := yes(true, fmt.Sprintf("Look at the %s and enter what you found: a dirty or fanless condenser hides a short charge.", andList(wordsOf(needs))))
	v.needs = needs
	return v
}

func leakSearch(c *sight) verdict {
	if _, ok := c.st.checks[LeakSearch]; ok {
		return verdict{}
	}
	v := yes(true, "A sealed system does not use refrigerant up: search for the leak and enter what you found.")
	v.needs = []string{string(LeakSearch)}
	return v
}

func leakAnswer(c *sight) verdict {
	plate := c.st.full()
	if !given(plate) || c.net <= 0 {
		return verdict{}
	}
	if f, ok := c.st.checks[LeakSearch]; ok && (f.state == CheckOK || f.state == CheckCorrected) {
		return verdict{}
	}
	limit := plate * plateAsk
	v := over(c.net, limit, fmt.Sprintf("%s is in, %s of the data plate, and the leak has no answer. Search, repair, and enter it; or say why not.", mass(c.net, c.u()), percent(c.net/plate)))
	v.needs = []string{string(LeakSearch)}
	return v
}

func title(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}

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
		v.says = fmt.Sprintf("Discharge line at %s, over %s, because a starved coil sends hot gas back: keep runs short. It must fall with each addition; if it does not, stop.",
			temp(c.r.DischargeK, c.u()), temp(most, c.u()))
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
	return under(c.r.EvaporatingK, fahrenheit(suctionFreezes), fmt.Sprintf("Evaporating at %s, under freezing: clearly starved, it should rise with each addition. If it does not, stop.", temp(c.r.EvaporatingK, c.u())))
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
	return yes(t.Of == OfSuperheat && t.Defined && t.Source != srcChart && t.Says != "" && c.st.comfort(), "Target superheat "+t.Says+".")
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

// swing is how far superheat and subcooling moved between settled readings at
// the present charge, with the lowest superheat and the time they span.
func (c *sight) swing() (sh, sc, lowest float64, n int, over time.Duration) {
	lowest = math.Inf(1)
	high, lowSC, highSC := math.Inf(-1), math.Inf(1), math.Inf(-1)
	for i := len(c.st.readings) - 1; i >= 0; i-- {
		p := &c.st.readings[i]
		if p.moved != c.r.moved || p.N < c.st.changeN {
			break
		}
		if !p.Settled || p.grave || !given(p.SuperheatK) || !given(p.SubcoolingK) {
			continue
		}
		lowest, high = math.Min(lowest, p.SuperheatK), math.Max(high, p.SuperheatK)
		lowSC, highSC = math.Min(lowSC, p.SubcoolingK), math.Max(highSC, p.SubcoolingK)
		n++
		over = c.r.At.Sub(p.At)
	}
	return high - lowest, highSC - lowSC, lowest, n, over
}

// hunting sees superheat swing at one charge while subcooling holds.
func hunting(c *sight) verdict {
	if c.r == nil || c.device.FixedOrifice > orificeMay {
		return verdict{}
	}
	sh, sc, lowest, n, _ := c.swing()
	if n < 3 || sc > huntingSubcool {
		return verdict{}
	}
	return over(sh, huntingSuperheat, fmt.Sprintf("Superheat swings %s at one charge while subcooling holds: the valve hunts. Judge the charge on subcooling, the floor on the lowest superheat (%s); look at the bulb, its clamp and insulation.", diff(sh, c.u()), diff(lowest, c.u())))
}

// unsteady sees subcooling that does not come to rest.
func unsteady(c *sight) verdict {
	if c.r == nil {
		return verdict{}
	}
	_, sc, _, n, span := c.swing()
	if n < 3 || span < unstableAfter {
		return verdict{}
	}
	return over(sc, unsteadySubcool, fmt.Sprintf("No steady set in %s: subcooling moved %s at one charge. Find what moves: fan cycling, weather, load.", minutes(span), diff(sc, c.u())))
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
