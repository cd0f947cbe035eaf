package charge

import "strconv"

// Device is the metering device between the condenser and the evaporator.
// The zero Device is "not given" and is treated as DeviceUnknown.
type Device string

const (
	DeviceUnknown  Device = "unknown"
	FixedOrifice   Device = "fixed-orifice"   // piston, short tube, capillary tube
	ExpansionValve Device = "expansion-valve" // thermostatic or electronic
)

var devices = []Device{DeviceUnknown, FixedOrifice, ExpansionValve}

// Devices lists the words a setup may use.
func Devices() []Device { return devices }

// Application says what the system cools. The zero Application is Comfort.
type Application string

const (
	Comfort           Application = "comfort"
	MediumTemperature Application = "medium-temperature" // coolers
	LowTemperature    Application = "low-temperature"    // freezers
)

var applications = []Application{Comfort, MediumTemperature, LowTemperature}

// Applications lists the words a setup may use.
func Applications() []Application { return applications }

// Arrangement says what stores refrigerant and how the charge is found.
// CriticalCharge and VariableSpeed are weigh-in only. The zero Arrangement is
// NoReceiver.
type Arrangement string

const (
	NoReceiver     Arrangement = "no-receiver"
	Receiver       Arrangement = "receiver"
	CriticalCharge Arrangement = "critical-charge"
	VariableSpeed  Arrangement = "variable-speed"
)

var arrangements = []Arrangement{NoReceiver, Receiver, CriticalCharge, VariableSpeed}

// Arrangements lists the words a setup may use.
func Arrangements() []Arrangement { return arrangements }

// Item is one line of the checks made before and beside charging.
type Item string

const (
	Filter          Item = "filter"
	EvaporatorCoil  Item = "evaporator-coil"
	Blower          Item = "blower"
	CondenserCoil   Item = "condenser-coil"
	CondenserFan    Item = "condenser-fan"
	LeakSearch      Item = "leak-search"
	ElectricalCheck Item = "electrical"
)

var items = []Item{Filter, EvaporatorCoil, Blower, CondenserCoil, CondenserFan, LeakSearch, ElectricalCheck}

// Items lists the checks in the order a careful technician makes them.
func Items() []Item { return items }

// CheckState is what a check found.
type CheckState string

const (
	CheckOK        CheckState = "ok"
	CheckCorrected CheckState = "corrected"
	CheckFaulty    CheckState = "faulty"
	CheckSkipped   CheckState = "skipped"
)

var checkStates = []CheckState{CheckOK, CheckCorrected, CheckFaulty, CheckSkipped}

// CheckStates lists the words a check may use.
func CheckStates() []CheckState { return checkStates }

// Glass is what the liquid-line sight glass shows.
type Glass string

const (
	GlassClear   Glass = "clear"
	GlassBubbles Glass = "bubbles"
	GlassFoam    Glass = "foam"
)

var glasses = []Glass{GlassClear, GlassBubbles, GlassFoam}

// Glasses lists the words a reading may use.
func Glasses() []Glass { return glasses }

// Phase is the state in which refrigerant left the cylinder.
type Phase string

const (
	LiquidPhase Phase = "liquid"
	VaporPhase  Phase = "vapor"
)

var phases = []Phase{LiquidPhase, VaporPhase}

// Phases lists the words a weighing may use.
func Phases() []Phase { return phases }

// EventNumber is the n of another event of the same session, from 1.
type EventNumber int

func (d Device) IsZero() bool      { return d == "" }
func (a Application) IsZero() bool { return a == "" }
func (a Arrangement) IsZero() bool { return a == "" }
func (i Item) IsZero() bool        { return i == "" }
func (c CheckState) IsZero() bool  { return c == "" }
func (g Glass) IsZero() bool       { return g == "" }
func (p Phase) IsZero() bool       { return p == "" }
func (n EventNumber) IsZero() bool { return n == 0 }

func (d Device) MarshalText() ([]byte, error)      { return []byte(d), nil }
func (a Application) MarshalText() ([]byte, error) { return []byte(a), nil }
func (a Arrangement) MarshalText() ([]byte, error) { return []byte(a), nil }
func (i Item) MarshalText() ([]byte, error)        { return []byte(i), nil }
func (c CheckState) MarshalText() ([]byte, error)  { return []byte(c), nil }
func (g Glass) MarshalText() ([]byte, error)       { return []byte(g), nil }
func (p Phase) MarshalText() ([]byte, error)       { return []byte(p), nil }
func (n EventNumber) MarshalText() ([]byte, error) { return strconv.AppendInt(nil, int64(n), 10), nil }

func (d *Device) UnmarshalText(b []byte) (err error) { *d, err = parseWord(b, devices); return }
func (a *Application) UnmarshalText(b []byte) (err error) {
	*a, err = parseWord(b, applications)
	return
}
func (a *Arrangement) UnmarshalText(b []byte) (err error) {
	*a, err = parseWord(b, arrangements)
	return
}
func (i *Item) UnmarshalText(b []byte) (err error)       { *i, err = parseWord(b, items); return }
func (c *CheckState) UnmarshalText(b []byte) (err error) { *c, err = parseWord(b, checkStates); return }
func (g *Glass) UnmarshalText(b []byte) (err error)      { *g, err = parseWord(b, glasses); return }
func (p *Phase) UnmarshalText(b []byte) (err error)      { *p, err = parseWord(b, phases); return }

func (n *EventNumber) UnmarshalText(b []byte) error {
	i, err := strconv.Atoi(string(b))
	if err != nil || i < 1 {
		return errEventNumber
	}
	*n = EventNumber(i)
	return nil
}
