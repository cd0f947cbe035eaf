package charge

import "time"

// Action is what to do next.
type Action string

const (
	Measure Action = "measure" // readings named in Needs are missing or doubtful
	Correct Action = "correct" // something else is wrong: put it right, do not charge
	Wait    Action = "wait"    // not settled yet
	Add     Action = "add"     // weigh in Amount, wait, read again
	Recover Action = "recover" // take Amount out, wait, read again
	Stop    Action = "stop"    // done, or a stopping rule fired
)

// Advice is the answer to one event: what the entries so far amount to and
// what to do now. Numbers are SI (kelvin, pascal absolute, kilogram); NaN means
// "not known". Sentences are in the session's display units.
type Advice struct {
	N    int       // the event answered, counted from 1
	At   time.Time // its time
	Kind Kind      // its kind

	Derived Derived // of the newest reading
	Belief  DeviceBelief

	Target    Target // that rules now, or that would if Action were to charge
	IfOrifice Target // superheat band, Defined false where there is none
	IfValve   Target // subcooling band

	Action    Action
	Done      bool          // Stop because the target band holds, not because a rule fired
	AmountKg  float64       // positive, for Add and Recover; else 0
	Wait      time.Duration // after the increment, or before the next reading
	WaitUntil time.Time     // zero unless settling is under way

	Forecast Fork // of the next settled reading after AmountKg (zero included)

	TotalKg     float64 // net weighed in
	AddedKg     float64
	RecoveredKg float64 // positive

	Stops    []Fired // stopping rules that fired, hardest first
	Rules    []Rule  // every rule that can be judged, nearest first
	Gates    []Gate  // questions open before charging
	Needs    []string
	Causes   []Cause // most likely first
	Doubts   []Doubt // readings that cannot be, or hardly can
	Cautions []string
	Why      []string // one or two plain sentences
	Closed   bool
}

// Derived is what one reading amounts to. Superheat counts from the dew point
// at suction pressure, subcooling from the bubble point at liquid pressure.
type Derived struct {
	At                 time.Time
	N                  int     // of the reading, 0 when there is none yet
	SuctionPa          float64 // absolute
	LiquidPa           float64 // absolute
	EvaporatingK       float64 // dew temperature at suction pressure
	CondensingK        float64 // bubble temperature at liquid pressure
	SuperheatK         float64
	SubcoolingK        float64
	SuctionLineK       float64
	LiquidLineK        float64
	OutdoorK           float64
	ReturnDryK         float64
	ReturnWetK         float64 // as read, or from relative humidity
	SupplyDryK         float64
	DischargeK         float64
	SplitK             float64 // return minus supply, dry bulb
	OverOutdoorK       float64 // condensing over outdoor air
	ReturnOverEvapK    float64 // return air over evaporating
	ApproachK          float64 // liquid line over outdoor air
	CompressionRatio   float64
	DropLegSubcoolingK float64 // at the condenser outlet, receiver systems
	Glass              Glass
	Settled            bool
}

// DeviceBelief is the posterior over the metering device. Verdict is
// DeviceUnknown under 0.95; Stated is true when a setup named the device.
type DeviceBelief struct {
	FixedOrifice   float64
	ExpansionValve float64
	Verdict        Device
	Stated         bool
}

// TargetOf is the quantity that a target speaks of.
type TargetOf string

const (
	OfSuperheat  TargetOf = "superheat"
	OfSubcooling TargetOf = "subcooling"
	OfSightGlass TargetOf = "sight-glass"
	OfWeight     TargetOf = "weight" // weigh-in only
)

// Target is the band to land in, with where it comes from. Low, Mid and High
// are kelvins (kilograms for OfWeight); they mean nothing unless Defined.
type Target struct {
	Of             TargetOf
	Low, Mid, High float64
	Defined        bool
	Source         string // "published chart", "common rule", "data plate", …
	Says           string // why it is not defined, or what to mind
}

// Bands are the 5th, 50th and 95th percentile of the next settled reading, in
// kelvins.
type Bands struct {
	Superheat  [3]float64
	Subcooling [3]float64
}

// Fork is the forecast of the next settled reading under both devices
// together, and under each.
type Fork struct {
	Both, IfOrifice, IfValve Bands
}

// Strength is how strictly a rule holds.
type Strength string

const (
	Hard    Strength = "hard"    // no increment is offered, whatever is typed
	Gated   Strength = "gate"    // asks once; a check, a reading or an override answers
	Caution Strength = "caution" // said beside the advice, which goes on
)

// Rule is one stopping rule as it stands now: the limit, the present value and
// the room left, all in the unit named. Room is negative once it has fired.
type Rule struct {
	Name     string // as an override names it: "superheat-floor"
	Title    string // in plain words: "superheat floor"
	Strength Strength
	Limit    float64
	Now      float64
	Room     float64
	Unit     string // "K" (a temperature difference), "temperature" (kelvin), "kg", "ratio", "steps", …
	Source   string
	Fired    bool
	SetAside bool // by an override
}

// Fired is a rule that fired: what was seen, what it means, what to do.
type Fired struct {
	Rule string
	Says string
}

// Gate is a question to answer before charging goes on.
type Gate struct {
	Name string // as an override names it
	Asks string // in plain words, with what answers it
}

// Cause is one explanation of the readings.
type Cause struct {
	Name     string // "short-of-charge", "low-airflow", …
	P        float64
	Evidence string // what speaks for it
	Look     string // what to look at, and how to tell
}

// Doubt is a reading that cannot be, or hardly can, with the likely reason.
type Doubt struct {
	Field string
	Value string
	Why   string
	Grave bool // the reading is not used until it is mended or confirmed
}
