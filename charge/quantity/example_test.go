package quantity_test

import (
	"fmt"

	"chargehand/charge/quantity"
)

func ExampleParsePressureIn() {
	p, _ := quantity.ParsePressureIn("118", quantity.US.PressureUnit())
	fmt.Println(p)
	_, err := quantity.ParsePressure("118 psi")
	fmt.Println(err)
	// Output:
	// 118 psig
	// pressure "118 psi": psi does not say which: gauge is psig, absolute is psia (accepted units: psig, psia, kPag, kPa, barg, bar, MPag, MPa, Pag, Pa, hPa, inHg abs, inHg vac)
}

func ExampleParseMass() {
	m, _ := quantity.ParseMass("1 lb 4 oz")
	fmt.Println(m, m.Ounces(), quantity.FormatMassKg(m.Kilograms(), quantity.SI))
	// Output: 1 lb 4 oz 20 567 g
}
