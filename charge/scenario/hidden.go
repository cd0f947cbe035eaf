package scenario

import (
	"fmt"
	"math"
	"strings"

	"chargehand/charge"
	q "chargehand/charge/quantity"
)

// hiddenWords lists what the apprentice could not see.
func (r *Run) hiddenWords() []string {
	h := &r.lesson.Hidden
	out := []string{
		fmt.Sprintf("device: %s", words(h.Spec.Device.String())),
		fmt.Sprintf("charge on arrival: %s, %.0f %% of the plate's %s", r.mass(h.ChargePercent/100*r.sys.NameplateKg), h.ChargePercent, r.mass(r.sys.NameplateKg)),
	}
	for _, f := range faults {
		if x := *f.at(&h.Faults); x > 0 {
			out = append(out, fmt.Sprintf("fault: %s (severity %.2f of 1)", f.words, x))
		}
	}
	if h.LeakKgPerHour > 0 {
		out = append(out, fmt.Sprintf("leak: %s an hour", r.mass(h.LeakKgPerHour)))
	}
	for _, t := range r.lesson.Trouble {
		switch {
		case t.On != "":
			out = append(out, fmt.Sprintf("instrument: %s sat on the %s", words(strings.ReplaceAll(t.Reading, "_", "-")), words(t.On)))
		default:
			out = append(out, fmt.Sprintf("instrument: %s was off", words(strings.ReplaceAll(t.Reading, "_", "-"))))
		}
	}
	first, last := r.lesson.Weather[0], r.lesson.Weather[len(r.lesson.Weather)-1]
	if math.Abs(last.OutdoorK-first.OutdoorK) > 1 {
		out = append(out, fmt.Sprintf("weather: outdoor air from %s to %s", q.FormatTemperatureK(first.OutdoorK, r.opt.Units), q.FormatTemperatureK(last.OutdoorK, r.opt.Units)))
	}
	return out
}

// curve is the hidden system's answer to charge round what was weighed.
func (r *Run) curve() []CurvePoint {
	now := r.plant.ChargeKg()
	net := 0.0
	for i, e := range r.events {
		if w, ok := e.Body.(*charge.Weighing); ok && !r.voided(i) {
			net += w.Amount.Kilograms()
		}
	}
	plate := r.sys.NameplateKg
	low, high := math.Min(now-net, now)-0.05*plate, math.Max(math.Max(now-net, now), plate)+0.08*plate
	var out []CurvePoint
	const points = 25
	for i := range points {
		kg := low + (high-low)*float64(i)/(points-1)
		st, err := r.sys.Steady(kg, r.weather(), r.faults)
		if err != nil {
			continue
		}
		out = append(out, CurvePoint{NetKg: kg - now + net, SuperheatK: st.SuperheatK, SubcoolingK: st.SubcoolingK})
	}
	return out
}
