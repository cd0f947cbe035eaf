package charge

import (
	"fmt"
	"math"
)

// where says how the newest reading lies to its target.
func (d *decision) where() string {
	t, u := d.target, d.u()
	var name string
	var now float64
	switch t.Of {
	case OfSuperheat:
		name, now = "Superheat", d.r.SuperheatK
	case OfSubcooling:
		name, now = "Subcooling", d.r.SubcoolingK
	case OfSightGlass:
		if d.r.Glass == "" {
			return "The sight glass was not looked at."
		}
		return fmt.Sprintf("Sight glass: %s; subcooling %s.", d.r.Glass, diff(d.r.SubcoolingK, u))
	default:
		return fmt.Sprintf("Superheat %s, subcooling %s.", diff(d.r.SuperheatK, u), diff(d.r.SubcoolingK, u))
	}
	if !t.Defined {
		return fmt.Sprintf("Superheat %s, subcooling %s.", diff(d.r.SuperheatK, u), diff(d.r.SubcoolingK, u))
	}
	gap := now - t.Mid
	side := "over"
	if gap < 0 {
		side = "under"
	}
	if math.Abs(gap) < rangeRounding {
		return fmt.Sprintf("%s is %s, the middle of its band (%s).", name, diff(now, u), bandText(t, u))
	}
	also := ""
	if d.device.Verdict == DeviceUnknown && t.Of == OfSuperheat {
		also = fmt.Sprintf("; subcooling %s", diff(d.r.SubcoolingK, u))
	}
	return fmt.Sprintf("%s is %s, %s %s the middle of its band (%s)%s.", name, diff(now, u), diff(math.Abs(gap), u), side, bandText(t, u), also)
}

// whyStep says what the step is expected to do, in the words of the fork.
func (d *decision) whyStep(p proposal) string {
	f := d.st.mind.forecast(p.kg)
	u := d.u()
	switch {
	case d.device.Verdict == FixedOrifice:
		return fmt.Sprintf("After it superheat should land near %s.", diff(f.IfOrifice.Superheat[1], u))
	case d.device.Verdict == ExpansionValve:
		return fmt.Sprintf("After it subcooling should land near %s.", diff(f.IfValve.Subcooling[1], u))
	case d.device.ExpansionValve > verdictAt:
		return fmt.Sprintf("Very likely a valve, not shown yet; after it superheat should land near %s, subcooling near %s.", diff(f.IfValve.Superheat[1], u), diff(f.IfValve.Subcooling[1], u))
	case d.device.FixedOrifice > verdictAt:
		return fmt.Sprintf("Very likely an orifice, not shown yet while subcooling is low; after it superheat should land near %s.", diff(f.IfOrifice.Superheat[1], u))
	}
	o, v := f.IfOrifice.Superheat[1], f.IfValve.Superheat[1]
	if limit, _, _ := d.floor(); o < limit { // so unlikely that its floor does not bind: it is said all the same
		return fmt.Sprintf("It looks like a valve, and superheat should stay near %s. An orifice would fall to %s, under the floor of %s: stop weighing if superheat falls that way.", diff(v, u), diff(o, u), diff(limit, u))
	}
	if math.Abs(o-v) < fork {
		return fmt.Sprintf("Device not known yet; superheat should land near %s either way, and the step is within the limits for both.", diff(f.Both.Superheat[1], u))
	}
	return fmt.Sprintf("With an orifice superheat would land near %s, with a valve near %s; the step is within the limits for both.", diff(o, u), diff(v, u))
}

func (d *decision) whyMeasure(needs []string) string {
	return fmt.Sprintf("Also read %s: it would change the advice.", andList(wordsOf(needs)))
}

// whyTell says what taking some out shows of the device, and that looking is
// better.
func (d *decision) whyTell(p proposal) {
	u, f := d.u(), d.st.mind.forecast(-p.kg)
	says, _ := d.rightFor()
	d.why("%s: see which is inside before any comes out.", says)
	o, v := f.IfOrifice.Superheat[1], f.IfValve.Superheat[1]
	if o-v < fork {
		d.why("If it cannot be seen, take some back, wait, read again.")
		return
	}
	d.why("If it cannot be seen, superheat then tells: near %s with an orifice, %s with a valve.", diff(o, u), diff(v, u))
}

// whyLook says at the end of a job whose device is not named that the other one
// would have wanted something else.
func (d *decision) whyLook() {
	if !d.unnamed() || math.Min(d.device.FixedOrifice, d.device.ExpansionValve) < lookFrom {
		return
	}
	if says, differs := d.rightFor(); differs {
		d.why("%s: see which is inside before you leave.", says)
	}
}

// unnamed reports a device not named yet where its name decides the target.
func (d *decision) unnamed() bool {
	return d.device.Verdict == DeviceUnknown && d.tg.other.Of == ""
}

// rightFor says what the reading would mean with either device inside; differs
// tells that it is not the same for both.
func (d *decision) rightFor() (says string, differs bool) {
	of := func(t Target, now float64, rises bool) string {
		switch {
		case !t.Defined || now >= t.Low && now <= t.High:
			return "right for"
		case now > t.High == rises:
			return "too much charge for"
		}
		return "too little for"
	}
	orifice, valve := of(d.tg.orifice, d.r.SuperheatK, false), of(d.tg.valve, d.r.SubcoolingK, true)
	switch {
	case orifice != valve:
		return title(fmt.Sprintf("%s a valve, %s an orifice", valve, orifice)), true
	case orifice == "right for":
		return "Right for either, if only just", false
	}
	return title(orifice + " either"), false
}
