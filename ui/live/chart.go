package live

import (
	"math"

	"chargehand/charge"
	q "chargehand/charge/quantity"
	"chargehand/ui/fork"
	"chargehand/ui/say"
)

// Fork makes the chart's data of the steps up to and including the last one
// given.
func Fork(steps []charge.Step, u q.System) fork.Data {
	d := fork.Data{Unit: say.DegreeSign(u), MassUnit: string(u.MassUnit())}
	deg := func(k float64) float64 {
		if u == q.US {
			return k * 1.8
		}
		return k
	}
	mass := func(kg float64) float64 {
		if u == q.US {
			return q.Kilograms(kg).Ounces()
		}
		return kg * 1000
	}
	ranges := func(b charge.Bands) [2]fork.Range {
		var out [2]fork.Range
		for i := range 3 {
			out[fork.Superheat][i], out[fork.Subcooling][i] = deg(b.Superheat[i]), deg(b.Subcooling[i])
		}
		return out
	}
	fans := func(a charge.Advice) fork.Fans {
		x := a.TotalKg
		switch a.Action {
		case charge.Add:
			x += a.AmountKg
		case charge.Recover:
			x -= a.AmountKg
		}
		f := fork.Fans{On: a.Action != "", X: mass(x), Orifice: ranges(a.Forecast.IfOrifice), Valve: ranges(a.Forecast.IfValve)}
		switch a.Belief.Verdict {
		case charge.FixedOrifice:
			f.Known = fork.KnownOrifice
		case charge.ExpansionValve:
			f.Known = fork.KnownValve
		}
		return f
	}
	near := func(a, b float64) bool { return math.Abs(a-b) <= 0.002+0.02*math.Abs(b) }

	var before *charge.Advice // what was told before the newest reading
	var now charge.Advice
	var lastNet float64
	for i := range steps {
		st := &steps[i]
		if st.Voided {
			continue
		}
		now = st.Now
		if _, ok := st.Event.Body.(*charge.Reading); ok {
			grave := false
			for _, x := range st.Now.Doubts {
				grave = grave || x.Grave
			}
			if !grave {
				d.Points = append(d.Points, fork.Point{
					X: mass(now.TotalKg), Y: [2]float64{deg(now.Derived.SuperheatK), deg(now.Derived.SubcoolingK)},
					Settled: now.Derived.Settled,
				})
				d.Past = fork.Fans{}
				if before != nil && len(d.Points) > 1 && !near(now.TotalKg, lastNet) {
					f := fans(*before)
					if math.Abs(f.X-mass(now.TotalKg)) <= mass(0.006)+0.05*math.Abs(mass(now.TotalKg)-mass(lastNet)) {
						d.Past = f
					}
				}
				lastNet = now.TotalKg
			}
		}
		told := st.Told
		before = &told
	}
	if len(steps) == 0 {
		return d
	}
	for i, t := range []charge.Target{now.IfOrifice, now.IfValve} {
		if t.Defined {
			d.Band[i] = fork.Band{Low: deg(t.Low), High: deg(t.High)}
		}
	}
	if t := now.Target; t.Defined {
		switch t.Of {
		case charge.OfSuperheat:
			d.Band[fork.Superheat] = fork.Band{Low: deg(t.Low), High: deg(t.High)}
		case charge.OfSubcooling:
			d.Band[fork.Subcooling] = fork.Band{Low: deg(t.Low), High: deg(t.High)}
			d.Rules = fork.Subcooling
		}
	}
	for _, r := range now.Rules {
		switch r.Name {
		case "superheat-floor":
			d.Stop[fork.Superheat] = deg(r.Limit)
		case "subcooling-ceiling":
			d.Stop[fork.Subcooling] = deg(r.Limit)
		}
	}
	switch now.Action {
	case charge.Add, charge.Recover, charge.Wait:
		f := fans(now)
		if len(d.Points) > 0 && math.Abs(f.X-d.Points[len(d.Points)-1].X) > mass(0.001) {
			d.Next = f
		}
	}
	return d
}
