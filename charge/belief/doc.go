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
// The evidence of a hypothesis is the product of the mean likelihoods, so devices and causes compare by Bayes' rule. Where
// that of a first reading would hang on a few members, more are drawn; at the first change of charge each member's size is
// drawn anew (size.go). When later few carry the weight they are resampled and moved under the whole history: those
// of a device without a fault mostly to places drawn from a normal distribution fitted to them (fitted.go), the others along
// differences of other members or by Crank-Nicolson steps. A move is given up once what is still to come can no longer save
// it (prospects.go). The members of a device are dealt into lots with random streams of their own (lot.go), so that
// processors share them and the outcome does not hang on how many there are.
//
// What the members assume of starved systems is not evidence: while the readings cannot tell the devices apart the odds are
// held back (told.go). A valve is named only once superheat was seen to hold, or to swing as that of a hunting valve does.
//
// What is wrong besides charge shows in how the levels of one reading go together, which the curves of members, anchored on
// that reading, know less well than somebody who has seen many units. So the evidence between causes is pooled, once, with
// that of a network trained on systems of the rig (package signature, see Belief.glance).
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
// # Where the members come from
//
// The law's shape follows from the balances named at each of its terms; the spread of its numbers from published
// statements and laboratory points (priors.go names the source of each). Package rig, which solves systems from first
// principles, is the check: fitted to charge curves of plausible rig systems at three weathers the law leaves about
// 0.4 °F of superheat and 0.3 °F of subcooling where jobs end, with every hidden number well inside its prior
// (TestMembersCanBeTheSystemsOfTheRig; -fit 120 prints the table). Package charge/trial plays whole jobs and reports how
// well the probabilities and the bands hold.
//
// Everything is SI inside: kelvin, pascal absolute, kilogram, minutes; NaN is a value not taken. The same readings in
// the same order give the same belief. Every prior, width and threshold is in priors.go with its source.
package belief
