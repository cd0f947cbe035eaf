package belief

import (
	"math"

	"chargehand/charge/belief/signature"
)

// markOf is the mark that each cause leaves on a reading, as package signature has it.
var markOf = [causes]signature.Fault{
	causeNone: signature.Sound, causeAirflow: signature.Airflow, causeCondenser: signature.Condenser,
	causeGas: signature.Gas, causeRestriction: signature.Restriction, causeWeak: signature.Weak,
}

// Look is reading r of unit u as package signature looks at it.
func Look(u Unit, r Reading) signature.Look {
	over, _ := u.dischargeOver()
	return signature.Look{
		Box:       u.Application != Comfort,
		Superheat: r.SuperheatK, Subcooling: r.SubcoolingK,
		Evaporating: r.EvaporatingK, Condensing: r.CondensingK,
		Outdoor: r.OutdoorK, ReturnDry: r.ReturnDryK, ReturnWet: r.ReturnWetK,
		SupplyDry: r.SupplyDryK, Discharge: r.DischargeK,
		DischargeOver:    over,
		TargetSuperheat:  tableSuperheat(r.OutdoorK, r.ReturnWetK),
		TargetSubcooling: u.TargetSubcoolingK,
	}
}

// glance pools, once in a session, what the members say of each cause with the mark that it leaves on the first full
// reading. Both judge the same numbers, so their log likelihood ratios are averaged and not added (logarithmic pooling,
// Genest and Zidek 1986): the members know how charge answers, the mark knows how levels go together.
//
// Receivers and freezers are not among the systems whose marks were learnt.
func (b *Belief) glance(r Reading) {
	if b.glanced || b.unit.Receiver || b.unit.Application == LowTemperature || r.Ice {
		return
	}
	look := Look(b.unit, r)
	mark, ok := signature.Evidence(&look)
	if !ok {
		return
	}
	b.glanced = true
	// No member overfeeds. A device that does counts with those that are in order, as something charge does not mend and
	// no other cause explains.
	overfeed := priorFault / (1 - float64(causes-1)*priorFault)
	mark[signature.Sound] = math.Log((1 + overfeed*math.Exp(mark[signature.Overfeed])) / (1 + overfeed))
	var said, prior [causes][]float64
	for _, h := range b.hyps {
		said[h.cause] = append(said[h.cause], h.weight())
		prior[h.cause] = append(prior[h.cause], h.prior)
	}
	var ratio [causes]float64
	for c := range ratio {
		ratio[c] = logSumExp(said[c]) - logSumExp(prior[c])
	}
	for _, h := range b.hyps {
		h.evidence += markShare * (mark[markOf[h.cause]] - mark[signature.Sound] - (ratio[h.cause] - ratio[causeNone]))
	}
	b.posted = nil
}
