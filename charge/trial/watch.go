package trial

import (
	"fmt"
	"io"
	"strings"

	"chargehand/charge"
)

// Watch plays one system of the seed of o with the session engine and writes what the system is, every event and what was
// told, with the settled truth after each amount: for finding out why a job ended as it did.
func Watch(w io.Writer, o Options, number int) error {
	p, err := draw(o.Seed, number)
	if err != nil {
		return err
	}
	s := p.sys.Spec()
	fmt.Fprintf(w, "%s: %s %s, %.2f ton, plate %.1f oz, start %.1f oz", p.name, s.Refrigerant, s.Device, s.CapacityW/tonW, p.sys.NameplateKg/ounce, p.start/ounce)
	if p.fault != "" {
		fmt.Fprintf(w, ", %s %+v", p.fault, p.faults)
	}
	c := p.weather[0].Conditions
	fmt.Fprintf(w, "\noutdoor %.1f °F, return %.1f/%.1f °F\n", (c.OutdoorK-zeroF)/degF, (c.ReturnDryK-zeroF)/degF, (c.ReturnWetK-zeroF)/degF)
	r, err := p.play(&watched{engine{charge.NewSession(charge.Options{Stream: o.Stream})}, w})
	if err != nil {
		return err
	}
	end := string(r.end)
	if end == "" {
		end = "limit"
	}
	fmt.Fprintf(w, "ended by %s after %d increments, landed %v, overshot %v, device %s, off its target's middle by %.1f °F, rule %q\n",
		end, r.increments, r.landed, r.overshot, r.verdict, r.off/degF, r.rule)
	return nil
}

type watched struct {
	engine
	w io.Writer
}

func (o *watched) tell(line string) answer {
	ev, err := charge.ParseEvent([]byte(line))
	if err != nil {
		fmt.Fprintln(o.w, line, "->", err)
		return answer{refused: true}
	}
	a := o.engine.tell(line)
	if ev.Kind() == charge.KindCheck {
		return a
	}
	fmt.Fprintln(o.w, line)
	if a.refused {
		fmt.Fprintln(o.w, "    refused")
		return a
	}
	steps := o.s.Steps()
	t := steps[len(steps)-1].Told
	fmt.Fprintf(o.w, "    superheat %.1f subcooling %.1f °F | orifice %.3f %s | %s %.2f oz, wait %v", t.Derived.SuperheatK/degF, t.Derived.SubcoolingK/degF,
		a.orifice, a.verdict, a.action, a.kg/ounce, a.wait)
	if a.bands != nil {
		fmt.Fprintf(o.w, " | then superheat %.1f to %.1f, subcooling %.1f to %.1f", a.bands.Superheat[0]/degF, a.bands.Superheat[2]/degF, a.bands.Subcooling[0]/degF, a.bands.Subcooling[2]/degF)
	}
	fmt.Fprintln(o.w)
	for i, c := range t.Causes {
		if i < 3 {
			fmt.Fprintf(o.w, "    %s %.2f", c.Name, c.P)
		}
	}
	fmt.Fprintf(o.w, "\n    %s\n", strings.Join(t.Why, " "))
	return a
}
