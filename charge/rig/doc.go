// Package rig is a simulated vapour-compression system: the practice system of
// the trainer, the source of the belief's ensemble, and the patient on which
// advice is tried ten thousand times before a technician tries it once.
//
// # Use
//
//	sys, err := rig.Size(rig.Spec{
//		Refrigerant: "R-410A", CapacityW: 10_550, Device: rig.FixedOrifice,
//		DesignSuperheatK: 6.7, DesignSubcoolingK: 5.5,
//	})
//	state, err := sys.Steady(0.85*sys.NameplateKg, rig.Comfort.Rating(), rig.Faults{})
//	curve, err := sys.Sweep(conditions, faults, 60)   // the whole charge curve
//	state, err = curve.At(2.4)                        // and any point of it, in kg
//
// Size turns a Spec into a whole system: displacement, coils, device, volumes
// and the data plate charge. Every field of a Spec left at zero takes a
// sensible default, so a system is a few lines; Plausible draws all of them at
// random. A System never changes after Size and is safe for concurrent use.
// A Plant is a live system with a clock advanced by hand; Instruments turn a
// State into what gauges and clamps would show.
//
// All quantities are SI with absolute pressures: Pa, K, kg, W, m. Nothing here
// reads a clock, a file or an unseeded random number.
package rig
