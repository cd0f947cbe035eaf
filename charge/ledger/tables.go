package ledger

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"chargehand/charge/plain"
)

// tables that WriteCSV knows.
var tables = []string{"units", "jobs", "additions", "refrigerants", "months", "cylinders", "skipped"}

// WriteJSON writes the whole report as one indented object.
func (r Report) WriteJSON(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(r)
}

// WriteCSV writes one table with a head line (RFC 4180). Figures that are not
// known are empty. A text that a spreadsheet could take for a formula gets an
// apostrophe in front.
func (r Report) WriteCSV(w io.Writer, table string) error {
	c := csv.NewWriter(w)
	var rows [][]string
	switch table {
	case "units", "":
		rows = append(rows, []string{"unit", "refrigerant", "use", "jobs", "first", "last", "full_charge_kg", "in_kg", "out_kg", "in_t_co2e", "out_t_co2e",
			"additions", "additions_within_a_year", "annualizing_percent", "rolling_percent", "threshold_percent", "threshold_applies", "over_threshold", "section", "says"})
		for _, u := range r.Units {
			ann, roll := math.NaN(), math.NaN()
			if n := len(u.Additions); n > 0 {
				ann, roll = float64(u.Additions[n-1].Annualizing), float64(u.Additions[n-1].Rolling)
			}
			t := Threshold{Percent: math.NaN()}
			if u.Threshold != nil {
				t = *u.Threshold
			}
			rows = append(rows, []string{plain.Cell(u.Unit), plain.Cell(u.Refrigerant), string(u.Use), strconv.Itoa(u.Jobs), day(u.First), day(u.Last), kg(float64(u.FullKg)),
				kg(u.Flow.InKg), kg(u.Flow.OutKg), kg(float64(u.Flow.CO2eIn)), kg(float64(u.Flow.CO2eOut)), strconv.Itoa(len(u.Additions)), strconv.Itoa(u.again()),
				pct(ann), pct(roll), pct(t.Percent), strconv.FormatBool(u.Applies), strconv.FormatBool(u.Over), t.Section, plain.Cell(strings.Join(u.Says, "; "))})
		}
	case "jobs":
		rows = append(rows, []string{"file", "unit", "refrigerant", "start", "end", "in_kg", "out_kg", "full_charge_kg", "cylinder_refrigerant", "cylinder_start_kg", "cylinder_end_kg", "technician", "findings", "serious"})
		for _, j := range r.Jobs {
			rows = append(rows, []string{plain.Cell(j.File), plain.Cell(j.Unit), plain.Cell(j.Refrigerant), j.Start.Format(time.RFC3339), j.End.Format(time.RFC3339), kg(j.AddedKg), kg(j.RecoveredKg), kg(float64(j.FullKg)),
				plain.Cell(j.CylinderRefrigerant), kg(float64(j.CylinderStartKg)), kg(float64(j.CylinderEndKg)), plain.Cell(j.Technician), strconv.Itoa(j.Findings), strconv.Itoa(j.SeriousFinds)})
		}
	case "additions":
		rows = append(rows, []string{"unit", "refrigerant", "at", "added_kg", "days_since_last", "first_on_record", "annualizing_percent", "rolling_percent"})
		for _, u := range r.Units {
			for _, a := range u.Additions {
				rows = append(rows, []string{plain.Cell(u.Unit), plain.Cell(u.Refrigerant), day(a.At), kg(a.Kg), strconv.Itoa(a.Days), strconv.FormatBool(a.First),
					pct(float64(a.Annualizing)), pct(float64(a.Rolling))})
			}
		}
	case "refrigerants":
		rows = append(rows, []string{"refrigerant", "jobs", "gwp", "gwp_report", "in_kg", "out_kg", "in_t_co2e", "out_t_co2e"})
		for _, x := range r.Refrigerants {
			rows = append(rows, []string{plain.Cell(x.Refrigerant), strconv.Itoa(x.Jobs), pct(float64(x.GWP)), r.GWPReport, kg(x.Flow.InKg), kg(x.Flow.OutKg),
				kg(float64(x.Flow.CO2eIn)), kg(float64(x.Flow.CO2eOut))})
		}
	case "months":
		rows = append(rows, []string{"month", "refrigerant", "jobs", "in_kg", "out_kg", "in_t_co2e", "out_t_co2e"})
		for _, x := range r.Months {
			rows = append(rows, []string{x.Month, plain.Cell(x.Refrigerant), strconv.Itoa(x.Jobs), kg(x.Flow.InKg), kg(x.Flow.OutKg),
				kg(float64(x.Flow.CO2eIn)), kg(float64(x.Flow.CO2eOut))})
		}
	case "cylinders":
		rows = append(rows, []string{"refrigerant", "first", "last", "jobs", "start_kg", "now_kg", "out_kg", "steps_kg", "gap_kg"})
		for _, x := range r.Cylinders {
			rows = append(rows, []string{plain.Cell(x.Refrigerant), day(x.First), day(x.Last), strconv.Itoa(x.Jobs), kg(x.StartKg), kg(x.NowKg), kg(x.OutKg), kg(x.StepsKg), kg(x.gapKg())})
		}
	case "skipped":
		rows = append(rows, []string{"file", "why"})
		for _, x := range r.Skipped {
			rows = append(rows, []string{plain.Cell(x.File), plain.Cell(x.Why)})
		}
	default:
		return fmt.Errorf("ledger: no table %q: use one of %s", table, strings.Join(tables, ", "))
	}
	if err := c.WriteAll(rows); err != nil {
		return err
	}
	return nil
}

func day(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(time.DateOnly)
}

func kg(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return strconv.FormatFloat(x, 'f', 3, 64)
}

func pct(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}
