package rig

import (
	"fmt"
	"math"
)

// begin prepares a solve: air streams, and what the faults do to the parts.
func (s *System) begin(c Conditions, f Faults) (*working, error) {
	if c.BarometerPa == 0 {
		c.BarometerPa = 101325
	}
	switch {
	case !(c.OutdoorK > 230 && c.OutdoorK < 335):
		return nil, fmt.Errorf("rig: outdoor air of %s is outside %s to %s", kelvin(c.OutdoorK), kelvin(230), kelvin(335))
	case !(c.ReturnDryK > 235 && c.ReturnDryK < 325):
		return nil, fmt.Errorf("rig: return air of %s is outside %s to %s", kelvin(c.ReturnDryK), kelvin(235), kelvin(325))
	case !(c.ReturnWetK < c.ReturnDryK+1e-9):
		return nil, fmt.Errorf("rig: return wet bulb of %s is above the dry bulb of %s: swap them, or give a lower one", kelvin(c.ReturnWetK), kelvin(c.ReturnDryK))
	case !(c.BarometerPa > 50e3 && c.BarometerPa < 110e3):
		return nil, fmt.Errorf("rig: air pressure of %.0f Pa is outside 50 to 110 kPa", c.BarometerPa)
	}
	if err := f.check(); err != nil {
		return nil, err
	}
	k := &working{s: s, cond: c, outdoor: c.OutdoorK, warmM: s.flow}
	thin := c.BarometerPa / 101325 // fans move volume: thinner air weighs less

	evap := (1 - 0.85*f.LowAirflow) * thin
	var err error
	if k.air, err = entering(c); err != nil {
		return nil, fmt.Errorf("rig: return air: %w", err)
	}
	k.air.flow = s.evapAir * evap
	k.air.flowPow = math.Pow(evap, 0.55)

	fan := (1 - 0.65*f.CondenserFouling) * (1 - 0.92*f.CondenserFan) * thin
	k.condAir = s.condAir * fan * airCp
	k.airPow = math.Pow(fan, 0.55)
	k.condUA = (1 - 0.45*f.CondenserFouling) * (1 - 0.35*f.NonCondensable)
	k.pnc = 0.20 * f.NonCondensable * s.designPc
	k.etaV = 1 - 0.5*f.WeakCompressor
	k.etaS = 1 - 0.25*f.WeakCompressor
	// dp = blocked m2/rho, quadratic in severity so that a slight restriction is slight.
	k.blocked = f.Restriction * f.Restriction * (s.designPc - s.designPe) * s.liquidRho / (s.flow * s.flow)

	if s.spec.ReceiverM3 > 0 {
		k.stuck = 0.15 * f.HeadPressure
		if s.spec.HeadPressurePa > 0 {
			k.tset = s.fluid.bubbleT(s.spec.HeadPressurePa)
		}
	}
	k.valve = s.valve.stuck(f)
	k.bulb = 0.5 * f.BulbLoose
	if f.WrongRefrigerant > 0 {
		name := f.Contaminant
		if name == "" {
			name = "R-22"
			if s.spec.Refrigerant == "R-22" {
				name = "R-410A"
			}
		}
		other, err := lookup(name)
		if err != nil {
			return nil, err
		}
		k.contaminant, k.share = other, f.WrongRefrigerant
	}
	return k, nil
}

// kelvin writes a temperature the three ways its reader may count in.
func kelvin(k float64) string {
	return fmt.Sprintf("%.1f K (%.0f °C, %.0f °F)", k, k-freeze, k*1.8-459.67)
}
