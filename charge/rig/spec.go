package rig

import "fmt"

// Device is the metering device. The zero Device is FixedOrifice.
type Device int

const (
	FixedOrifice      Device = iota // piston or short tube
	CapillaryTube                   // long bore, flow by friction and flashing
	ThermostaticValve               // opens with superheat, wide open when starved
	ElectronicValve                 // holds superheat by a slow integrator, wide open when starved
)

var deviceNames = [...]string{"fixed-orifice", "capillary-tube", "thermostatic", "electronic"}

// String is the name used on the command line.
func (d Device) String() string {
	if d < 0 || int(d) >= len(deviceNames) {
		return fmt.Sprintf("Device(%d)", int(d))
	}
	return deviceNames[d]
}

// IsValve reports whether the device holds superheat.
func (d Device) IsValve() bool { return d == ThermostaticValve || d == ElectronicValve }

// ParseDevice reads a name as String prints it.
func ParseDevice(name string) (Device, error) {
	for i, n := range deviceNames {
		if n == name {
			return Device(i), nil
		}
	}
	return 0, fmt.Errorf("device %q: use fixed-orifice, capillary-tube, thermostatic or electronic", name)
}

// Application is what the system cools. The zero Application is Comfort.
type Application int

const (
	Comfort           Application = iota // air conditioning, wet coil
	MediumTemperature                    // coolers, box near 2 °C
	LowTemperature                       // freezers, box near -21 °C
)

// Rating is the condition at which a system of this application is sized.
// Comfort is the A test of AHRI 210/240: 95 °F outdoors, 80/67 °F return air.
// The boxes are common practice: 35 °F and 90 °F outdoors, -5 °F and 90 °F.
func (a Application) Rating() Conditions {
	switch a {
	case MediumTemperature:
		return Conditions{OutdoorK: 305.37, ReturnDryK: 274.82, ReturnWetK: 273.60, BarometerPa: 101325}
	case LowTemperature:
		return Conditions{OutdoorK: 305.37, ReturnDryK: 252.59, ReturnWetK: 252.40, BarometerPa: 101325}
	}
	return Conditions{OutdoorK: 308.15, ReturnDryK: 299.82, ReturnWetK: 292.59, BarometerPa: 101325}
}

// Conditions is the weather and the air returned to the coil. A zero
// BarometerPa is taken as 101325 Pa.
type Conditions struct {
	OutdoorK    float64 // air entering the condenser, dry bulb
	ReturnDryK  float64 // air entering the evaporator, dry bulb
	ReturnWetK  float64 // air entering the evaporator, wet bulb
	BarometerPa float64 // local air pressure
}

// Spec describes a system to be sized. Only Refrigerant is required: a zero
// anywhere else takes the default named beside the field.
type Spec struct {
	Refrigerant string
	CapacityW   float64 // cooling at the design conditions; 10,550 W (3 ton)
	Device      Device
	Application Application
	Design      Conditions // Application.Rating()

	DesignSuperheatK  float64 // at the suction service port; 6.7 K comfort, 8 K boxes
	DesignSubcoolingK float64 // at the liquid service port; 5.5 K

	// Heat exchangers.
	CondensingOverAmbientK float64 // bubble temperature over outdoor air at design; 11 K
	EvaporatorTDK          float64 // return dry bulb over evaporating dew at design; 20.2 K comfort, 6.5 K boxes
	CondenserAirKgPerJ     float64 // condenser air, kg/s per W of cooling; 1.45e-4 (about 900 cfm/ton)
	EvaporatorAirKgPerJ    float64 // evaporator air, kg/s per W of cooling; 6.2e-5 comfort (about 400 cfm/ton), 2.0e-4 boxes
	CondenserVapor         float64 // conductance of the desuperheating zone over the condensing one; 0.65
	CondenserLiquid        float64 // of the subcooling zone over the condensing one; 0.45
	EvaporatorVapor        float64 // of the superheating zone over the evaporating one; 0.35
	EvaporatorAirShare     float64 // share of the evaporator's resistance on the air side, dry; 0.70
	CondenserAirShare      float64 // the same for the condenser; 0.75

	// Compressor.
	VolumetricBest  float64 // e0 of the clearance form; 0.97
	Clearance       float64 // C of the clearance form; 0.042
	IsentropicBest  float64 // isentropic efficiency at its best pressure ratio; 0.68
	IsentropicRatio float64 // that pressure ratio; 2.8 comfort, 3.5 boxes
	ShellLoss       float64 // heat lost from the shell over power; 0.06
	SuctionDropK    float64 // suction line pressure drop as a fall of saturation temperature at design; 0.7 K
	SuctionGainK    float64 // warming of the suction line at design; 1.0 K comfort, 3 K boxes
	EvaporatorDropK float64 // evaporator pressure drop as a fall of saturation temperature at design; 1.5 K
	CondenserDropK  float64 // condenser pressure drop, likewise; 0.6 K
	LiquidLineM     float64 // length of the line set; 10 m
	LiquidDropPerM  float64 // liquid line pressure drop at design, Pa/m; 2,000

	// Charge.
	MicroChannel     bool    // condenser of flat tubes: about 40 % of the internal volume
	CondenserVolume  float64 // scale on the condenser's internal volume; 1
	EvaporatorVolume float64 // scale on the evaporator's internal volume; 1
	CondenserSlip    float64 // slip ratio = (rho_l/rho_g)^y in the condenser; 1/3 is Zivi (1964), 0.55 to 0.6 Hughmark (1962); 0.60 with fixed devices, 0.45 with valves
	EvaporatorSlip   float64 // the same in the evaporator; 0.29 with fixed devices, 0.14 with valves
	OilKg            float64 // oil charge; 0.11 kg per kW
	ReceiverM3       float64 // volume of a receiver, 0 for none
	ReceiverLevel    float64 // how full it is with the data plate charge in at design; 0.25
	AccumulatorM3    float64 // volume of a suction accumulator, 0 for none
	HeadPressurePa   float64 // setting of a condenser-flooding head-pressure control (absolute), 0 for none; needs a receiver

	// Metering device.
	FlashingMargin float64 // how far under saturation the flow chokes, as a share of saturation pressure; 0.32 orifice, 0.6 valves
	VaporChoke     float64 // flow at inlet quality x falls by 1/(1 + VaporChoke x) on top of the density; 2.5
	ValveCapacity  float64 // full-open flow over the design flow; 1.6
	ValveGradientK float64 // superheat from shut to the design opening; 3.5 K thermostatic
	ValveBleed     float64 // flow through a bleed port over the design flow; 0
}
