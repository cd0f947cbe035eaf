package belief

import (
	"math"
	"slices"
)

// Cause is a possible reason for the readings with its probability.
type Cause struct {
	Name string
	P    float64
}

// Causes returns the probable causes, most likely first. Before any reading it returns none.
func (b *Belief) Causes() []Cause {
	if len(b.history) == 0 {
		return nil
	}
	p := b.posterior()
	sum := map[string]float64{}
	for i, h := range b.hyps {
		if h.cause != causeNone {
			sum[causeName[h.cause]] += p[i]
			continue
		}
		for k := range h.members {
			m := &h.members[k]
			w := p[i] * math.Exp(m.logw)
			switch {
			case m.x < rightFrom:
				sum[ShortOfCharge] += w
			case m.x < overchargeAt:
				sum[ChargeRight] += w
			default:
				sum[Overcharged] += w
			}
		}
	}
	if b.unit.Receiver && b.readings[len(b.readings)-1].SightGlass == GlassClear {
		// What the receiver holds does not show in superheat or subcooling; a clear glass says liquid leaves it.
		sum[ChargeRight] += sum[ShortOfCharge]
		delete(sum, ShortOfCharge)
	}
	head := b.headPressure()
	out := make([]Cause, 0, len(sum)+1)
	for name, q := range sum {
		out = append(out, Cause{name, q * (1 - head)})
	}
	if head > 0 {
		out = append(out, Cause{HeadPressure, head})
	}
	slices.SortFunc(out, func(a, b Cause) int {
		switch {
		case a.P > b.P:
			return -1
		case a.P < b.P:
			return 1
		case a.Name < b.Name:
			return -1
		}
		return 1
	})
	return out
}

// headPressure is the probability that a head-pressure control passes hot gas to the receiver and makes the sight
// glass bubble with enough charge inside. What tells is the condenser outlet (drop leg): strongly subcooled when the
// condenser is flooded, hardly at all when the system is short.
func (b *Belief) headPressure() float64 {
	if !b.unit.Receiver {
		return 0
	}
	r := b.readings[len(b.readings)-1]
	logOdds := math.Log(0.25)
	if given(r.OutdoorK) {
		if out := (r.OutdoorK - zeroF) / degF; out > 70 { // the control is expected to act under about 70 °F [cp]
			logOdds -= (out - 70) / 2
		}
	}
	leg := b.dropLeg(r)
	if given(leg) {
		logOdds += clamp((leg/degF-9)/2, -6, 6)
	}
	if given(r.CondensingK) && given(r.OutdoorK) {
		logOdds += clamp(((r.CondensingK-r.OutdoorK)/degF-25)/2.5, -3, 3)
	}
	if given(r.SubcoolingK) && r.SubcoolingK > 5*degF { // liquid at the receiver outlet: no hot gas there
		logOdds -= 3
	}
	return 1 / (1 + math.Exp(-logOdds))
}

// dropLeg is the subcooling at the condenser outlet, NaN when it was not measured.
func (b *Belief) dropLeg(r Reading) float64 {
	if !given(r.DropLegK) {
		return math.NaN()
	}
	if given(r.CondenserOutletSaturationK) {
		return r.CondenserOutletSaturationK - r.DropLegK
	}
	return r.CondensingK - r.DropLegK
}

func clamp(x, low, high float64) float64 { return max(low, min(high, x)) }
