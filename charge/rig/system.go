package rig

// System is a sized system. It never changes and may be used by many
// goroutines at once.
type System struct {
	// NameplateKg is the data plate charge: the inventory at the design point.
	NameplateKg float64

	spec     Spec // as given, with every default filled in
	fluid    *fluid
	capacity float64 // W at design
	flow     float64 // kg/s at design

	// Evaporator.
	evapAir        float64 // kg/s of dry air
	evapTwo        resistance
	evapVapor      resistance
	evaporatorDrop float64 // Pa at design flow
	evapVolume     float64 // m3

	// Suction line and compressor.
	suctionDrop   float64 // Pa at design flow
	suctionRho    float64 // kg/m3 at design
	suctionNTU    float64 // of the line to the air around it, at design flow
	suctionVolume float64
	displacement  float64 // m3/s
	shellVolume   float64
	oilKg         float64

	// Condenser.
	condAir       float64
	condTwo       resistance
	condVapor     resistance
	condLiquid    resistance
	condenserDrop float64 // Pa at design flow
	condVolume    float64

	// Liquid line and device.
	liquidDrop   float64 // Pa at design flow
	liquidRho    float64
	liquidNTU    float64
	liquidVolume float64
	liquidCp     float64
	port         float64 // flow per unit of shortTube or capillary
	valve        valveLaw

	designTe, designTc, designZ, designPc, designPe float64

	// Limits of the unknowns.
	teLow, tcHigh float64

	start []startPoint // the design charge curve, for first guesses
}

// startPoint is one solution at design conditions.
type startPoint struct{ share, te, w, z, m float64 }

// Spec returns the specification with every default filled in.
func (s *System) Spec() Spec { return s.spec }
