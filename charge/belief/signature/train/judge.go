package train

import (
	"math"

	"chargehand/charge/belief/signature"
)

const faultPrior = 0.045 // of each fault, as in package belief

// Score is how often systems with one fault were called faulty.
type Score struct{ Called, Of int }

// Judge counts, for each fault, the rows that by the network alone have some fault more likely than not.
func Judge(n *signature.Net, rows []Row) (s [signature.Faults]Score) {
	for i := range rows {
		x, ok := rows[i].look.Inputs()
		if !ok {
			continue
		}
		f := rows[i].fault
		s[f].Of++
		if odds(n.Evidence(x)) > 1 {
			s[f].Called++
		}
	}
	return s
}

// odds are those of any fault to none.
func odds(e [signature.Faults]float64) float64 {
	sum := 0.0
	for f, v := range e {
		if signature.Fault(f) != signature.Sound {
			sum += faultPrior * math.Exp(v)
		}
	}
	return sum / (1 - float64(signature.Faults-1)*faultPrior)
}
