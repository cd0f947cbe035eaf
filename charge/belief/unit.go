package belief

import "math"

// Device is the metering device that feeds the evaporator. The zero Device is Unknown.
type Device int

const (
	Unknown        Device = iota // not seen, not stated, not yet inferred
	FixedOrifice                 // piston, short tube or capillary tube
	ExpansionValve               // thermostatic or electronic
)

// String gives the device's name in lower case with a hyphen, as the event format has it.
func (d Device) String() string {
	switch d {
	case FixedOrifice:
		return "fixed-orifice"
	case ExpansionValve:
		return "expansion-valve"
	}
	return "unknown"
}

// Application says what is being cooled. The zero Application is Comfort.
type Application int

const (
	Comfort           Application = iota // air conditioning
	MediumTemperature                    // a box above freezing
	LowTemperature                       // a freezer
)

// Glass is what is seen in the liquid line's sight glass. The zero Glass is GlassNotGiven.
type Glass int

const (
	GlassNotGiven Glass = iota
	GlassClear
	GlassBubbles
	GlassFoam
)

// Unit is what is known of the system before any reading. Zero numbers are unknown.
type Unit struct {
	Refrigerant       string  // name such as "R-410A"; sets the usual discharge temperature
	CapacityW         float64 // rated cooling capacity, W
	UsualKgPerTon     float64 // charge usual for a ton of capacity, kg; zero for that of common refrigerants
	NameplateKg       float64 // data plate charge, kg, line set included
	TargetSubcoolingK float64 // of the data plate, K
	TargetSuperheatK  float64 // of the data plate, K
	Application       Application
	Receiver          bool   // liquid receiver after the condenser
	Device            Device // seen or stated; Unknown when it must be inferred
	AirSideChecked    bool   // filter, coil and blower were looked at and are in order
	CondenserChecked  bool   // condenser coil and fan were looked at and are in order
	Stream            uint64 // of random numbers; beliefs of other streams differ by chance alone
}

// kgPerTon is the usual charge of a ton, kg.
func (u *Unit) kgPerTon() float64 {
	if u.UsualKgPerTon > 0 {
		return u.UsualKgPerTon
	}
	return UsualKgPerTon
}

// dischargeOver is the discharge line less condensing temperature that the refrigerant gives without superheat, and how
// much that varies, K.
func (u *Unit) dischargeOver() (over, sd float64) {
	if v, ok := dischargeOver[u.Refrigerant]; ok {
		return v, dischSD
	}
	return dischargeOverOther, dischargeOtherSD
}

// Reading is one set of readings. Temperatures are in kelvin, pressures in pascal absolute,
// time in minutes, mass in kilogram. A value not taken is NaN.
type Reading struct {
	Minutes     float64 // since the session began
	SinceChange float64 // since the last weighing ended, +Inf when there was none
	NetKg       float64 // net weighed in so far, recovered counted negative

	SuctionPa, LiquidPa                   float64
	SuctionLineK, LiquidLineK             float64
	EvaporatingK, CondensingK             float64 // dew at suction, bubble at liquid pressure
	SuperheatK, SubcoolingK               float64
	OutdoorK, ReturnDryK, ReturnWetK      float64
	SupplyDryK, DischargeK                float64
	DropLegK, CondenserOutletSaturationK  float64
	CompressorA                           float64
	SightGlass                            Glass
	Ice                                   bool    // the coil may carry ice: its split says nothing of fan and filter
	SuctionSlopeKPerPa, LiquidSlopeKPerPa float64 // dT/dp of saturation at both pressures
}

// NewReading returns a Reading with every value not taken.
func NewReading() Reading {
	n := math.NaN()
	return Reading{
		SinceChange: math.Inf(1),
		SuctionPa:   n, LiquidPa: n, SuctionLineK: n, LiquidLineK: n, EvaporatingK: n, CondensingK: n,
		SuperheatK: n, SubcoolingK: n, OutdoorK: n, ReturnDryK: n, ReturnWetK: n, SupplyDryK: n, DischargeK: n,
		DropLegK: n, CondenserOutletSaturationK: n, CompressorA: n, SuctionSlopeKPerPa: n, LiquidSlopeKPerPa: n,
	}
}

func given(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
