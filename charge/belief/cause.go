package belief

// cause is what a member of the ensemble suffers from besides its charge.
type cause int

const (
	causeNone cause = iota
	causeAirflow
	causeCondenser
	causeGas
	causeRestriction
	causeWeak
	causes
)

// Names of causes, as the advice has them.
const (
	ShortOfCharge   = "short-of-charge"
	ChargeRight     = "charge-right"
	Overcharged     = "overcharged"
	LowAirflow      = "low-airflow"
	CondenserFouled = "condenser-fouled"
	NonCondensables = "non-condensables"
	Restriction     = "restriction"
	WeakCompressor  = "weak-compressor"
	HeadPressure    = "head-pressure-control"
)

var causeName = [causes]string{"", LowAirflow, CondenserFouled, NonCondensables, Restriction, WeakCompressor}
