package refrigerants

import (
	"errors"
	"fmt"

	"chargehand/refrigerants/helmholtz"
)

// ErrRange is matched (errors.Is) by every error for input outside what can be
// answered; the error itself is a *RangeError that says the valid range.
var ErrRange = errors.New("refrigerants: out of range")

// ErrNotConverged is matched by the error of a solver that gave up. Its answer
// is withheld rather than guessed.
var ErrNotConverged = helmholtz.ErrNotConverged

// RangeError reports an input outside its valid range.
type RangeError struct {
	Refrigerant string
	Quantity    string  // "pressure", "temperature", "enthalpy", "entropy"
	Value       float64 // as given, SI
	Unit        string
	Low, High   float64 // the valid range, SI
	Why         string  // what limits it, may be empty
}

func (e *RangeError) Error() string {
	s := fmt.Sprintf("refrigerants: %s: %s %.6g %s is outside the valid range %.6g to %.6g %s",
		e.Refrigerant, e.Quantity, e.Value, e.Unit, e.Low, e.High, e.Unit)
	if e.Why != "" {
		s += " (" + e.Why + ")"
	}
	return s
}

// Is makes errors.Is(err, ErrRange) true.
func (e *RangeError) Is(target error) bool { return target == ErrRange }

func (r *Refrigerant) notConverged(what string, a, b float64) error {
	return fmt.Errorf("refrigerants: %s: %s at %.6g, %.6g: %w", r.rec.Name, what, a, b, ErrNotConverged)
}
