package cli

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"chargehand/charge/moistair"
	"chargehand/charge/quantity"
	"chargehand/charge/rig"
)

// CurveCmd prints the settled readings of a simulated system against its
// charge.
type CurveCmd struct {
	Refrigerant      string `default:"R-410A" placeholder:"NAME" help:"Refrigerant, such as R-410A or 454B."`
	Capacity         string `default:"3 ton" placeholder:"POWER" help:"Cooling capacity, such as \"3 ton\" or 10.5kW."`
	Device           string `default:"fixed-orifice" enum:"fixed-orifice,capillary-tube,thermostatic,electronic" help:"Metering device: fixed-orifice, capillary-tube, thermostatic or electronic." placeholder:"DEVICE"`
	Application      string `default:"comfort" enum:"comfort,medium-temperature,low-temperature" placeholder:"WORD" help:"What it cools: comfort, medium-temperature or low-temperature."`
	DesignSuperheat  string `placeholder:"DIFF" help:"Superheat at the suction port with the data plate charge at the design conditions, such as 12F or 6.7K."`
	DesignSubcooling string `placeholder:"DIFF" help:"Subcooling at the liquid port there, such as 10F or 5.5K."`
	DesignOutdoor    string `placeholder:"TEMP" help:"Outdoor air of the design conditions. Default: 95F, 90F for boxes."`
	DesignReturn     string `placeholder:"DRY/WET" help:"Return air of the design conditions. Default: 80F/67F, a box near its set point."`
	LineLength       string `placeholder:"LENGTH" help:"Length of the line set. Default: 10 m."`
	MicroChannel     bool   `help:"A condenser of flat tubes, of little volume."`
	Receiver         string `placeholder:"VOLUME" help:"A receiver of so many litres."`
	HeadPressure     string `placeholder:"PRESSURE" help:"Setting of a flooding head-pressure control; needs --receiver."`

	Outdoor   string `placeholder:"TEMP" help:"Outdoor air. Default: the design conditions."`
	Return    string `placeholder:"DRY/WET" help:"Return air, dry and wet bulb such as 80F/67F, or with relative humidity such as 80F/50%. Default: the design conditions."`
	Elevation string `aliases:"altitude" placeholder:"HEIGHT" help:"Height of the site, such as 5000ft; gauges read against the air there. Default: sea level."`
	Charge    string `default:"40:140:5" placeholder:"FROM:TO:STEP" help:"Percent of the data plate charge."`

	LowAirflow         float64 `group:"Faults (0 none to 1 worst)" placeholder:"S" help:"Evaporator air flow lost."`
	CondenserFouling   float64 `group:"Faults (0 none to 1 worst)" placeholder:"S" help:"Dirt on the condenser."`
	CondenserFan       float64 `group:"Faults (0 none to 1 worst)" placeholder:"S" help:"Failing condenser fan."`
	Restriction        float64 `group:"Faults (0 none to 1 worst)" placeholder:"S" help:"Restriction in the liquid line."`
	NonCondensable     float64 `group:"Faults (0 none to 1 worst)" placeholder:"S" help:"Air in the condenser."`
	WeakCompressor     float64 `group:"Faults (0 none to 1 worst)" placeholder:"S" help:"Weak compressor."`
	HeadPressureStuck  float64 `group:"Faults (0 none to 1 worst)" placeholder:"S" help:"Head-pressure control passing hot gas; needs --receiver."`
	ValveStuckOpen     float64 `group:"Faults (0 none to 1 worst)" placeholder:"S" help:"Valve that cannot close under this share."`
	ValveStuckShut     float64 `group:"Faults (0 none to 1 worst)" placeholder:"S" help:"Valve that has lost this share of its opening."`
	BulbLoose          float64 `group:"Faults (0 none to 1 worst)" placeholder:"S" help:"Bulb loose on its pipe."`
	WrongRefrigerant   float64 `group:"Faults (0 none to 1 worst)" placeholder:"S" help:"Mole share of another refrigerant."`
	WrongRefrigerantIs string  `group:"Faults (0 none to 1 worst)" placeholder:"NAME" help:"Which other refrigerant."`

	JSON  bool `name:"json" xor:"form" help:"One JSON object a line, numbers with the unit in the name."`
	CSV   bool `name:"csv" xor:"form" help:"One row a charge, numbers with the unit in the column name."`
	SI    bool `name:"si" help:"The table in °C, K, kPa and kg."`
	Width int  `default:"80" placeholder:"N" help:"Columns the plot may use."`
}

