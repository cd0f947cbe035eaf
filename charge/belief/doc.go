// Package belief says what is inside a refrigeration system from the answers it gives while charge is weighed in:
// which metering device feeds the coil, how far the charge is from right, whether charge is the trouble at all, what
// the next increment would do, and which increment to choose.
//
// # How it works
//
// A hypothesis is a device (fixed orifice or expansion valve) with a cause (charge alone, low air flow, a condenser
// that does not reject its heat, non-condensable gas, a restriction, a weak compressor). Each is an ensemble of members:
// plausible systems whose superheat, subcooling, evaporating and condensing temperature, air split and discharge
// temperature follow smooth curves over the charge fraction and the weather (see law). A member's two dozen hidden
// numbers are standard normals in the prior (see member), among them the charge found on arrival and the mass of a full
// charge, so that an unknown data plate or capacity is only a wider prior.
//
// A reading is compared channel by channel under a Student likelihood (see hypothesis.advance). Each channel of each
// member has a standing offset, for the bias of the session's instruments and for what the curves leave open; it is
// integrated out by a scalar Kalman step and takes a random share of every change, so a member can be wrong in slope as
// well as in level. What has not settled yet is predicted, with the member's own time constant, not waited out.
//
// The evidence of a hypothesis is the product of the mean likelihoods, so devices and causes compare by Bayes' rule. When
// few members carry the weight they are resampled and moved by Crank-Nicolson steps under the whole history.
//
// # Use
//
//	b := belief.New(belief.Unit{Refrigerant: "R-410A", NameplateKg: 3.2, AirSideChecked: true, CondenserChecked: true})
//	b.Observe(reading)            // each settled or unsettled reading, in order
//	b.Device()                    // probabilities; a verdict from 0.95
//	b.Causes()                    // what is wrong, most likely first
//	b.Forecast(0.2)               // settled reading after 200 g more, under both devices
//	b.Plan(goal)                  // what to do next
//
// Everything is SI inside: kelvin, pascal absolute, kilogram, minutes; NaN is a value not taken. The same readings in
// the same order give the same belief. Every prior, width and threshold is in priors.go with its source.
package belief
