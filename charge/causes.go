package charge

import (
	"fmt"
	"strings"

	"chargehand/charge/belief"
)

const causeOver = belief.Overcharged

// otherThanCharge reports a cause that refrigerant does not mend.
func otherThanCharge(name string) bool {
	switch name {
	case "", belief.ShortOfCharge, belief.ChargeRight, belief.Overcharged:
		return false
	}
	return true
}

func causeTitle(name string) string {
	switch name {
	case belief.LowAirflow:
		return "Too little air over the coil"
	case belief.CondenserFouled:
		return "A condenser that cannot give off its heat"
	case belief.NonCondensables:
		return "Air in the system"
	case belief.Restriction:
		return "A restriction in the liquid line"
	case belief.WeakCompressor:
		return "A compressor that does not pump"
	case belief.HeadPressure:
		return "The head-pressure control"
	}
	s := strings.ReplaceAll(name, "-", " ")
	return strings.ToUpper(s[:1]) + s[1:]
}

// causeEvidence says which of the newest readings speak for a cause; what was
// not read is left out.
func causeEvidence(name string, c *sight) string {
	r, u := c.r, c.st.opt.Units
	say := func(before string, k float64, after string) string {
		if !given(k) {
			return ""
		}
		return before + diff(k, u) + after
	}
	sh, sc := say("superheat ", r.SuperheatK, ""), say("subcooling ", r.SubcoolingK, "")
	over := say("condensing ", r.OverOutdoorK, " over outdoor air")
	switch name {
	case belief.ShortOfCharge, belief.ChargeRight:
		return join(sh, sc)
	case belief.Overcharged:
		return join(sc, sh, over)
	case belief.LowAirflow:
		return join(say("evaporating ", r.ReturnOverEvapK, " under return air"), say("split ", r.SplitK, ""), sh)
	case belief.CondenserFouled:
		return over
	case belief.NonCondensables:
		return join(over, sc)
	case belief.Restriction:
		return join(sh, sc)
	case belief.WeakCompressor:
		return join(ratioText(r.CompressionRatio), over)
	case belief.HeadPressure:
		out := ""
		if given(r.OutdoorK) {
			out = "outdoor air " + temp(r.OutdoorK, u)
		}
		return join(out, say("drop leg subcooled ", r.DropLegSubcoolingK, ""), over)
	}
	return ""
}

func ratioText(x float64) string {
	if !given(x) {
		return ""
	}
	return fmt.Sprintf("compression ratio %.1f", x)
}

// because joins a cause's title with its evidence, when there is any.
func because(k Cause) string {
	if k.Evidence == "" {
		return ""
	}
	return ": " + k.Evidence
}

func join(parts ...string) string {
	var kept []string
	for _, p := range parts {
		if p != "" {
			kept = append(kept, p)
		}
	}
	return strings.Join(kept, ", ")
}

// causeLook says what to look at and how to tell. Common practice, no source,
// unless said.
func causeLook(name string) string {
	switch name {
	case belief.ShortOfCharge:
		return "Find the leak: oil stains, valve cores, flares, caps; then weigh in."
	case belief.ChargeRight:
		return "Nothing to add."
	case belief.Overcharged:
		return "Take a little out, wait, read again: subcooling and head fall, superheat rises."
	case belief.LowAirflow:
		return "Filter, coil face, blower wheel and speed, registers. With air put right, evaporating and superheat rise and the split falls."
	case belief.CondenserFouled:
		return "Coil face, fan speed and direction, hot air coming back. With it clean, condensing falls at once."
	case belief.NonCondensables:
		return "Stop the compressor, let the fan bring the condenser to outdoor air, and compare: pressure above saturation means air. Then recover, evacuate, weigh in."
	case belief.Restriction:
		return "Feel along the liquid line: a drop over the drier of more than 3 °F (1.7 K), sweat or frost marks it. Adding raises subcooling only."
	case belief.WeakCompressor:
		return "Current against the plate, and whether suction falls when the liquid side is shut for a moment by the maker's procedure; on a heat pump feel the reversing valve's pipes."
	case belief.HeadPressure:
		return "Hold condenser air back within the maker's limits until condensing passes the valve's setting, then look at the glass: clear means charge enough; a bypass pipe still hot means the valve is stuck."
	}
	return ""
}