// Help shows the command at work.
func (CurveCmd) Help() string {
	return `A simulated system is sized from the flags, then settled at each charge. It is a model of a plausible
system of that description, not of any maker's; a real unit's own charging chart comes first.

Examples:
  chargehand curve
  chargehand curve --device thermostatic --outdoor 82F --return 78F/65F
  chargehand curve --refrigerant R-22 --charge 70:120:2.5 --csv
  chargehand curve --restriction 0.5 --json`
}

// Run sizes the system and prints its curve.
func (c *CurveCmd) Run(env *Env) error {
	sys, cond, faults, charges, err := c.read()
	if err != nil {
		return ptUsage(err)
	}
	rows := make([]rig.State, 0, len(charges))
	for _, percent := range charges {
		st, err := sys.Steady(percent/100*sys.NameplateKg, cond, faults)
		if err != nil {
			var e *rig.ConvergenceError
			if errors.As(err, &e) {
				fmt.Fprintf(env.Err, "chargehand: %g %% left out: %s\n", percent, e.Why)
				continue
			}
			return ptUsage(err)
		}
		if st.CutOut {
			fmt.Fprintf(env.Err, "chargehand: %g %%: a high-pressure control would have stopped the compressor; shown is the last state it could run in\n", percent)
		}
		if st.LowCutOut {
			fmt.Fprintf(env.Err, "chargehand: %g %%: all but empty, a low-pressure control would have stopped the compressor; shown is the last state it could run in\n", percent)
		}
		rows = append(rows, st)
	}
	if len(rows) == 0 {
		return errors.New("no charge in the range has a steady state")
	}
	switch {
	case c.JSON:
		return c.writeJSON(env.Out, sys, rows)
	case c.CSV:
		return c.writeCSV(env.Out, sys, rows)
	}
	if err := c.writeTable(env.Out, sys, rows); err != nil {
		return err
	}
	return plotCurve(env.Out, sys, rows, c.Width, c.SI)
}

