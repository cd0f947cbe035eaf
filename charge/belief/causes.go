package belief

import (
	"fmt"
	"math"
	"slices"
)

// Cause is a possible reason for the readings with its probability and what speaks for it.
type Cause struct {
	Name     string
	P        float64
	Evidence string
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
	head := b.headPressure()
	out := make([]Cause, 0, len(sum)+1)
	for name, q := range sum {
		out = append(out, Cause{name, q * (1 - head), b.evidence(name)})
	}
	if head > 0 {
		out = append(out, Cause{HeadPressure, head, b.evidence(HeadPressure)})
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

// evidence puts the readings that bear on a cause into words.
func (b *Belief) evidence(name string) string {
	o := &b.history[len(b.history)-1]
	f := func(k float64) float64 { return k / degF }
	sh, sc, cond, split := f(o.y[chSH]), f(o.y[chSC]), f(o.y[chCond]), f(o.y[chSplit])
	td := f(-o.y[chEvap])
	switch name {
	case ShortOfCharge:
		return fmt.Sprintf("superheat %.0f °F with subcooling %.0f °F", sh, sc)
	case ChargeRight:
		return fmt.Sprintf("superheat %.0f °F and subcooling %.0f °F are those of a full system", sh, sc)
	case Overcharged:
		return fmt.Sprintf("subcooling %.0f °F, superheat %.0f °F, condensing %.0f °F over outdoor air", sc, sh, cond)
	case LowAirflow:
		if given(split) {
			return fmt.Sprintf("evaporating %.0f °F under the return air, split %.0f °F, superheat %.0f °F", td, split, sh)
		}
		return fmt.Sprintf("evaporating %.0f °F under the return air, superheat %.0f °F", td, sh)
	case CondenserFouled:
		return fmt.Sprintf("condensing %.0f °F over outdoor air", cond)
	case NonCondensables:
		return fmt.Sprintf("condensing %.0f °F over outdoor air with subcooling %.0f °F: the gauge reads more than the refrigerant", cond, sc)
	case Restriction:
		return fmt.Sprintf("superheat %.0f °F although subcooling is %.0f °F: liquid is there and does not get through", sh, sc)
	case WeakCompressor:
		return fmt.Sprintf("evaporating only %.0f °F under the return air, condensing only %.0f °F over outdoor air", td, cond)
	case HeadPressure:
		return fmt.Sprintf("outdoor air is cool, condensing %.0f °F over it, and the drop leg is well subcooled", cond)
	}
	return ""
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
