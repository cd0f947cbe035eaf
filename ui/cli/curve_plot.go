package cli

import (
	"fmt"
	"io"
	"math"
	"strings"

	"chargehand/charge/quantity"
	"chargehand/charge/rig"
)

// writeTable prints the curve for reading.
func (c *CurveCmd) writeTable(w io.Writer, sys *rig.System, rows []rig.State) error {
	var b strings.Builder
	s := sys.Spec()
	fmt.Fprintf(&b, "%s, %s, %.2f kg (%.1f oz) on the data plate, a simulated system\n\n",
		s.Refrigerant, s.Device, sys.NameplateKg, sys.NameplateKg/quantity.KilogramsPerOunce)
	const head, row = "%5s %6s %5s %5s %7s %7s %5s %5s %6s %6s %7s %5s\n", "%5.1f %6.*f %5.1f %5.1f %7.*f %7.*f %5.1f %5.1f %6.1f %6.1f %7.2f %5.2f\n"
	fmt.Fprintf(&b, head, "", "charge", "SH", "SC", "suction", "liquid", "suct.", "liq.", "disch.", "supply", "cooling", "power")
	degree, pressure, mass, cooling := "°F", "psig", "oz", "ton"
	if c.SI {
		degree, pressure, mass, cooling = "°C", "kPag", "kg", "kW"
	}
	difference := strings.Replace(degree, "°C", "K", 1)
	fmt.Fprintf(&b, head, "%", mass, difference, difference, pressure, pressure, degree, degree, degree, degree, cooling, "kW")
	for _, st := range rows {
		baro := st.Conditions.BarometerPa
		percent := st.ChargeKg / sys.NameplateKg * 100
		if c.SI {
			t := func(k float64) float64 { return k - 273.15 }
			fmt.Fprintf(&b, row, percent, 3, st.ChargeKg, flat(st.SuperheatK), flat(st.SubcoolingK), 0, (st.SuctionPressurePa-baro)/1e3, 0, (st.LiquidPressurePa-baro)/1e3,
				t(st.SuctionLineK), t(st.LiquidLineK), t(st.DischargeLineK), t(st.SupplyDryK), st.CapacityW/1e3, st.PowerW/1e3)
			continue
		}
		t := func(k float64) float64 { return k*1.8 - 459.67 }
		const psi = quantity.PascalsPerPSI
		fmt.Fprintf(&b, row, percent, 1, st.ChargeKg/quantity.KilogramsPerOunce, flat(st.SuperheatK*1.8), flat(st.SubcoolingK*1.8), 1, (st.SuctionPressurePa-baro)/psi, 1, (st.LiquidPressurePa-baro)/psi,
			t(st.SuctionLineK), t(st.LiquidLineK), t(st.DischargeLineK), t(st.SupplyDryK), st.CapacityW/3516.853, st.PowerW/1e3)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// flat prints a hair under nothing as nothing.
func flat(x float64) float64 {
	if math.Abs(x) < 0.05 {
		return 0
	}
	return x
}

// plotCurve draws superheat (H) and subcooling (C) against charge with plain
// letters, so that it reads without colour and on any terminal.
func plotCurve(w io.Writer, sys *rig.System, rows []rig.State, width int, si bool) error {
	const margin, height = 6, 18
	cols := min(max(width, 30), 200) - margin
	if len(rows) < 2 {
		return nil
	}
	scale, unit := 1.8, "°F"
	if si {
		scale, unit = 1, "K"
	}
	first, last := rows[0].ChargeKg, rows[len(rows)-1].ChargeKg
	top := 10.0
	for _, st := range rows {
		top = math.Max(top, math.Max(st.SuperheatK, st.SubcoolingK)*scale)
	}
	step := 5.0
	for top/step > 9 {
		step *= 2
	}
	top = math.Ceil(top/step) * step
	grid := make([][]rune, height+1)
	for i := range grid {
		grid[i] = []rune(strings.Repeat(" ", cols))
	}
	put := func(x int, v float64, mark rune) {
		y := height - int(math.Round(math.Max(v, 0)/top*height))
		if y < 0 {
			return
		}
		if g := grid[y][x]; g != ' ' && g != mark {
			mark = '*'
		}
		grid[y][x] = mark
	}
	j := 0
	for x := range cols {
		kg := first + (last-first)*float64(x)/float64(cols-1)
		for j < len(rows)-2 && rows[j+1].ChargeKg < kg {
			j++
		}
		a, b := rows[j], rows[j+1]
		u := (kg - a.ChargeKg) / (b.ChargeKg - a.ChargeKg)
		put(x, (a.SuperheatK+u*(b.SuperheatK-a.SuperheatK))*scale, 'H')
		put(x, (a.SubcoolingK+u*(b.SubcoolingK-a.SubcoolingK))*scale, 'C')
	}
	var out strings.Builder
	fmt.Fprintf(&out, "\n%s  H superheat  C subcooling  * both\n", unit)
	labelled := map[int]float64{}
	for v := 0.0; v <= top+1e-9; v += step {
		labelled[height-int(math.Round(v/top*height))] = v
	}
	for i, line := range grid {
		if v, ok := labelled[i]; ok {
			fmt.Fprintf(&out, "%4.0f ┤", v)
		} else {
			out.WriteString("     │")
		}
		out.WriteString(strings.TrimRight(string(line), " "))
		out.WriteByte('\n')
	}
	out.WriteString("     └" + strings.Repeat("─", cols) + "\n")
	left := fmt.Sprintf("%.0f %%", first/sys.NameplateKg*100)
	right := fmt.Sprintf("%.0f %% of the data plate charge", last/sys.NameplateKg*100)
	if len(left)+1+len(right) > cols {
		right = fmt.Sprintf("%.0f %%", last/sys.NameplateKg*100)
	}
	pad := max(cols-len(left)-len(right), 1)
	fmt.Fprintf(&out, "      %s%s%s\n", left, strings.Repeat(" ", pad), right)
	_, err := io.WriteString(w, out.String())
	return err
}
