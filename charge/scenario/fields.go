package scenario

import (
	"encoding/json"
	"math"
	"slices"
	"time"

	"chargehand/charge"
	q "chargehand/charge/quantity"
	"chargehand/charge/rig"
)

func (r *reader) scenario(n *node) *Scenario {
	o := r.object(n)
	s := &Scenario{}
	if f := o.need("format"); f != nil && f.text != Format {
		r.say(f, f.text, "is not known: write %q", Format)
	}
	o.get("$schema")
	s.Name = r.name(o.need("name"))
	s.Title = r.words(o.need("title"))
	s.Teaches = r.words(o.need("teaches"))
	for _, p := range r.list(o.need("story"), 20) {
		s.Story = append(s.Story, r.words(p))
	}
	if f := o.need("start"); f != nil {
		t, err := time.Parse(time.RFC3339, f.text)
		if err != nil {
			r.say(f, f.text, `is not a time: write it like "2026-07-14T13:00:00Z"`)
		}
		s.Start = t
	}
	s.Plate = r.word(o.get("plate"), "readable", "unreadable") != "unreadable"
	if f := o.need("setup"); f != nil {
		if b := r.setup(f, true); b != nil {
			s.Setup = *b
		}
	}
	if f := o.need("hidden"); f != nil {
		s.Hidden = r.hidden(f, &s.Setup)
	}
	for _, w := range r.list(o.need("weather"), 50) {
		s.Weather = append(s.Weather, r.weather(w))
	}
	if f := o.get("weather"); f != nil && f.kind == "list" {
		if len(s.Weather) == 0 {
			r.say(f, "", "is empty: give at least the weather at minute 0")
		}
		for i := 1; i < len(s.Weather); i++ {
			if s.Weather[i].Minute <= s.Weather[i-1].Minute {
				r.say(f.items[i], "", "comes before the point in front of it: put the minutes in order")
			}
		}
	}
	for _, t := range r.list(o.get("instruments"), 20) {
		s.Trouble = append(s.Trouble, r.trouble(t))
	}
	seen := map[string]bool{}
	for _, i := range r.list(o.need("inspect"), 30) {
		item := r.item(i)
		if seen[item.Name] {
			r.say(i, item.Name, "is listed twice: keep one")
		}
		seen[item.Name] = true
		s.Items = append(s.Items, item)
	}
	if f := o.need("goal"); f != nil {
		s.Goal = r.goal(f, seen)
	}
	if f := o.need("misstep"); f != nil {
		s.Misstep = r.misstep(f, seen)
	}
	o.done()
	return s
}

// setup hands the fields to the reader of events, which knows their forms.
func (r *reader) setup(n *node, first bool) *charge.Setup {
	o := r.object(n)
	line := map[string]any{"kind": "setup", "at": "2026-01-01T00:00:00Z"}
	at := map[string]*node{}
	for _, m := range o.at.fields {
		o.used[m.name] = true
		if m.name == "kind" || m.name == "at" {
			r.say(m.at, "", "does not belong into a setup of a scenario")
			continue
		}
		if m.at.kind != "text" {
			r.say(m.at, m.at.text, "is a %s: write text between quotation marks, quantities with their unit", m.at.kind)
			return nil
		}
		line[m.name], at[m.name] = m.at.text, m.at
	}
	raw, err := json.Marshal(line)
	if err != nil {
		r.say(n, "", "%s", err)
		return nil
	}
	e, err := charge.ParseEvent(raw)
	if err == nil {
		err = admissible(e, first)
	}
	if err != nil {
		where, why := n, err.Error()
		if ref, ok := err.(*charge.Refusal); ok {
			why = ref.Why
			if at[ref.Field] != nil {
				where = at[ref.Field]
				r.say(where, ref.Value, "%s", why)
				return nil
			}
			if ref.Field != "" {
				why = ref.Field + " " + why
			}
		}
		r.say(where, "", "%s", why)
		return nil
	}
	for _, x := range e.Extra {
		r.problems = append(r.problems, Problem{Line: at[x.Name].line, Field: clip(at[x.Name].path), Why: "is not a field of a setup"})
	}
	return e.Body.(*charge.Setup)
}

