package charge

import (
	"math"

	q "chargehand/charge/quantity"
)

// mostEvents of a session bound its memory: some 10 kB go with each, and a busy
// day has two hundred.
const mostEvents = 10_000

// admit refuses an event that cannot stand in this session, naming field,
// value and remedy. What is only unlikely is let in and doubted aloud.
func (s *Session) admit(e *Event) error {
	if e.Body == nil {
		return refuse("kind", "", "is missing: use one of %s", kindList())
	}
	if e.At.IsZero() {
		return refuse("at", "", `is missing: give the time, like "2026-06-01T13:41:00Z"`)
	}
	if _, setup := e.Body.(*Setup); len(s.steps) == 0 && !setup {
		return refuse("kind", string(e.Kind()), "comes before the setup: begin with a setup that names the refrigerant")
	}
	if s.st.closed {
		switch e.Body.(type) {
		case *Setup, *Void, *Note:
		default:
			return refuse("kind", string(e.Kind()), "comes after the close (event %d): void the close to go on, or begin a new session", s.st.closedN)
		}
	}
	if len(s.steps) >= mostEvents && e.Kind() != KindClose {
		return refuse("", "", "the session has %d events already, more than any job: close it and begin another", len(s.steps))
	}
	switch b := e.Body.(type) {
	case *Setup:
		return s.admitSetup(b)
	case *Reading:
		return s.admitReading(b)
	case *Weighing:
		return s.admitWeighing(b)
	case *Void:
		return s.admitVoid(b)
	}
	return nil
}

func (s *Session) admitSetup(b *Setup) error {
	if b.Refrigerant == "" && len(s.steps) == 0 {
		return refuse("refrigerant", "", `is missing: name it as on the data plate, like "R-410A"`)
	}
	if b.Refrigerant != "" {
		if _, err := newMedium(string(b.Refrigerant)); err != nil {
			return refuse("refrigerant", string(b.Refrigerant), "%s", lookupRemedy(err))
		}
	}
	between := func(field, text string, x, low, high float64, range_ string) error {
		if !math.IsNaN(x) && (x < low || x > high) {
			return refuse(field, text, "is out of range: %s; check the number and the unit", range_)
		}
		return nil
	}
	for _, err := range []error{
		between("capacity", b.Capacity.String(), b.Capacity.Watts(), 30, 2e6, "30 W to 2 MW"),
		between("nameplate_charge", b.NameplateCharge.String(), b.NameplateCharge.Kilograms(), 0.005, 5000, "5 g to 5,000 kg"),
		between("target_subcooling", b.TargetSubcooling.String(), b.TargetSubcooling.Kelvins(), 0, 25, "0 to 45 °F (0 to 25 K), a difference"),
		between("target_superheat", b.TargetSuperheat.String(), b.TargetSuperheat.Kelvins(), 0, 35, "0 to 63 °F (0 to 35 K), a difference"),
		between("elevation", b.Elevation.String(), b.Elevation.Meters(), -500, 6000, "-500 m to 6,000 m"),
		between("liquid_line_od", b.LiquidLineOD.String(), b.LiquidLineOD.Millimeters(), 1, 120, "1 to 120 mm"),
		between("line_length", b.LineLength.String(), b.LineLength.Meters(), 0, 500, "0 to 500 m"),
		between("factory_line_length", b.FactoryLineLength.String(), b.FactoryLineLength.Meters(), 0, 500, "0 to 500 m"),
		between("cylinder_start", b.CylinderStart.String(), b.CylinderStart.Kilograms(), 0, 2000, "0 to 2,000 kg"),
	} {
		if err != nil {
			return err
		}
	}
	if b.Barometer.IsValid() {
		if b.Barometer.IsGauge() {
			return refuse("barometer", b.Barometer.String(), "is a gauge pressure: give the absolute pressure of the air, like \"12.2 psia\" or \"29.92 inHg abs\"")
		}
		if err := between("barometer", b.Barometer.String(), b.Barometer.Absolute(0), 45e3, 110e3, "6.5 to 16 psia (45 to 110 kPa)"); err != nil {
			return err
		}
	}
	return nil
}

func (s *Session) admitReading(b *Reading) error {
	given := 0
	for _, f := range b.fields() {
		if f.name != "note" && !f.at.IsZero() {
			given++
		}
	}
	if given == 0 {
		return refuse("", "", "the reading holds no value: give at least one, like suction_pressure, or write a note")
	}
	for _, p := range []struct {
		field string
		at    q.Pressure
	}{
		{"suction_pressure", b.SuctionPressure},
		{"liquid_pressure", b.LiquidPressure},
		{"condenser_outlet_pressure", b.CondenserOutletPressure},
	} {
		if p.at.IsValid() && !(p.at.Absolute(s.st.site) > 0) {
			return refuse(p.field, p.at.String(), "is below a perfect vacuum at this site (barometer %s): read the gauge again",
				pressureAbs(s.st.site, s.opt.Units))
		}
	}
	return nil
}

func (s *Session) admitWeighing(b *Weighing) error {
	kg := b.Amount.Kilograms()
	if kg == 0 {
		return refuse("amount", b.Amount.String(), "is nothing: leave the line out, or write a note")
	}
	if math.Abs(kg) > 2000 {
		return refuse("amount", b.Amount.String(), "is more than 2,000 kg: check the number and the unit")
	}
	return nil
}

func (s *Session) admitVoid(b *Void) error {
	i := s.index(int(b.Voids))
	n, _ := b.Voids.MarshalText()
	if i < 0 {
		return refuse("voids", string(n), "is no event of this session: give the n of one of its %d events", len(s.steps))
	}
	if s.steps[i].Voided {
		return refuse("voids", string(n), "was taken back already")
	}
	switch s.steps[i].Event.Body.(type) {
	case *Void:
		return refuse("voids", string(n), "is a void itself: enter the event it took back again")
	case *Setup:
		if i == 0 {
			return refuse("voids", string(n), "is the first setup: enter a setup with the right values instead, it replaces them")
		}
	}
	return nil
}
