package charge

import (
	"fmt"

	"chargehand/charge/belief"
)

func dischargeCeiling(c *sight) verdict {
	if c.r == nil {
		return verdict{}
	}
	_, most := c.st.dischargeLimits()
	v := over(c.r.DischargeK, most, fmt.Sprintf("Discharge line at %s, limit %s: oil breaks down. Stop; find out why%s.",
		temp(c.r.DischargeK, c.u()), temp(most, c.u()), because(Cause{Evidence: join(ratioText(c.r.CompressionRatio), causeEvidence(belief.ShortOfCharge, c))})))
	if c.starved() && c.lead.Name == belief.ShortOfCharge {
		v.says = fmt.Sprintf("Discharge line at %s, limit %s: so short of charge that it cannot run like this. Stop, find the leak, recover what is in and weigh in %s.",
			temp(c.r.DischargeK, c.u()), temp(most, c.u()), c.plateText())
	}
	v.fired = v.fired && !c.hotFromStarving()
	return v
}

// hotFromStarving reports a discharge line that is hot because the gas comes
// back hot from a coil that wants charge: less what the superheat above its band
// and the low suction put into it, it would be under the limit. Charge is the
// cure of that heat, so the ceiling lets one increment at a time through: the
// first, and the next ones while the line gets cooler with each.
func (c *sight) hotFromStarving() bool {
	band := c.tg.orifice
	if c.r == nil || !c.starved() && !c.wanting() || !given(c.r.DischargeK) || c.lead.Name != belief.ShortOfCharge {
		return false
	}
	excess := c.r.SuperheatK - starvedSuperheat
	if band.Defined {
		excess = c.r.SuperheatK - band.High
	}
	usual := coilBelowReturn
	if !c.st.comfort() {
		usual = coilBelowBox
	}
	heat := dischargePerSuperheat * excess
	if low := c.r.ReturnOverEvapK - usual; low > 0 {
		heat += dischargePerDrop * low
	}
	_, most := c.st.dischargeLimits()
	if c.r.DischargeK-heat > most || c.r.DischargeK > fahrenheit(dischargeStarvedMost) {
		return false
	}
	p := c.response(1)
	return p == nil || !given(p.DischargeK) || c.r.DischargeK < p.DischargeK
}

// dischargeLimits are the warning and the ceiling of the discharge line, K.
func (st *state) dischargeLimits() (warn, most float64) {
	if st.med.name == "R-32" {
		return fahrenheit(dischargeWarnHot), fahrenheit(dischargeMostHot)
	}
	return fahrenheit(dischargeWarn), fahrenheit(dischargeMost)
}
