// Package refrigerants gives the thermodynamic properties of refrigerants,
// pure and blended, from their published equations of state. It takes and gives
// SI floats: Pa (absolute), K, J/kg, kg/m3.
//
//	r, err := refrigerants.Lookup("R-410A")  // or r410a, 410A, propane
//	dew, err := r.DewTemperature(8e5)        // superheat counts from here
//	bubble, err := r.BubbleTemperature(2.5e6) // subcooling counts from here
//	s, err := r.Vapor(8e5, 290)              // h, s, rho, cp, speed of sound
//	f, err := r.AtEnthalpy(8e5, 300e3)       // any phase, with quality
//
// # Three ways to ask
//
// The methods of Refrigerant solve the full equations of state: microseconds,
// exact to rounding, errors that name the valid range. Curve and Surface are
// piecewise polynomials through points solved that way: nanoseconds, NaN outside
// their range, built on first use (a millisecond or three for the Curve, ten to
// fifty for the Surface) and kept. Use the first at a terminal, the second in a
// loop.
//
//	c, err := r.Curve()                // saturation: T(p), p(T), h, s, rho
//	u, err := r.Surface()              // superheated vapour, subcooled liquid
//
// Everything is safe for concurrent use and allocates nothing once built.
//
// # Ranges
//
// Saturation is solved from 180 K (or the triple point of a pure fluid) to 0.99
// of the critical temperature. Past that the answer is an error: there the
// equations are steep and least accurate, and no charge is set there. Liquid
// goes to the pressure limit of the equations, vapour to 180 °C even where a
// paper claims less. Between the end of the dew
// line and 1.05 of the critical temperature pressures above it are refused;
// hotter, the fluid is single and answered.
//
// # Accuracy
//
// Against the reference library on the same equations saturation agrees within
// 3e-8 K and densities within 2e-9; the Curve follows the full solution within
// 1e-5 K up to 0.98 of the critical temperature (5e-4 K at 0.99) and the Surface
// within 2e-6 in density, 0.5 J/kg in enthalpy and 2e-4 in heat capacity. How
// well the equations describe the fluids is told in their papers: typically 0.1
// % in vapour pressure for pure fluids, 0.2 to 0.5 % for blends. Blends that
// rest on an estimated pair say so (EstimatedPairs): R-408A, R-409A, R-438A.
//
// Enthalpy and entropy count from the reference state of the equations: 200
// kJ/kg and 1 kJ/(kg K) for saturated liquid at 0 °C for most pure fluids, not
// for blends. Only differences mean anything.
//
// # Adding a refrigerant
//
// It takes one data file and its check values, no code.
//
// A pure fluid is a file data/NAME.json (without brackets in the file name):
//
//   - name, and under also its common names;
//   - safety_group, gwp (AR4 and AR5, 100 years), lower_flammability_limit if it
//     burns, charge_as_liquid: each a value with its source;
//   - critical: the critical point with its source;
//   - equation: the citation; molar mass and gas constant of the paper; the
//     reducing state (not always the critical one); triple point and validity
//     limits; the ideal-gas part and the residual terms by family, arrays named
//     after their columns (polynomial_n_t_d is n, t, d of n delta^d tau^t);
//     starting_values for saturation pressure and liquid density, which start
//     iterations and never reach a result, so a rough fit is enough.
//
// helmholtz/terms.go lists the families of terms: power, exponential, Gaussian,
// double exponential, inverse Gaussian, non-analytic.
//
// A blend is a file with composition (mass percent in the order of its
// designation), composition_source and the same facts; its critical point may be
// that of the mixture model. Each pair of components needs binary parameters in
// data/pairs.json. Betas belong to the order i, j written. Where no parameters
// are published, say so: estimate true, and in source what was taken instead.
//
// Check values go to testdata/properties: a few rows of saturation.csv and
// single_phase.csv from an independent implementation or the paper's own table,
// with their source in the README there. The tests run over every file found:
// identities, fuzzing, documentation of sources; add the name to the list in
// TestAllIsCompleteAndOrdered. Run
//
//	go test ./refrigerants/...
//	go test ./refrigerants -bench . -benchmem -run '^$'
//	go test ./refrigerants -fuzz FuzzSolvers -fuzztime 1m -run '^$'
package refrigerants
