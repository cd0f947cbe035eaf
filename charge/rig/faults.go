package rig

import (
	"fmt"
	"math"

	"chargehand/charge/moistair"
)

// begin prepares a solve: air streams, and what the faults do to the parts.
func (s *System) begin(c Conditions, f Faults) (*working, error) {
	if c.BarometerPa == 0 {
		c.BarometerPa = 101325
	}
	switch {
	case !(c.OutdoorK > 230 && c.OutdoorK < 335):
		return nil, fmt.Errorf("rig: outdoor air of %.1f K is outside 230 to 335 K", c.OutdoorK)
	case !(c.ReturnDryK > 235 && c.ReturnDryK < 325):
		return nil, fmt.Errorf("rig: return air of %.1f K is outside 235 to 325 K", c.ReturnDryK)
	case !(c.ReturnWetK < c.ReturnDryK+1e-9):
		return nil, fmt.Errorf("rig: return wet bulb of %.1f K must not pass the dry bulb of %.1f K", c.ReturnWetK, c.ReturnDryK)
	case !(c.BarometerPa > 50e3 && c.BarometerPa < 110e3):
		return nil, fmt.Errorf("rig: air pressure of %.0f Pa is outside 50 to 110 kPa", c.BarometerPa)
	}
	if err := f.check(); err != nil {
		return nil, err
	}
	k := &working{s: s, cond: c, outdoor: c.OutdoorK, warmM: s.flow}
	thin := c.BarometerPa / 101325 // fans move volume: thinner air weighs less

	evap := (1 - 0.85*f.LowAirflow) * thin
	a := &k.air
	a.dry, a.wet, a.baro = c.ReturnDryK, c.ReturnWetK, c.BarometerPa
	ratio, err := moistair.HumidityRatioFromWetBulb(a.dry, a.wet, a.baro)
	if err != nil {
		return nil, fmt.Errorf("rig: return air: %w", err)
	}
	a.ratio = ratio
	a.enthalpy = airEnthalpy(a.dry, a.ratio)
	a.flow = s.evapAir * evap
	a.cp = airCp + a.ratio*vaporCp
	a.flowPow = math.Pow(evap, 0.55)

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
	k.valve = s.valve
	k.valve.bleed = math.Max(k.valve.bleed, f.ValveStuckOpen*k.valve.open)
	k.valve.open *= math.Max(1-f.ValveStuckShut, 0.02)
	k.valve.bleed = math.Min(k.valve.bleed, k.valve.open)
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

// check names the first severity outside 0 to 1.
func (f Faults) check() error {
	for _, v := range []struct {
		name string
		s    float64
	}{
		{"low airflow", f.LowAirflow}, {"condenser fouling", f.CondenserFouling}, {"condenser fan", f.CondenserFan},
		{"restriction", f.Restriction}, {"non-condensables", f.NonCondensable}, {"weak compressor", f.WeakCompressor},
		{"head pressure", f.HeadPressure}, {"valve stuck open", f.ValveStuckOpen}, {"valve stuck shut", f.ValveStuckShut},
		{"bulb loose", f.BulbLoose}, {"wrong refrigerant", f.WrongRefrigerant},
	} {
		if !(v.s >= 0 && v.s <= 1) {
			return fmt.Errorf("rig: severity of %s is %g; give 0 (none) to 1 (worst)", v.name, v.s)
		}
	}
	return nil
}
