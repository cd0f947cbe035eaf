package rig

import "fmt"

// Faults are what is wrong with a system beside its charge, each continuous
// from 0 (no fault) to 1 (as bad as it gets). The zero Faults is a sound system.
type Faults struct {
	LowAirflow       float64 // evaporator air flow lost: 1 leaves 15 % of full air, 0.4 leaves 66 %
	CondenserFouling float64 // 1 leaves 35 % of the condenser's air flow and 55 % of its conductance
	CondenserFan     float64 // condenser air flow lost to a failing fan; 1 leaves natural draught, 8 %
	Restriction      float64 // liquid-line restriction; 1 needs about the whole of a normal pressure difference at design flow
	NonCondensable   float64 // air in the condenser; 1 is a partial pressure of 20 % of design condensing pressure
	WeakCompressor   float64 // 1 halves the flow and takes a quarter off the efficiency
	HeadPressure     float64 // head-pressure control stuck passing hot gas to the receiver; 1 is 15 % of the flow
	ValveStuckOpen   float64 // a valve that cannot close under this share of its full opening
	ValveStuckShut   float64 // a valve that has lost this share of its full opening
	BulbLoose        float64 // 1 has the bulb half-way to the air around it
	WrongRefrigerant float64 // mole share of another refrigerant in the charge
	Contaminant      string  // which; R-22, or R-410A in a system of R-22
}

// check names the first severity outside 0 to 1.
func (f Faults) check() error {
	for _, v := range []struct {
		name string
		s    float64
	}{
		{"low airflow", f.LowAirflow}, {"condenser fouling", f.CondenserFouling}, {"condenser fan", f.CondenserFan},
		{"restriction", f.Restriction}, {"non-condensables", f.NonCondensable}, {"weak compressor", f.WeakCompressor},
		{"head pressure", f.HeadPressure}, {"valve stuck open", f.ValveStuckOpen}, {"valve stuck shut", f.ValveStuckShut},
		{"bulb loose", f.BulbLoose}, {"wrong refrigerant", f.WrongRefrigerant},
	} {
		if !(v.s >= 0 && v.s <= 1) {
			return fmt.Errorf("rig: severity of %s is %g; give 0 (none) to 1 (worst)", v.name, v.s)
		}
	}
	return nil
}
