package charge

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"time"

	"chargehand/charge/belief"
)

// rule describes one stopping rule, gate or caution. judge gives its limit and
// the present value in the rule's unit, how much room is left, whether it fired
// and, when it did, what was seen, what it means and what to do. ok is false
// when it cannot be judged or does not apply.
type rule struct {
	name, title string
	strength    Strength
	unit        string
	source      string
	then        Action // what a fired rule calls for; cautions call for nothing
	judge       func(c *sight) verdict
}

type verdict struct {
	limit, now, room float64
	fired, ok        bool
	says             string
	unread           string        // said instead, with the question, while a first reading lacks what may lift it
	then             Action        // replaces the rule's own, when set
	wait             time.Duration // with Wait
	needs            []string      // what answers it
	source           string        // replaces the rule's own, when set
}

// under and over are verdicts of a floor and of a ceiling.
func under(now, limit float64, says string) verdict {
	return verdict{limit: limit, now: now, room: now - limit, fired: now < limit, ok: given(now), says: says}
}

func over(now, limit float64, says string) verdict {
	return verdict{limit: limit, now: now, room: limit - now, fired: now > limit, ok: given(now), says: says}
}

// yes is a verdict without a number: it fired, or it has nothing to say.
func yes(fired bool, says string) verdict {
	return verdict{limit: math.NaN(), now: math.NaN(), room: math.NaN(), fired: fired, ok: fired, says: says}
}

// book has the rules in the order in which fired ones are obeyed, within each
// strength.
var book []rule

func init() { book = append(append(hardRules(), gateRules()...), cautionRules()...) }

// ruleNames lists what an override may name.
func ruleNames() []string {
	names := make([]string, len(book))
	for i, r := range book {
		names[i] = r.name
	}
	return names
}

// ruleNamed finds the name an override means, however it is written: "Superheat
// floor" is "superheat-floor". ok is false when there is no such rule.
func ruleNamed(text string) (name string, ok bool) {
	text = strings.NewReplacer(" ", "-", "_", "-").Replace(strings.ToLower(strings.TrimSpace(text)))
	return text, slices.Contains(ruleNames(), text)
}

func hardRules() []rule {
	return []rule{
		{"weigh-in-only", "weigh-in only", Hard, "", srcCP, Stop, weighInOnly},
		{"identity", "refrigerant identity", Hard, "", srcSafe, Stop, identity},
		{"condensing-over-outdoor", "condensing over outdoor air", Hard, "K", srcOwn, Correct, condensingOver},
		{"head-ceiling", "condensing temperature", Hard, "temperature", srcOwn, Correct, headCeiling},
		{"superheat-floor", "superheat floor", Hard, "K", srcChart, Stop, superheatFloor},
		{"discharge-ceiling", "discharge line", Hard, "temperature", srcPress, Stop, dischargeCeiling},
		{"subcooling-ceiling", "subcooling ceiling", Hard, "K", srcOwn, Stop, subcoolingCeiling},
		{"flammable-checklist", "flammable check-list", Hard, "", srcSafe, Measure, flammableChecklist},
		{"plate-ceiling", "plate, plus 5 %", Hard, "kg", srcOwn, Stop, plateCeiling},
		{"no-response", "response to charge", Hard, "K", srcOwn, Stop, noResponse},
		{"other-cause", "another cause", Hard, "", srcOwn, Correct, otherCause},
	}
}

func weighInOnly(c *sight) verdict {
	switch c.st.setup.Arrangement {
	case CriticalCharge:
		return yes(true, "A critically charged unit is charged by weight alone: recover what is in and weigh in "+c.plateText()+".")
	case VariableSpeed:
		return yes(true, "Compressor, fans and valve all move in a variable-speed unit: superheat and subcooling do not tell. Recover and weigh in "+c.plateText()+".")
	}
	return verdict{}
}

func (c *sight) plateText() string {
	if kg := c.st.full(); given(kg) {
		return mass(kg, c.st.opt.Units)
	}
	return "the data plate charge"
}

func identity(c *sight) verdict {
	cyl := c.st.setup.CylinderRefrigerant
	if cyl == "" {
		return verdict{}
	}
	name := string(cyl)
	if m, err := newMedium(name); err == nil {
		name = m.name
	}
	if name == c.st.med.name {
		return verdict{}
	}
	says := fmt.Sprintf("The cylinder says %s, the unit %s: do not connect. Read both labels and correct the setup.", name, c.st.med.name)
	if c.net > 0 {
		says = fmt.Sprintf("The cylinder says %s, the unit %s, and %s went in. Read both labels; if it was another refrigerant, recover all of it and weigh in new.", name, c.st.med.name, mass(c.net, c.st.opt.Units))
	}
	return yes(true, says)
}

