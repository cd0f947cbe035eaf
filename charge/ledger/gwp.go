package ledger

import (
	"math"

	"chargehand/refrigerants"
)

// The two assessment reports of the IPCC that 100-year warming potentials are
// counted by. AR4 is the one 40 CFR 84 and the European regulation use.
const (
	AR4 = "AR4"
	AR5 = "AR5"
)

// gwp is the 100-year warming potential with its source, ok false when it is
// not known.
func gwp(name, report string) (x float64, source string, ok bool) {
	r, err := refrigerants.Lookup(name)
	if err != nil {
		return math.NaN(), "", false
	}
	by := refrigerants.AR4
	if report == AR5 {
		by = refrigerants.AR5
	}
	return r.GWP(by)
}

// co2e is kilograms of refrigerant in tonnes of CO2 equivalent, NaN for a
// refrigerant whose potential is not known.
func co2e(refrigerant string, kg float64, report string) float64 {
	x, _, ok := gwp(refrigerant, report)
	if !ok {
		return math.NaN()
	}
	return kg * x / 1000
}
