package refrigerants

import "chargehand/refrigerants/helmholtz"

const saturationWhy = "saturation is solved from 180 K or the triple point to 0.99 of the critical temperature"

func (r *Refrigerant) line(side helmholtz.Side) (*helmholtz.Line, error) {
	m, err := r.solved()
	if err != nil {
		return nil, err
	}
	if side == helmholtz.Bubble {
		return m.bubble, nil
	}
	return m.dew, nil
}

func (r *Refrigerant) saturatedAtPressure(side helmholtz.Side, pPa float64) (helmholtz.Saturated, error) {
	l, err := r.line(side)
	if err != nil {
		return helmholtz.Saturated{}, err
	}
	if !(pPa >= l.LowP && pPa <= l.HighP) {
		return helmholtz.Saturated{}, &RangeError{r.rec.Name, "pressure", pPa, "Pa", l.LowP, l.HighP, saturationWhy}
	}
	s, ok := l.AtPressure(pPa)
	if !ok {
		return s, r.notConverged("saturation at pressure", pPa, 0)
	}
	return s, nil
}

func (r *Refrigerant) saturatedAtTemperature(side helmholtz.Side, tK float64) (helmholtz.Saturated, error) {
	l, err := r.line(side)
	if err != nil {
		return helmholtz.Saturated{}, err
	}
	if !(tK >= l.LowT && tK <= l.HighT) {
		return helmholtz.Saturated{}, &RangeError{r.rec.Name, "temperature", tK, "K", l.LowT, l.HighT, saturationWhy}
	}
	s, ok := l.AtTemperature(tK)
	if !ok {
		return s, r.notConverged("saturation at temperature", tK, 0)
	}
	return s, nil
}

// DewTemperature returns the temperature (K) at which vapour of the blend, at
// absolute pressure pPa (Pa), begins to condense. Superheat counts from here.
// Solved on the full equations of state. The error is a *RangeError outside
// the range it names.
func (r *Refrigerant) DewTemperature(pPa float64) (float64, error) {
	s, err := r.saturatedAtPressure(helmholtz.Dew, pPa)
	return s.Temperature, err
}

// BubbleTemperature returns the temperature (K) at which liquid of the blend,
// at absolute pressure pPa (Pa), begins to boil. Subcooling counts from here.
func (r *Refrigerant) BubbleTemperature(pPa float64) (float64, error) {
	s, err := r.saturatedAtPressure(helmholtz.Bubble, pPa)
	return s.Temperature, err
}

// DewPressure returns the absolute pressure (Pa) of the dew point at tK (K).
func (r *Refrigerant) DewPressure(tK float64) (float64, error) {
	s, err := r.saturatedAtTemperature(helmholtz.Dew, tK)
	return s.Pressure, err
}

// BubblePressure returns the absolute pressure (Pa) of the bubble point at tK (K).
func (r *Refrigerant) BubblePressure(tK float64) (float64, error) {
	s, err := r.saturatedAtTemperature(helmholtz.Bubble, tK)
	return s.Pressure, err
}
