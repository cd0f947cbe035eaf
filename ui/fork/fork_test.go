package fork

import (
	"fmt"
	"math"
	"testing"

	"chargehand/ui/theme"
)

func sample() Data {
	return Data{
		Unit: "°F", MassUnit: "oz",
		Points: []Point{
			{0, [2]float64{42, 2.8}, true}, {8, [2]float64{26.7, 3.4}, true}, {12, [2]float64{13.4, 3.9}, true},
		},
		Band: [2]Band{{4, 14}, {6, 12}},
		Next: Fans{On: true, X: 16, Orifice: [2]Range{{6, 8.7, 11}, {4, 4.4, 5}}, Valve: [2]Range{{10, 12, 14}, {5, 6, 7}}},
		Past: Fans{On: true, X: 12, Orifice: [2]Range{{10, 14, 18}, {3.2, 3.6, 4}}, Valve: [2]Range{{18, 22, 25}, {4, 5, 6}}},
	}
}

func TestLook(t *testing.T) {
	for _, s := range [][2]int{{60, 10}, {70, 20}, {100, 24}, {44, 9}, {36, 9}} {
		fmt.Println(s)
		for _, l := range Draw(sample(), s[0], s[1], theme.Theme{}) {
			fmt.Println(l)
		}
	}
	for _, l := range Draw(sample(), 70, 20, theme.Theme{ASCII: true}) {
		fmt.Println(l)
	}
	fmt.Println(sample().Land(), math.Pi)
}
