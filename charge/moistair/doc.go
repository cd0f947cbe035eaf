// Package moistair gives the properties of moist air and of the standard
// atmosphere, in SI units: temperatures in K, pressures in Pa, humidity ratios
// in kg of water a kg of dry air, enthalpies in J a kg of dry air, elevations in m.
//
// # Model
//
// Perfect-gas relations of ASHRAE Handbook-Fundamentals (SI) 2021, chapter 1,
// with the saturation pressure of Hyland and Wexler, "Formulations for the
// thermodynamic properties of the saturated phases of H2O from 173.15 K to 473.15 K",
// ASHRAE Transactions 89(2A), 1983. Against the handbook's real-gas table
// humidity ratios at saturation read 0.4 to 0.7 % low at sea level: less than
// 0.1 °F of wet bulb in rooms people live in. Equation numbers below are those of the
// 2017 and 2021 editions, from memory.
//
// # Ice and water
//
// Below 273.16 K saturation is over ice, and a wet bulb below 0 °C is taken
// as an iced one. At 0 °C the wet-bulb equation jumps from one branch to the other:
// a thin band of air states could show a wet bulb either at or above 0 °C wet or
// a little below 0 °C iced. WetBulb prefers the wet one where it exists.
// HumidityRatioFromWetBulb undoes WetBulb everywhere.
//
// # Errors
//
// Impossible input (a wet bulb above the dry bulb, or below what bone-dry air
// would show; humidity outside 0 to 100 %) is an error that names the value and the limit.
// The functions in fast.go return NaN instead, for inner loops that stay in range.
// Nothing here allocates unless it fails.
package moistair