func condensingOver(c *sight) verdict {
	if c.r == nil || c.st.headControlled(c.r) {
		return verdict{}
	}
	v := over(c.r.OverOutdoorK, overOutdoorMost, fmt.Sprintf("Condensing is %s over outdoor air, limit %s. Clean the condenser, see that the fan turns at full speed and that no hot air comes back; if all that is right, suspect air in the system.",
		diff(c.r.OverOutdoorK, c.u()), diff(overOutdoorMost, c.u())))
	if c.lead.Name == causeOver {
		v.then = Recover
	}
	return v
}

func (c *sight) headText() string {
	return fmt.Sprintf("Condensing at %s, limit %s: head pressure nears its cut-out. Look at condenser, fan and air before anything else.", temp(c.r.CondensingK, c.u()), temp(fahrenheit(condensingMost), c.u()))
}

func headCeiling(c *sight) verdict {
	if c.r == nil {
		return verdict{}
	}
	v := over(c.r.CondensingK, fahrenheit(condensingMost), c.headText())
	if c.lead.Name == causeOver {
		v.then = Recover
	}
	return v
}

func superheatFloor(c *sight) verdict {
	if c.r == nil {
		return verdict{}
	}
	limit, _, src := c.floor()
	sh, mean := c.standing()
	is := "Superheat is "
	if mean {
		is = "Superheat swings about "
	}
	v := under(sh, limit, fmt.Sprintf("%s%s, floor %s: liquid may reach the compressor. Do not add.", is, diffFine(sh, c.u()), diff(limit, c.u())))
	v.source = src
	return v
}

func subcoolingCeiling(c *sight) verdict {
	if c.r == nil || c.st.setup.Arrangement == Receiver {
		return verdict{}
	}
	most := c.subcoolingMost()
	says := fmt.Sprintf("Subcooling is %s, ceiling %s: the condenser is backing up.", diff(c.r.SubcoolingK, c.u()), diff(most, c.u()))
	v := over(c.r.SubcoolingK, most, says)
	high := restrictSuperheat
	if t := c.tg.orifice; t.Defined && t.High > high {
		high = t.High // dry, mild weather: a healthy orifice may show this much
	}
	switch {
	case c.r.SuperheatK > high && c.r.SubcoolingK > restrictSubcool && !c.opening():
		v.fired, v.then = true, Correct
		v.says = fmt.Sprintf("Subcooling %s with superheat %s: liquid stands ahead of something it cannot pass. Look for a restriction (drier, strainer, valve); do not add.",
			diff(c.r.SubcoolingK, c.u()), diff(c.r.SuperheatK, c.u()))
	case c.airFirst():
		v.then = Correct
		v.says += " " + airFirstText
	case !otherThanCharge(c.lead.Name):
		v.then = Recover
	default:
		v.then = Correct
		v.says += " " + causeTitle(c.lead.Name) + " is likely" + because(c.lead) + ". " + c.lead.Look
	}
	return v
}

// opening reports superheat that falls as charge goes in, or rises as it is taken
// out, at a device that the readings name an orifice: what stands ahead of it
// does get through.
func (c *sight) opening() bool {
	if c.device.Verdict != FixedOrifice || c.likely(belief.Restriction) >= restrictLeast {
		return false
	}
	if p := c.response(1); p != nil && p.SuperheatK-c.r.SuperheatK > responseSuperheat {
		return true
	}
	p := c.before()
	return p != nil && p.netKg > c.r.netKg && c.r.SuperheatK-p.SuperheatK > responseSuperheat
}

// asFound reports a system nothing was weighed into or out of yet.
func (c *sight) asFound() bool { return c.added == 0 && c.net == 0 }

// airFirst reports a system as found with far more subcooling than a valve's
// target that may have air in it, by the readings, or because its liquid leaves
// a valve system well over outdoor air: a condenser that only holds too much
// gives its liquid the time to cool.
func (c *sight) airFirst() bool {
	t := c.tg.valve
	return c.asFound() && t.Defined && c.r.SubcoolingK > t.High+overSubcool &&
		(c.likely(belief.NonCondensables) >= askFirst || c.valve() && c.r.ApproachK > warmApproach)
}

var airFirstText = "Too much charge or air in the system: tell them apart before taking any out. " + causeLook(belief.NonCondensables)

func flammableChecklist(c *sight) verdict {
	if !c.st.med.r.Flammable() {
		return verdict{}
	}
	var needs []string
	for _, item := range []Item{LeakSearch, ElectricalCheck} {
		if f, ok := c.st.checks[item]; !ok || f.state != CheckOK && f.state != CheckCorrected {
			needs = append(needs, string(item))
		}
	}
	v := yes(len(needs) > 0, fmt.Sprintf("%s is flammable (%s). Before any goes in: area ventilated, no ignition source, rated detector and tools, leak search and electrical check done. Enter: %s.",
		c.st.med.name, c.st.med.group, andList(wordsOf(needs))))
	v.needs = needs
	return v
}

func wordsOf(names []string) []string {
	out := make([]string, len(names))
	for i, n := range names {
		out[i] = words(n)
	}
	return out
}

