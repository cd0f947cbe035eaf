package scenario

import (
	"math"

	"chargehand/charge"
	q "chargehand/charge/quantity"
)

func (r *reader) trouble(n *node) Trouble {
	o := r.object(n)
	t := Trouble{Reading: r.word(o.need("reading"), sensorNames()...), Share: r.number(o.get("share"), 0, 1, 1)}
	s := sensorOf(t.Reading)
	if f := o.get("offset"); f != nil {
		if s.gauge {
			t.Offset = quantity[q.Pressure](r, f).Gauge(standardPa)
		} else {
			t.Offset = quantity[q.TemperatureDifference](r, f).Kelvins()
		}
	}
	if f := o.get("on"); f != nil {
		t.On = r.word(f, placeNames()...)
		if t.Reading != "" && s.felt == nil {
			r.say(f, f.text, "is only for clamps, and this is none: give an offset")
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