// read turns the flags into a system, its conditions and the charges.
func (c *CurveCmd) read() (*rig.System, rig.Conditions, rig.Faults, []float64, error) {
	fail := func(err error) (*rig.System, rig.Conditions, rig.Faults, []float64, error) {
		return nil, rig.Conditions{}, rig.Faults{}, nil, err
	}
	spec := rig.Spec{Refrigerant: c.Refrigerant, MicroChannel: c.MicroChannel}
	var err error
	if spec.Device, err = rig.ParseDevice(c.Device); err != nil {
		return fail(err)
	}
	switch c.Application {
	case "medium-temperature":
		spec.Application = rig.MediumTemperature
	case "low-temperature":
		spec.Application = rig.LowTemperature
	}
	power, err := quantity.ParsePowerIn(c.Capacity, quantity.Ton)
	if err != nil {
		return fail(fmt.Errorf("--capacity: %w", err))
	}
	spec.CapacityW = power.Watts()
	// More than the air over a coil can warm the gas, or less than a pipe clamp
	// can tell, is a slip of the keyboard.
	if spec.DesignSuperheatK, err = difference("--design-superheat", c.DesignSuperheat, 2, 45); err != nil {
		return fail(err)
	}
	// The condenser is sized to run 20 °F over the air at design.
	if spec.DesignSubcoolingK, err = difference("--design-subcooling", c.DesignSubcooling, 1, 17); err != nil {
		return fail(err)
	}
	if c.LineLength != "" {
		l, err := quantity.ParseLength(c.LineLength)
		if err != nil {
			return fail(fmt.Errorf("--line-length: %w", err))
		}
		if spec.LiquidLineM = l.Meters(); !(spec.LiquidLineM > 0 && spec.LiquidLineM <= longestLineM) {
			return fail(fmt.Errorf("--line-length: %q must be more than nothing and at most %d m (%.0f ft)", c.LineLength, longestLineM, longestLineM/0.3048))
		}
	}
	if c.Receiver != "" {
		litres, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimRight(strings.TrimSpace(c.Receiver), "lL")), 64)
		if err != nil || !(litres > 0 && litres <= 1000) {
			return fail(fmt.Errorf("--receiver: %q is not a volume in litres up to 1000, such as 4L", c.Receiver))
		}
		spec.ReceiverM3 = litres / 1000
	}
	barometer := 101325.0
	if c.Elevation != "" {
		l, err := quantity.ParseLength(c.Elevation)
		if err == nil {
			barometer, err = moistair.StandardPressure(l.Meters())
		}
		if err != nil {
			return fail(fmt.Errorf("--elevation: %w", err))
		}
	}
	if c.HeadPressure != "" {
		p, err := quantity.ParsePressure(c.HeadPressure)
		if err != nil {
			return fail(fmt.Errorf("--head-pressure: %w", err))
		}
		if spec.HeadPressurePa = p.Absolute(barometer); !(spec.HeadPressurePa > barometer) {
			return fail(fmt.Errorf("--head-pressure: %q must be over the air's: give the control's setting, such as 180psig", c.HeadPressure))
		}
	}
	design := spec.Application.Rating()
	if err := air(&design, "--design-outdoor", c.DesignOutdoor, "--design-return", c.DesignReturn); err != nil {
		return fail(err)
	}
	spec.Design = design
	cond := design
	cond.BarometerPa = barometer
	if err := air(&cond, "--outdoor", c.Outdoor, "--return", c.Return); err != nil {
		return fail(err)
	}
	charges, err := percents(c.Charge)
	if err != nil {
		return fail(err)
	}
	faults := rig.Faults{
		LowAirflow: c.LowAirflow, CondenserFouling: c.CondenserFouling, CondenserFan: c.CondenserFan,
		Restriction: c.Restriction, NonCondensable: c.NonCondensable, WeakCompressor: c.WeakCompressor,
		HeadPressure: c.HeadPressureStuck, ValveStuckOpen: c.ValveStuckOpen, ValveStuckShut: c.ValveStuckShut,
		BulbLoose: c.BulbLoose, WrongRefrigerant: c.WrongRefrigerant, Contaminant: c.WrongRefrigerantIs,
	}
	sys, err := rig.Size(spec)
	if err != nil {
		return fail(c.named(err))
	}
	return sys, cond, faults, charges, nil
}

// longestLineM is longer than any maker allows a split system's line set to be.
const longestLineM = 200

// named is an error about a field of the system with the flag it came from.
func (c *CurveCmd) named(err error) error {
	var bad *rig.SpecError
	if !errors.As(err, &bad) {
		return err
	}
	flag, text := "", ""
	switch bad.Field {
	case "CapacityW":
		flag, text = "--capacity", c.Capacity
	case "HeadPressurePa":
		flag, text = "--head-pressure", c.HeadPressure
	case "CondensingOverAmbientK":
		flag, text = "--design-outdoor", c.DesignOutdoor
	case "EvaporatorTDK", "Design":
		flag, text = "--design-return", c.DesignReturn
	}
	if text == "" {
		return err
	}
	return fmt.Errorf("%s: %q: %s", flag, text, bad.Why)
}

// difference reads a superheat or subcooling between two limits in °F; a bare
// number is °F.
func difference(flag, text string, low, high float64) (float64, error) {
	if text == "" {
		return 0, nil
	}
	d, err := quantity.ParseTemperatureDifferenceIn(text, quantity.Fahrenheit)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", flag, err)
	}
	k := d.Kelvins()
	if !(k*1.8 > low-1e-9 && k*1.8 < high+1e-9) {
		return 0, fmt.Errorf("%s: %q is outside %g to %g °F (%.1f to %.1f K): give what the maker names for the design conditions", flag, text, low, high, low/1.8, high/1.8)
	}
	return k, nil
}

