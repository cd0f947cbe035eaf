package ledger

import (
	"strings"

	"chargehand/charge"
	q "chargehand/charge/quantity"
)

// Use is the class of appliance the leak rules speak of.
type Use string

const (
	ComfortCooling          Use = "comfort cooling"
	CommercialRefrigeration Use = "commercial refrigeration"
	IndustrialProcess       Use = "industrial process refrigeration"
)

// useOf is the class that a setup's application suggests.
func useOf(a charge.Application) Use {
	if a == charge.MediumTemperature || a == charge.LowTemperature {
		return CommercialRefrigeration
	}
	return ComfortCooling
}

// Threshold is a published leak-rate trigger: guidance that defers to the
// current text of the rule.
type Threshold struct {
	Percent float64 `json:"percent_per_year"`
	FromKg  float64 `json:"from_full_charge_kg"` // appliances of this full charge and more
	Section string  `json:"section"`
	Except  string  `json:"except,omitempty"`
}

const lb = q.KilogramsPerPound

// percents are the same in both parts: 40 CFR 82.157(c)(2) and 84.106(c)(2).
var percents = map[Use]float64{CommercialRefrigeration: 20, IndustrialProcess: 30, ComfortCooling: 10}

// thresholdOf is the trigger for a refrigerant and a use, ok false when
// neither part covers the refrigerant. Whether the appliance is large enough
// is for applies to say.
//
// 40 CFR 82.157 covers ozone-depleting refrigerants from 50 lb (since
// 2020-04-10 those alone); 40 CFR 84.106 covers HFCs and substitutes with a
// GWP over 53 from 15 lb (from 2026-01-01).
func thresholdOf(refrigerant string, use Use) (t Threshold, ok bool) {
	potential, _, known := gwp(refrigerant, AR4)
	switch {
	case !known:
		return Threshold{}, false
	case depletesOzone(refrigerant):
		return Threshold{Percent: percents[use], FromKg: 50 * lb, Section: "40 CFR 82.157(a), (c)(2)"}, true
	case potential > 53:
		t = Threshold{Percent: percents[use], FromKg: 15 * lb, Section: "40 CFR 84.106(a), (c)(2)"}
		if use == ComfortCooling {
			t.Except = "residential and light commercial air conditioning and heat pumps are excluded"
		}
		return t, true
	}
	return Threshold{}, false
}

// applies reports whether an appliance of this full charge is large enough.
// One whose charge is not known (NaN) is not.
func (t Threshold) applies(fullKg float64) bool { return fullKg >= t.FromKg }

// chronicPercent: an appliance that took this share of its full charge in a
// calendar year is reported (40 CFR 82.157, and 84.106 likewise).
const chronicPercent = 125

// depletesOzone lists the class I and II refrigerants among those known, and
// the blends that hold one (40 CFR 82 subpart A, appendices A and B, from
// memory; compositions from ASHRAE 34).
func depletesOzone(name string) bool {
	switch strings.TrimPrefix(Name(name), "R-") {
	case "12", "22", "123", "124", "142b", "408A", "409A":
		return true
	}
	return false
}
