package rig

import "math"

// frost is the ice on the evaporator of an air conditioner. It grows from the
// condensate while the coil's surface is under freezing, blocks the air, which
// makes the coil colder still, and melts when the surface is warm again. Boxes
// run under freezing every day and are defrosted by their own clocks, which is
// not simulated.
type frost struct{ kg float64 }

const (
	frostBlocks  = 0.25 // kg of ice per kW that leave 1/e of the air: an hour's work for a cold coil
	frostSurface = 0.12 // of the way from evaporating to entering wet bulb lies the outside of the tubes
	frostMelts   = 2e-5 // kg/s per kW and per kelvin of surface over freezing: half an hour to thaw (common practice)
)

// grow moves the frost on by dt seconds in a state.
func (f *frost) grow(s *System, t *State, dt float64) {
	if s.spec.Application != Comfort {
		return
	}
	kw := s.capacity / 1000
	surface := t.CoilEvaporatingK + frostSurface*(t.Conditions.ReturnWetK-t.CoilEvaporatingK)
	if cold := freeze - surface; cold > 0 {
		f.kg += dt * t.CondensateKgS * math.Min(cold/3, 1)
	} else {
		f.kg -= dt * kw * frostMelts * -cold
	}
	f.kg = math.Min(math.Max(f.kg, 0), 1.5*frostBlocks*kw)
}

// rest melts with the compressor stopped and the fan on: all of it in 40 min.
func (f *frost) rest(s *System, dt float64) {
	f.kg = math.Max(f.kg-dt/2400*1.5*frostBlocks*s.capacity/1000, 0)
}

// on adds the blocked air to the faults.
func (f *frost) on(s *System, faults Faults) Faults {
	if f.kg == 0 {
		return faults
	}
	through := (1 - 0.85*faults.LowAirflow) * math.Exp(-f.kg/(frostBlocks*s.capacity/1000))
	faults.LowAirflow = math.Min((1-through)/0.85, 1)
	return faults
}
