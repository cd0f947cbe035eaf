package scenario

import (
	"chargehand/charge/belief"
	"chargehand/charge/rig"
)

// fault is one of the faults a lesson may set, 0 for none to 1 for as bad as it
// gets.
type fault struct {
	name  string // in a lesson's file
	at    func(*rig.Faults) *float64
	words string // in a sentence
	cause string // its name in the advice, "" where the advice has none
}

var faults = []fault{
	{"low_airflow", func(f *rig.Faults) *float64 { return &f.LowAirflow }, "too little air over the coil", belief.LowAirflow},
	{"condenser_fouling", func(f *rig.Faults) *float64 { return &f.CondenserFouling }, "a dirty condenser", belief.CondenserFouled},
	{"condenser_fan", func(f *rig.Faults) *float64 { return &f.CondenserFan }, "a failing condenser fan", belief.CondenserFouled},
	{"restriction", func(f *rig.Faults) *float64 { return &f.Restriction }, "a restricted liquid line", belief.Restriction},
	{"non_condensable", func(f *rig.Faults) *float64 { return &f.NonCondensable }, "air in it", belief.NonCondensables},
	{"weak_compressor", func(f *rig.Faults) *float64 { return &f.WeakCompressor }, "a weak compressor", belief.WeakCompressor},
	{"head_pressure", func(f *rig.Faults) *float64 { return &f.HeadPressure }, "a stuck head-pressure control", belief.HeadPressure},
	{"valve_stuck_open", func(f *rig.Faults) *float64 { return &f.ValveStuckOpen }, "a valve stuck open", ""},
	{"valve_stuck_shut", func(f *rig.Faults) *float64 { return &f.ValveStuckShut }, "a valve stuck shut", belief.Restriction},
	{"bulb_loose", func(f *rig.Faults) *float64 { return &f.BulbLoose }, "a loose bulb", ""},
}

// setFault changes one severity by its name in a lesson's file.
func setFault(f *rig.Faults, name string, x float64) {
	for _, known := range faults {
		if known.name == name {
			*known.at(f) = x
		}
	}
}

// worstFault is the fault that counts most, nil when none does.
func worstFault(f rig.Faults) *fault {
	var worst *fault
	size := faultCounts
	for i := range faults {
		if x := *faults[i].at(&f); x > size {
			worst, size = &faults[i], x
		}
	}
	return worst
}
