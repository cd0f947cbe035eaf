package charge

import "fmt"

// cautions are the words of care and the soft rules, each where it matters and
// not on every line.
func (c *sight) cautions(a *Advice, said map[string]verdict) []string {
	var out []string
	st, med := c.st, c.st.med
	flammable := med.r.Flammable()
	switch a.Kind {
	case KindSetup:
		out = append(out, "For certified persons. The maker's charging chart and local codes come before anything shown here.")
		switch {
		case flammable && med.group[len(med.group)-1] == '3':
			out = append(out, fmt.Sprintf("%s is highly flammable (%s): no ignition source, ventilate, rated detector and tools, the maker's charge limit.", med.name, med.group))
		case flammable:
			out = append(out, fmt.Sprintf("%s is mildly flammable (%s): no ignition source, ventilate, rated detector, recovery machine and pump.", med.name, med.group))
		}
		if med.group[0] == 'B' {
			out = append(out, fmt.Sprintf("%s is toxic (%s): respirator at hand, ventilate, never alone.", med.name, med.group))
		}
	case KindWeighed:
		w := st.weighed[len(st.weighed)-1]
		if must, _ := med.r.ChargeAsLiquid(); must && w.phase == VaporPhase && w.kg > 0 {
			out = append(out, fmt.Sprintf("%s went in as vapor: what leaves first is richer in one part, and cylinder and system change. Charge it as liquid.", med.name))
		}
	case KindOverride:
		for name, w := range st.waived {
			if w.n != a.N {
				continue
			}
			if _, ok := ruleNamed(name); !ok {
				out = append(out, fmt.Sprintf("No rule is called %s: it is on the record and sets nothing aside. Rules that stand now: %s.", clip(name, 40), andList(standing(a))))
			} else if strengthOf(name) == Hard {
				out = append(out, fmt.Sprintf("%s is a hard rule: what you do is recorded, and no increment is offered.", title(words(name))))
			}
		}
	case KindCheck:
		if len(st.checks) == 1 {
			out = append(out, "Lock power out before panels come off; capacitors hold charge, fans start unannounced.")
		}
	}
	switch a.Action {
	case Add:
		first := c.added == 0
		if first {
			out = append(out, "Gloves and eye protection: liquid refrigerant freezes skin and eyes.")
			if must, _ := med.r.ChargeAsLiquid(); must {
				out = append(out, fmt.Sprintf("%s leaves the cylinder as liquid, throttled into the suction side so that it flashes before the compressor.", med.name))
			}
		}
		if first && st.setup.Arrangement == Receiver {
			out = append(out, "A receiver swallows charge before the glass shows it: small steps, and never over 80 % full pumped down.")
		}
		if flammable {
			out = append(out, fmt.Sprintf("%s: detector on, no ignition source, purge the hoses first.", med.group))
		}
	case Stop:
		if a.Done && c.target.Of == OfSightGlass && c.fresh(a) {
			out = append(out, "A clear glass says saturated or better, not full: winter's extra charge is weighed in by the maker's figures.")
		}
		if k := c.suspect(); a.Done && k.P >= suspectAt && c.fresh(a) {
			out = append(out, fmt.Sprintf("In band, and something else is not ruled out. %s%s. %s", causeTitle(k.Name), because(k), k.Look))
		}
	case Recover:
		out = append(out, "Recover into a cylinder for this refrigerant, at most 80 % full. Never vent it.")
	}
	if p := st.mind.inferred(); c.device.Stated {
		if c.device.Verdict == FixedOrifice && p < 1-conflictAt || c.device.Verdict == ExpansionValve && p > conflictAt {
			other := ExpansionValve
			if c.device.Verdict == ExpansionValve {
				other = FixedOrifice
			}
			out = append(out, fmt.Sprintf("The readings answer like %s, the setup states %s: look at the device again.", other.words(), c.device.Verdict.words()))
		}
	}
	for i := range book {
		r := &book[i]
		v, ok := said[r.name]
		if _, aside := st.waived[r.name]; !ok || !v.fired || aside {
			continue
		}
		if r.strength == Caution && c.fresh(a) || r.strength == Gated && st.passed[r.name] && c.fresh(a) {
			out = append(out, v.says)
		}
	}
	if len(st.extra) > 0 {
		out = append(out, "Kept, but not known to this version: "+clip(andList(st.extra), 120)+".")
	}
	if st.clock > settleSlack {
		out = append(out, fmt.Sprintf("The time of this entry is %s before the one in front of it: waits cannot be judged.", minutes(st.clock)))
	}
	return out
}

// standing names what may be set aside now.
func standing(a *Advice) []string {
	var names []string
	for _, r := range a.Rules {
		if r.Fired && !r.SetAside {
			names = append(names, r.Name)
		}
	}
	if len(names) == 0 {
		return []string{"none"}
	}
	return names
}

func strengthOf(name string) Strength {
	for i := range book {
		if book[i].name == name {
			return book[i].strength
		}
	}
	return ""
}

// fresh reports an answer to a reading, where cautions about it belong.
func (c *sight) fresh(a *Advice) bool { return a.Kind == KindReading || a.Kind == KindSetup }