func plateCeiling(c *sight) verdict {
	full := c.st.full()
	if !given(full) {
		return verdict{}
	}
	limit := full * (1 + plateOver)
	v := over(c.net, limit, fmt.Sprintf("%s is in, more than plate and line set hold with 5 %% to spare (%s). Recover and weigh in.", mass(c.net, c.u()), mass(limit, c.u())))
	v.fired = c.net > limit-0.5*c.st.stepUnit()
	return v
}

func noResponse(c *sight) verdict {
	times, least := 1.0, 2
	if c.r != nil && c.r.SubcoolingK < responseDryBelow && c.st.setup.Arrangement != Receiver {
		times, least = responseDry, 3
	}
	enough := c.st.tons() * responseOzTon * kgPerOz * c.st.med.lightness
	if plate := c.st.full(); given(plate) {
		enough = math.Min(orInf(enough), plate*responsePlate)
	}
	if math.IsNaN(enough) {
		enough = noCapacityEnough * kgPerOz * c.st.med.lightness
	}
	p := c.weighedSince(least, times*enough)
	if p == nil || times > 1 && c.r.OverOutdoorK-p.OverOutdoorK > responseCondensing {
		return verdict{}
	}
	sh, sc, leg := c.r.SuperheatK-p.SuperheatK, c.r.SubcoolingK-p.SubcoolingK, c.r.DropLegSubcoolingK-p.DropLegSubcoolingK
	kg, steps := c.r.netKg-p.netKg, c.r.moved-p.moved
	// A receiver swallows charge and shows nothing until the glass clears. What
	// tells is the drop leg: barely subcooled means the condenser holds no spare.
	if c.st.setup.Arrangement == Receiver && (!given(c.r.DropLegSubcoolingK) || c.r.DropLegSubcoolingK < dropLegFlooded) {
		return verdict{}
	}
	moved := math.Max(math.Abs(sh)/responseSuperheat, math.Abs(sc)/responseSubcooling)
	v := verdict{limit: responseSuperheat, now: responseSuperheat * moved, room: responseSuperheat * (moved - 1), ok: given(moved), fired: moved < 1}
	v.says = fmt.Sprintf("%s in %d steps moved superheat %s and subcooling %s: this is not a charge problem. What went in stays on the record and may have to come out.",
		mass(kg, c.u()), steps, diffFine(math.Abs(sh), c.u()), diffFine(math.Abs(sc), c.u()))
	if leg > dropLegFilling {
		v.says = fmt.Sprintf("%s in %d steps moved superheat %s and subcooling %s; only the drop leg filled (%s more). This is not a charge problem: weigh what went in against the winter total and take it out before summer.",
			mass(kg, c.u()), steps, diffFine(math.Abs(sh), c.u()), diffFine(math.Abs(sc), c.u()), diffFine(leg, c.u()))
	}
	return v
}

func orInf(x float64) float64 {
	if math.IsNaN(x) {
		return math.Inf(1)
	}
	return x
}

func otherCause(c *sight) verdict {
	if !otherThanCharge(c.lead.Name) {
		return verdict{}
	}
	limit := otherCauseAt
	if c.response(1) != nil {
		limit = otherCauseLate // the system has answered to charge: the levels alone no longer tell
	}
	if c.other() < limit {
		return verdict{}
	}
	return yes(true, causeTitle(c.lead.Name)+" explains the readings better than charge does"+because(c.lead)+". "+c.lead.Look)
}

func (c *sight) judge() ([]Rule, map[string]verdict) {
	var rules []Rule
	said := map[string]verdict{}
	for i := range book {
		r := &book[i]
		v := r.judge(c)
		if !v.ok && !v.fired {
			continue
		}
		if v.then == "" {
			v.then = r.then
		}
		src := r.source
		if v.source != "" {
			src = v.source
		}
		_, aside := c.st.waived[r.name]
		rules = append(rules, Rule{Name: r.name, Title: r.title, Strength: r.strength, Limit: v.limit, Now: v.now, Room: v.room,
			Unit: r.unit, Source: src, Fired: v.fired, SetAside: aside})
		said[r.name] = v
	}
	sort.SliceStable(rules, func(i, j int) bool { return nearness(&rules[i]) < nearness(&rules[j]) })
	return rules, said
}

// nearness orders rules by how near they are: fired first, then those that may
// stop the work, then cautions, each by the room left as a share of a usual span
// in their unit.
func nearness(r *Rule) float64 {
	if r.Fired {
		return -1e6 + float64(strengthOrder(r.Strength))
	}
	if math.IsNaN(r.Room) {
		return math.Inf(1)
	}
	span := map[string]float64{"K": 15 * perF, "temperature": 15 * perF, "ratio": 2, "kg": math.Max(r.Limit, 0.001), "minutes": 60, "steps": 8}[r.Unit]
	if span == 0 {
		span = 1
	}
	near := r.Room / span
	if r.Strength == Caution {
		near += 1e3
	}
	return near
}

func strengthOrder(s Strength) int {
	switch s {
	case Hard:
		return 0
	case Gated:
		return 1
	}
	return 2
}

func (c *sight) u() unitSystem { return c.st.opt.Units }
