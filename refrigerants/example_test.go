package refrigerants_test

import (
	"fmt"

	"chargehand/refrigerants"
)

// Superheat and subcooling of an invented R-410A system at sea level.
func Example() {
	r, err := refrigerants.Lookup("r410a")
	if err != nil {
		fmt.Println(err)
		return
	}
	const psi, atmosphere = 6894.757, 101325.0
	dew, _ := r.DewTemperature(118*psi + atmosphere)
	bubble, _ := r.BubbleTemperature(340*psi + atmosphere)
	suction, liquid := (54+459.67)/1.8, (98+459.67)/1.8 // K, from °F
	fmt.Printf("superheat %.1f °F\n", (suction-dew)*1.8)
	fmt.Printf("subcooling %.1f °F\n", (bubble-liquid)*1.8)
	// Output:
	// superheat 14.2 °F
	// subcooling 6.6 °F
}

// Out of range is an error that says what is in range.
func ExampleRefrigerant_BubbleTemperature() {
	r, _ := refrigerants.Lookup("R-32")
	_, err := r.BubbleTemperature(7e6)
	fmt.Println(err)
	// Output:
	// refrigerants: R-32: pressure 7e+06 Pa is outside the valid range 6878.24 to 5.3708e+06 Pa (saturation is solved from 180 K or the triple point to 0.99 of the critical temperature)
}

// Across an expansion valve enthalpy stays: what arrives at the evaporator.
func ExampleRefrigerant_AtEnthalpy() {
	r, _ := refrigerants.Lookup("R-454B")
	liquid, _ := r.Liquid(2.4e6, 308.15)
	f, _ := r.AtEnthalpy(9e5, liquid.Enthalpy)
	fmt.Printf("%v, %.0f %% vapor by mass\n", f.Phase, 100*f.Quality)
	// Output:
	// two-phase, 19 % vapor by mass
}