// admissible lets a session say whether it would take the setup.
func admissible(e charge.Event, first bool) error {
	s := charge.NewSession(charge.Options{})
	if !first {
		if _, err := s.Apply(charge.Event{At: e.At, Body: &charge.Setup{Refrigerant: "R-410A"}}); err != nil {
			return err
		}
	}
	_, err := s.Apply(e)
	return err
}

func (r *reader) hidden(n *node, known *charge.Setup) Hidden {
	o := r.object(n)
	h := Hidden{}
	sp := &h.Spec
	sp.Refrigerant = string(known.Refrigerant)
	if f := o.get("refrigerant"); f != nil {
		sp.Refrigerant = r.words(f)
	}
	if f := o.need("device"); f != nil {
		d, err := rig.ParseDevice(f.text)
		if err != nil {
			r.say(f, f.text, "use fixed-orifice, capillary-tube, thermostatic or electronic")
		}
		sp.Device = d
	}
	switch known.Application {
	case charge.MediumTemperature:
		sp.Application = rig.MediumTemperature
	case charge.LowTemperature:
		sp.Application = rig.LowTemperature
	}
	if f := o.need("capacity"); f != nil {
		sp.CapacityW = quantity[q.Power](r, f).Watts()
	}
	h.ChargePercent = r.number(o.need("charge_percent"), 20, 180, 100)
	diff := func(name string) float64 { return orZero(quantity[q.TemperatureDifference](r, o.get(name)).Kelvins()) }
	sp.DesignSuperheatK = diff("design_superheat")
	sp.DesignSubcoolingK = diff("design_subcooling")
	sp.CondensingOverAmbientK = diff("condensing_over_outdoor")
	sp.EvaporatorTDK = diff("return_over_evaporating")
	sp.ValveGradientK = diff("valve_gradient")
	sp.ValveCapacity = r.number(o.get("valve_capacity"), 1, 3, 0)
	sp.ValveBleed = r.number(o.get("valve_bleed"), 0, 0.4, 0)
	sp.LiquidLineM = orZero(quantity[q.Length](r, o.get("line_length")).Meters())
	sp.ReceiverM3 = r.number(o.get("receiver_litres"), 0, 200, 0) / 1000
	sp.ReceiverLevel = r.number(o.get("receiver_level"), 0, 0.9, 0)
	sp.HeadPressurePa = orZero(quantity[q.Pressure](r, o.get("head_pressure_setting")).Absolute(standardPa))
	if f := o.get("micro_channel"); f != nil {
		if f.kind != "true or false" {
			r.say(f, f.text, "write true or false")
		}
		sp.MicroChannel = f.flag
	}
	if f := o.get("design"); f != nil {
		sp.Design = r.design(f)
	}
	if f := o.get("leak_per_hour"); f != nil {
		h.LeakKgPerHour = orZero(quantity[q.Mass](r, f).Kilograms())
		if h.LeakKgPerHour < 0 || h.LeakKgPerHour > 20 {
			r.say(f, f.text, "is out of range: 0 to 20 kg an hour")
		}
	}
	if f := o.get("faults"); f != nil {
		for name, x := range r.faults(f) {
			setFault(&h.Faults, name, x)
		}
	}
	o.done()
	return h
}

const standardPa = 101325

func orZero(x float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	return x
}

func (r *reader) design(n *node) rig.Conditions {
	o := r.object(n)
	c := rig.Conditions{
		OutdoorK:    quantity[q.Temperature](r, o.need("outdoor")).Kelvin(),
		ReturnDryK:  quantity[q.Temperature](r, o.need("return_dry_bulb")).Kelvin(),
		ReturnWetK:  quantity[q.Temperature](r, o.need("return_wet_bulb")).Kelvin(),
		BarometerPa: standardPa,
	}
	o.done()
	return c
}

