package trial

import (
	"math"
	"time"

	"chargehand/charge"
)

// engine is the session engine: what a technician is really told.
type engine struct{ s *charge.Session }

func newEngine(stream uint64) policy {
	return &engine{charge.NewSession(charge.Options{Stream: stream})}
}

func (e *engine) tell(line string) answer {
	a, ok := apply(e.s, line)
	if !ok {
		return answer{refused: true}
	}
	out := answer{action: a.Action, kg: a.AmountKg, wait: a.Wait, orifice: a.Belief.FixedOrifice, verdict: a.Belief.Verdict}
	if len(a.Stops) > 0 {
		out.rule = a.Stops[0].Rule
	}
	for _, g := range a.Gates {
		out.thaw = out.thaw || a.Action == charge.Wait && g.Name == "split-ceiling"
	}
	if b := a.Forecast.Both; !math.IsNaN(b.Superheat[1]) && !math.IsNaN(b.Subcooling[1]) {
		out.bands = &b
	}
	return out
}

func apply(s *charge.Session, line string) (charge.Advice, bool) {
	ev, err := charge.ParseEvent([]byte(line))
	if err != nil {
		return charge.Advice{}, false
	}
	a, err := s.Apply(ev)
	return a, err == nil
}

// fixed is a rule of thumb, the way many learn it: eight ounces, then four at a time, ten minutes apart; superheat under
// 8 °F means an orifice; superheat that held within 3 °F over two additions while subcooling rose 2 °F means a valve; stop
// in the band. Common practice, no source. It uses a session only to turn gauges into superheat, subcooling and targets.
type fixed struct {
	s       *charge.Session
	seen    [][2]float64
	verdict charge.Device
	last    answer
}

func newFixed() policy {
	return &fixed{s: charge.NewSession(charge.Options{}), verdict: charge.DeviceUnknown}
}

func (f *fixed) tell(line string) answer {
	a, ok := apply(f.s, line)
	switch {
	case !ok:
		return answer{refused: true}
	case a.Kind == charge.KindReading:
		f.last = f.step(a)
	}
	return f.last
}

func (f *fixed) say(action charge.Action, oz float64) answer {
	p := math.NaN()
	return answer{action: action, kg: oz * ounce, wait: 10 * time.Minute, orifice: p, verdict: f.verdict}
}

func (f *fixed) step(a charge.Advice) answer {
	d := a.Derived
	if math.IsNaN(d.ReturnWetK) || math.IsNaN(d.OutdoorK) || math.IsNaN(d.SuperheatK) || math.IsNaN(d.SubcoolingK) {
		return f.say(charge.Measure, 0)
	}
	sh, sc := d.SuperheatK/degF, d.SubcoolingK/degF
	goal := 5.0
	if t := charge.TargetSuperheat(d.OutdoorK, d.ReturnWetK); t.Defined {
		goal = t.Mid / degF
	}
	want := 10.0
	if a.IfValve.Defined {
		want = a.IfValve.Mid / degF
	}
	f.seen = append(f.seen, [2]float64{sh, sc})
	if n := len(f.seen); f.verdict == charge.DeviceUnknown {
		switch {
		case sh < 8 && n > 1:
			f.verdict = charge.FixedOrifice
		case n >= 3:
			low, high := math.Inf(1), math.Inf(-1)
			for _, v := range f.seen[n-3:] {
				low, high = min(low, v[0]), max(high, v[0])
			}
			if high-low <= 3 && sc-f.seen[n-3][1] > 2 {
				f.verdict = charge.ExpansionValve
			}
		}
	}
	switch f.verdict {
	case charge.FixedOrifice:
		switch {
		case math.Abs(sh-goal) <= 5:
			return f.say(charge.Stop, 0)
		case sh < goal:
			return f.say(charge.Recover, 4)
		}
		return f.say(charge.Add, 4)
	case charge.ExpansionValve:
		switch {
		case math.Abs(sc-want) <= 3:
			return f.say(charge.Stop, 0)
		case sc > want:
			return f.say(charge.Recover, 4)
		}
		return f.say(charge.Add, 4)
	}
	if math.Abs(sh-goal) <= 5 && math.Abs(sc-want) <= 3 || sc > want+8 {
		return f.say(charge.Stop, 0)
	}
	if len(f.seen) == 1 {
		return f.say(charge.Add, 8)
	}
	return f.say(charge.Add, 4)
}
