package charge_test

import (
	"fmt"

	"chargehand/charge"
)

// A session of three lines: the unit, one reading, and what it amounts to. The
// readings are invented.
func ExampleSession() {
	s := charge.NewSession(charge.Options{})
	for _, line := range []string{
		`{"kind":"setup","at":"2026-06-01T13:00:00Z","refrigerant":"R-410A","capacity":"5 ton","device":"fixed-orifice"}`,
		`{"kind":"reading","at":"2026-06-01T13:20:00Z","suction_pressure":"133 psig","liquid_pressure":"466 psig",
		  "suction_line":"55 °F","liquid_line":"123 °F","outdoor":"88 °F","return_dry_bulb":"76 °F","return_wet_bulb":"65 °F"}`,
	} {
		e, err := charge.ParseEvent([]byte(line))
		if err != nil {
			fmt.Println(err)
			return
		}
		a, err := s.Apply(e)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: %s\n", a.Action, a.Why[0])
	}
	// Output:
	// measure: Let it run 15 minutes, then take the first full reading.
	// correct: Condensing is 40 °F over outdoor air, limit 35 °F. Clean the condenser, see that the fan turns at full speed and that no hot air comes back; if all that is right, suspect air in the system.
}