// FaultNames are the faults a scenario may set, 0 for none to 1 for as bad as
// it gets.
var FaultNames = []string{"low_airflow", "condenser_fouling", "condenser_fan", "restriction", "non_condensable", "weak_compressor",
	"head_pressure", "valve_stuck_open", "valve_stuck_shut", "bulb_loose"}

func setFault(f *rig.Faults, name string, x float64) {
	switch name {
	case "low_airflow":
		f.LowAirflow = x
	case "condenser_fouling":
		f.CondenserFouling = x
	case "condenser_fan":
		f.CondenserFan = x
	case "restriction":
		f.Restriction = x
	case "non_condensable":
		f.NonCondensable = x
	case "weak_compressor":
		f.WeakCompressor = x
	case "head_pressure":
		f.HeadPressure = x
	case "valve_stuck_open":
		f.ValveStuckOpen = x
	case "valve_stuck_shut":
		f.ValveStuckShut = x
	case "bulb_loose":
		f.BulbLoose = x
	}
}

func (r *reader) faults(n *node) map[string]float64 {
	o := r.object(n)
	m := map[string]float64{}
	for _, name := range FaultNames {
		if f := o.get(name); f != nil {
			m[name] = r.number(f, 0, 1, 0)
		}
	}
	o.done()
	return m
}

func (r *reader) weather(n *node) Weather {
	o := r.object(n)
	w := Weather{
		Minute:     r.number(o.need("minute"), 0, 1440, 0),
		OutdoorK:   r.between(o.need("outdoor"), 233, 330),
		ReturnDryK: r.between(o.need("return_dry_bulb"), 233, 318),
		ReturnWetK: r.between(o.need("return_wet_bulb"), 233, 310),
	}
	if w.ReturnWetK > w.ReturnDryK {
		r.say(n, "", "the wet bulb is above the dry bulb: swap them")
	}
	o.done()
	return w
}

func (r *reader) between(n *node, lowK, highK float64) float64 {
	k := quantity[q.Temperature](r, n).Kelvin()
	if k < lowK || k > highK {
		r.say(n, n.text, "is out of range for a scenario: %s to %s", q.FormatTemperatureK(lowK, q.US), q.FormatTemperatureK(highK, q.US))
	}
	return k
}

// sensors are the readings an instrument trouble may name, with whether they
// are pressures.
var sensors = map[string]bool{"suction_pressure": true, "liquid_pressure": true, "suction_line": false, "liquid_line": false, "outdoor": false,
	"return_dry_bulb": false, "return_wet_bulb": false, "supply_dry_bulb": false, "discharge_line": false, "drop_leg": false}

func sensorNames() []string {
	names := make([]string, 0, len(sensors))
	for k := range sensors {
		names = append(names, k)
	}
	slices.Sort(names)
	return names
}

// places a clamp can be on by mistake.
var places = []string{"suction-line", "liquid-line", "discharge-line", "outdoor-air"}

func (r *reader) trouble(n *node) Trouble {
	o := r.object(n)
	t := Trouble{Reading: r.word(o.need("reading"), sensorNames()...), Share: r.number(o.get("share"), 0, 1, 1)}
	if f := o.get("offset"); f != nil {
		if sensors[t.Reading] {
			t.Offset = quantity[q.Pressure](r, f).Gauge(standardPa)
		} else {
			t.Offset = quantity[q.TemperatureDifference](r, f).Kelvins()
		}
	}
	if f := o.get("on"); f != nil {
		t.On = r.word(f, places...)
		if sensors[t.Reading] {
			r.say(f, f.text, "a gauge cannot sit on another pipe: give an offset")
		}
	}
	if o.get("offset") == nil && o.get("on") == nil {
		r.say(n, "", "does nothing: give offset or on")
	}
	o.done()
	return t
}