// air reads outdoor and return air into conditions; bare numbers are °F.
func air(c *rig.Conditions, outFlag, out, retFlag, ret string) error {
	temperature := func(flag, text string) (float64, error) {
		t, err := quantity.ParseTemperatureIn(strings.TrimSpace(text), quantity.Fahrenheit)
		if err != nil {
			return 0, fmt.Errorf("%s: %w", flag, err)
		}
		return t.Kelvin(), nil
	}
	var err error
	if out != "" {
		if c.OutdoorK, err = temperature(outFlag, out); err != nil {
			return err
		}
	}
	if ret == "" {
		return nil
	}
	dry, wet, ok := strings.Cut(ret, "/")
	if !ok {
		return fmt.Errorf("%s: %q needs dry and wet bulb, such as 80F/67F", retFlag, ret)
	}
	if c.ReturnDryK, err = temperature(retFlag, dry); err != nil {
		return err
	}
	if strings.HasSuffix(strings.TrimSpace(wet), "%") {
		rh, err := quantity.ParseHumidity(strings.TrimSpace(wet))
		if err == nil {
			c.ReturnWetK, err = moistair.WetBulb(c.ReturnDryK, rh.Fraction(), c.BarometerPa)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", retFlag, err)
		}
		return nil
	}
	c.ReturnWetK, err = temperature(retFlag, wet)
	return err
}

// percents reads FROM:TO:STEP, FROM:TO or one number.
func percents(text string) ([]float64, error) {
	bad := fmt.Errorf("--charge: %q is not FROM:TO:STEP in percent, such as 40:140:5", text)
	parts := strings.Split(strings.ReplaceAll(text, "%", ""), ":")
	v := make([]float64, len(parts))
	for i, p := range parts {
		x, err := strconv.ParseFloat(strings.TrimSpace(p), 64)
		if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
			return nil, bad
		}
		v[i] = x
	}
	switch len(v) {
	case 1:
		v = append(v, v[0], 1)
	case 2:
		v = append(v, 5)
	case 3:
	default:
		return nil, bad
	}
	from, to, step := v[0], v[1], v[2]
	if !(from > 0) || to < from || to > mostPercent || !(step > 0) || (to-from)/step > 2000 {
		return nil, fmt.Errorf("--charge: %q must rise from more than 0 to at most %d in at most 2000 steps", text, mostPercent)
	}
	steps := int((to-from)/step + 1e-9)
	out := make([]float64, steps+1)
	for i := range out {
		out[i] = from + float64(i)*step
	}
	return out, nil
}

// mostPercent of the data plate charge is far more than any circuit holds.
const mostPercent = 1000

// curveField is one column under its machine name.
type curveField struct {
	name   string
	value  float64
	digits int
}

func curveFields(sys *rig.System, st rig.State) []curveField {
	f := func(k float64) float64 { return k*1.8 - 459.67 }
	baro := st.Conditions.BarometerPa
	psig := func(pa float64) float64 { return (pa - baro) / quantity.PascalsPerPSI }
	return []curveField{
		{"charge_percent", st.ChargeKg / sys.NameplateKg * 100, 3},
		{"charge_kg", st.ChargeKg, 4},
		{"superheat_F", st.SuperheatK * 1.8, 2},
		{"subcooling_F", st.SubcoolingK * 1.8, 2},
		{"suction_psig", psig(st.SuctionPressurePa), 2},
		{"liquid_psig", psig(st.LiquidPressurePa), 2},
		{"suction_line_F", f(st.SuctionLineK), 2},
		{"liquid_line_F", f(st.LiquidLineK), 2},
		{"discharge_line_F", f(st.DischargeLineK), 2},
		{"supply_dry_bulb_F", f(st.SupplyDryK), 2},
		{"capacity_W", st.CapacityW, 1},
		{"power_W", st.PowerW, 1},
	}
}

func (v curveField) String() string {
	p := math.Pow(10, float64(v.digits))
	return strconv.FormatFloat(math.Round(v.value*p)/p+0, 'f', -1, 64)
}

func (c *CurveCmd) writeJSON(w io.Writer, sys *rig.System, rows []rig.State) error {
	var b strings.Builder
	for _, st := range rows {
		for i, f := range curveFields(sys, st) {
			sep := ","
			if i == 0 {
				sep = "{"
			}
			fmt.Fprintf(&b, "%s%q:%s", sep, f.name, f)
		}
		b.WriteString("}\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func (c *CurveCmd) writeCSV(w io.Writer, sys *rig.System, rows []rig.State) error {
	var table [][]cell
	for _, st := range rows {
		var row []cell
		for _, f := range curveFields(sys, st) {
			row = append(row, cell{f.name, f.String()})
		}
		table = append(table, row)
	}
	return writeCSV(w, table)
}
