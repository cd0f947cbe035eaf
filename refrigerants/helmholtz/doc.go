// Package helmholtz evaluates Helmholtz-energy equations of state of pure
// fluids and of mixtures, and solves their phase equilibria.
//
// # Equations
//
// Everything follows from the reduced Helmholtz energy alpha = a/(R T) as a
// function of tau = T_r/T and delta = rho/rho_r: an ideal-gas part, and a
// residual part alphar that is a sum of terms (terms.go shows each family). For
// a mixture of mole fractions x (the multi-fluid model; Lemmon and Jacobsen
// 2004, Kunz and Wagner 2012),
//
//	alphar(tau, delta, x) = sum_i x_i alphar_i(tau, delta)
//	                      + sum_{i<j} x_i x_j F_ij alphar_ij(tau, delta)
//
//	Y_r(x) = sum_i x_i^2 Y_i
//	       + sum_{i<j} 2 beta gamma Y_ij x_i x_j (x_i + x_j)/(beta^2 x_i + x_j)
//
// with Y = T_r, Y_ij = sqrt(T_i T_j), and Y = 1/rho_r,
// Y_ij = (rho_i^(-1/3) + rho_j^(-1/3))^3/8. T_i and rho_i are the reducing values
// of each paper, which are not always its critical ones.
//
// # Derivatives
//
// All are analytic. A term is evaluated once with its five derivatives, each
// multiplied by as many factors of tau and delta (sums), so that they add up
// without further powers. Integer powers of delta and the factors exp(-delta^l)
// are shared by all terms at a point; each term costs one exponential, tau^t.
//
// Phase equilibrium is written in concentrations rho_i rather than in mole
// fractions (isochoric thermodynamics, Deiters and Bell 2019): with
//
//	M_i = d(rho alphar)/d rho_i,   ln f_i = ln rho_i + M_i + ln(R T),
//
// and a_i = d ln T_r, b_i = 1 - d ln rho_r (each the derivative with respect to
// x_i less its mean over x), hats marking the same for alphar, t = tau alphar_tau
// and d = delta alphar_delta,
//
//	M_i = alphar + t a_i + d b_i + alphar^_i
//
//	rho dM_i/d rho_j = tt a_i a_j + td (a_i b_j + b_i a_j) + dd b_i b_j + d (b_i + b_j)
//	                 + a_i t^_j + t^_i a_j + b_i d^_j + d^_i b_j
//	                 + t T_ij + d V_ij + A_ij
//
// where T_ij, V_ij and A_ij are second composition derivatives of ln T_r,
// ln(1/rho_r) and alphar, less their means. It is symmetric; the tests derive it
// numerically from the plain definition.
//
// # Saturation
//
// The unknowns of a bubble or dew point are ln T, ln rho of the phase that has
// the overall composition, and ln rho_i of the incipient phase. The equations
// are equal fugacities, equal pressures and the specification. Newton's method
// on this system needs a start within its reach, so a Line is traced once per
// Mixture: from a first point (Raoult's law on the components' saturation
// pressures) along pressures 16 to the octave, each point started from the
// tangent of the last. A second right-hand side in the same elimination gives
// that tangent. Any later point starts from Hermite interpolation between its
// neighbours, which is good to a part in a million, and takes two iterations.
//
// A trivial solution (both phases alike) counts as not converged. Near the
// critical point the caller is expected to stop; the tracing does.
//
// # Cost
//
// On one core of a two-core server: 1 µs a bubble point of a pure fluid, 2 µs
// of two components, 5 µs of four, 1 to 4 ms for tracing both lines. No solver
// allocates: arrays are fixed at MaxComponents.
//
// # Use
//
//	f, err := helmholtz.NewFluid("R-32", data)       // per component
//	m, err := helmholtz.NewMixture(fluids, z, pairs) // z in mole fractions
//	l, err := m.Line(helmholtz.Dew, 200, 340)        // K
//	s, ok := l.AtPressure(8e5)                       // Pa
//	v := m.At(s.Temperature, s.Bulk)                 // the saturated vapour
//
// Arguments are not checked for sense here; package refrigerants does that.
package helmholtz