func (r *reader) item(n *node) Item {
	o := r.object(n)
	i := Item{Name: r.name(o.need("item")), Says: r.words(o.need("says")), Minutes: r.number(o.get("minutes"), 0, 240, 2)}
	state := o.get("state")
	if i.Known() {
		if state == nil {
			r.say(n, i.Name, "is on the check list: give its state, ok or faulty")
		}
		i.State = charge.CheckState(r.word(state, "ok", "faulty"))
	} else if state != nil {
		r.say(state, state.text, "is only for items of the check list")
	}
	if f := o.get("shows"); f != nil {
		i.Shows = r.setup(f, false)
	}
	if f := o.get("fix"); f != nil {
		fo := r.object(f)
		i.Fix = &Fix{Says: r.words(fo.need("says")), Minutes: r.number(fo.get("minutes"), 0, 480, 10)}
		if x := fo.get("faults"); x != nil {
			i.Fix.Faults = r.faults(x)
		}
		for _, x := range r.list(fo.get("mends"), 10) {
			i.Fix.Mends = append(i.Fix.Mends, r.word(x, sensorNames()...))
		}
		if x := fo.get("stops_leak"); x != nil {
			if x.kind != "true or false" {
				r.say(x, x.text, "write true or false")
			}
			i.Fix.Stops = x.flag
		}
		fo.done()
	}
	o.done()
	return i
}

func (r *reader) goal(n *node, items map[string]bool) Goal {
	o := r.object(n)
	g := Goal{Kind: GoalKind(r.word(o.need("kind"), string(ChargeIt), string(LeaveIt))), Says: r.words(o.need("says")), LowK: math.NaN(), HighK: math.NaN()}
	of, causes := o.get("of"), o.get("causes")
	switch g.Kind {
	case ChargeIt:
		if of == nil {
			of = o.need("of")
		}
		g.Of = charge.TargetOf(r.word(of, string(charge.OfSuperheat), string(charge.OfSubcooling)))
		if f := o.get("low"); f != nil {
			g.LowK = quantity[q.TemperatureDifference](r, f).Kelvins()
			g.HighK = quantity[q.TemperatureDifference](r, o.need("high")).Kelvins()
		}
		o.get("high")
		if causes != nil {
			r.say(causes, "", "belongs to a goal of kind leave")
		}
	case LeaveIt:
		if causes == nil {
			causes = o.need("causes")
		}
		for _, c := range r.list(causes, 10) {
			g.Causes = append(g.Causes, r.name(c))
		}
		if of != nil {
			r.say(of, of.text, "belongs to a goal of kind charge")
		}
	}
	for _, f := range r.list(o.get("must_fix"), 10) {
		name := r.name(f)
		if name != "" && !items[name] {
			r.say(f, name, "is not among the items to inspect")
		}
		g.MustFix = append(g.MustFix, name)
	}
	o.done()
	return g
}

func (r *reader) misstep(n *node, items map[string]bool) Misstep {
	o := r.object(n)
	m := Misstep{What: r.words(o.need("what")), Sign: r.words(o.need("sign"))}
	for _, f := range r.list(o.need("play"), 100) {
		mo := r.object(f)
		mv := Move{Do: r.word(mo.need("do"), "read", "weigh", "wait", "inspect", "fix", "finish")}
		switch mv.Do {
		case "weigh":
			mv.Amount = quantity[q.Mass](r, mo.need("amount"))
		case "wait":
			mv.Minutes = r.number(mo.need("minutes"), 0.5, 600, 0)
		case "inspect", "fix":
			if x := mo.need("item"); x != nil {
				if mv.Item = r.name(x); mv.Item != "" && !items[mv.Item] {
					r.say(x, mv.Item, "is not among the items to inspect")
				}
			}
		case "finish":
			mv.Verdict = GoalKind(r.word(mo.need("verdict"), string(ChargeIt), string(LeaveIt)))
			if x := mo.get("cause"); x != nil {
				mv.Cause = r.name(x)
			}
		}
		times := int(r.number(mo.get("times"), 1, 50, 1))
		mo.done()
		for range times {
			m.Play = append(m.Play, mv)
		}
	}
	o.done()
	return m
}
