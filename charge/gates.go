package charge

import (
	"fmt"
	"math"

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
	most := c.r.splitLimit()
	v := over(c.r.SplitK, most, fmt.Sprintf("Return to supply is %s, %s is the most to expect in this air: too little air over the coil. Filter, coil face, blower, registers; then read again.", diff(c.r.SplitK, c.u()), diff(most, c.u())))
	if v.fired && c.iced() {
		v.then, v.wait, v.says = Wait, thawFor, c.iceText()
		v.fired = !c.thawed()
	}
	return v
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
		if c.iced() {
			return verdict{} // the split says it: thaw first
		}
		return under(c.r.EvaporatingK, fahrenheit(suctionFar), fmt.Sprintf("Evaporating at %s and falling while %s went in: the coil freezes, and refrigerant does not help. Look at air flow, coil and restriction.", temp(c.r.EvaporatingK, c.u()), mass(c.r.netKg-p.netKg, c.u())))
	}
	switch {
	case c.wanting() && c.r.EvaporatingK >= fahrenheit(suctionFar):
		return verdict{}
	case c.warming() && (c.wanting() || c.lead.Name == belief.ShortOfCharge):
		return verdict{} // on its way up through freezing
	}
	says := fmt.Sprintf("Evaporating at %s with superheat %s: the coil will freeze", temp(c.r.EvaporatingK, c.u()), diff(c.r.SuperheatK, c.u()))
	if t := c.tg.orifice; !t.Defined && !given(c.r.ReturnWetK) && c.device.Verdict != ExpansionValve {
		says += "; the return wet bulb shows whether refrigerant is wanting. If not, look at air flow, filter and coil."
	} else {
		says += ", and it is not for want of refrigerant. Look at air flow, filter and coil."
	}
	v := under(c.r.EvaporatingK, fahrenheit(suctionFreezes)-rangeRounding, says)
	v.unread = fmt.Sprintf("Evaporating at %s: the coil will freeze.", temp(c.r.EvaporatingK, c.u()))
	return v
}

// wanting reports a system that still wants charge by the target of the likelier
// device, with little to say for another cause: evaporating rises with what goes
// in, so a coil a little under freezing is no reason to keep it out.
func (c *sight) wanting() bool {
	if c.other() > wantingOther {
		return false
	}
	if t := c.tg.valve; c.device.ExpansionValve > c.device.FixedOrifice {
		return t.Defined && c.r.SubcoolingK < t.Mid
	}
	t := c.tg.orifice
	return t.Defined && c.r.SuperheatK > t.Mid
}

// warming reports a coil that got warmer with what went in.
func (c *sight) warming() bool {
	p := c.response(1)
	return p != nil && c.r.EvaporatingK > p.EvaporatingK+warmingLeast
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
	v := yes(true, "No target superheat: "+c.tg.orifice.Says+".")
	if c.chartEdge() {
		v.then, v.wait = Wait, rereadAfter
		v.says = "No target superheat in this air, a degree of wet bulb more gives one: the chart ends close by. Read the air again, wick wet and in the stream."
	}
	return v
}

// chartEdge reports a target that the readings before had: thermometers make it
// come and go, so the air is read once or twice more.
func (c *sight) chartEdge() bool {
	if c.spell().n > 2 {
		return false
	}
	for i := range c.st.readings[:len(c.st.readings)-1] {
		if p := &c.st.readings[i]; p.N >= c.st.epochN() && !p.grave && TargetSuperheat(p.OutdoorK, p.ReturnWetK).Defined {
			return true
		}
	}
	return false
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
