package rig

import (
	"math"
	"math/rand"
)

// valveLoop is the swing of a thermostatic valve about its steady state: bulb,
// evaporator and valve body are three first-order lags in a ring. With lags a, b
// and c such a ring swings by itself when its gain passes
//
//	(a + b + c)(1/a + 1/b + 1/c) - 1
//
// (Routh's criterion), and the valve's own stops bound the swing. An electronic
// valve has a slow controller in its place and does not hunt here.
type valveLoop struct {
	bulb, coil, body float64 // deviations: K, K, share of opening
}

func (l *valveLoop) start(rng *rand.Rand) {
	l.bulb = 0.2 * rng.NormFloat64() // something to grow from
}

// lags of bulb, evaporator and valve body, s. The evaporator's follows from its
// charge over the flow and its metal over its conductance, times what makes a
// coil of many rows slower than one lump; the body's stands for the way of a
// change along the circuit as well. Bulbs are given 10 to 60 s, evaporators 20 to
// 90 s, the swing 1 to 6 min (common practice).
func (l *valveLoop) lags(s *System, t *State, f Faults) (bulb, coil, body float64) {
	bulb = 40 * (1 + 2*f.BulbLoose)
	flow := math.Max(t.FlowKgS, 0.2*s.flow)
	metal := 1.5 * s.capacity / 1000 * 500 * s.spec.EvaporatorTDK / s.capacity
	coil = 1.6 * (t.Inventory.Evaporator/flow + metal)
	return bulb, coil, 10
}

// gain of the ring: how far coil superheat moves for a share of flow, some five
// times the coil's temperature difference (the slope of this rig's own steady
// states), times a share of opening per kelvin; two thirds are lost to the
// damped charge of a bulb.
func (l *valveLoop) gain(s *System, t *State) float64 {
	slope := 5 * math.Max(t.Conditions.ReturnDryK-t.CoilEvaporatingK, 1)
	return slope / 3 / math.Max(t.ValveOpening, 0.15) / s.valve.gradient
}

// run moves the ring on by dt seconds.
func (l *valveLoop) run(s *System, t *State, f Faults, dt float64) {
	if s.spec.Device != ThermostaticValve {
		return
	}
	a, b, c := l.lags(s, t, f)
	k := l.gain(s, t) * s.valve.gradient // K per share of opening
	stops := s.valve.stuck(f)
	least, most := stops.bleed, stops.open
	u := t.ValveOpening
	// Where the valve would stand without its stops: far past them when starved.
	free := s.valve.bleed + (t.CoilSuperheatK-s.valve.static)/s.valve.gradient
	if free < most {
		free = u
	}
	const h = 0.5
	for ; dt > 0; dt -= h {
		want := math.Min(math.Max(free+l.bulb/s.valve.gradient, least), most) - math.Min(math.Max(u, least), most)
		l.body += h / c * (want - l.body)
		to := -k * l.body
		// Superheat cannot fall under nothing nor rise over the air.
		to = math.Max(to, -t.CoilSuperheatK)
		to = math.Min(to, 0.8*math.Max(t.Conditions.ReturnDryK-t.CoilEvaporatingK-t.CoilSuperheatK, 0))
		l.coil += h / b * (to - l.coil)
		l.bulb += h / a * (l.coil - l.bulb)
	}
}

// over lays the swing on what is shown: superheat swings, suction pressure
// against it a little, subcooling hardly.
func (l *valveLoop) over(st State, s *System) State {
	if s.spec.Device != ThermostaticValve || st.CutOut {
		return st
	}
	shift := -0.12 * l.coil // of evaporating temperature
	te := st.EvaporatingK + shift
	if te > s.teLow && te < s.tcHigh {
		st.SuctionPressurePa = s.fluid.dewP(te)
	}
	st.SuctionLineK += l.coil + shift
	st.LiquidPressurePa *= 1 - 0.0006*l.coil
	st.ValveOpening += l.body
	st.CoilSuperheatK = math.Max(st.CoilSuperheatK+l.coil, 0)
	s.derive(&st)
	return st
}
