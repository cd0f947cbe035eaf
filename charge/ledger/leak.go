package ledger

import (
	"math"
	"time"
)

// annualizing is the leak rate in percent a year by the annualizing method of
// 40 CFR 82.152: the addition over the full charge, scaled from the days since
// the last addition, at most 365. Days under one count as one.
func annualizing(addedKg, fullKg, days float64) float64 {
	return 100 * addedKg / fullKg * 365 / math.Min(math.Max(days, 1), 365)
}

// rolling is the leak rate in percent a year by the rolling average method of
// 40 CFR 82.152: all that was added in the last 365 days over the full charge.
func rolling(addedKg, fullKg float64) float64 { return 100 * addedKg / fullKg }

// Addition is one day on which a unit was topped up.
type Addition struct {
	At          time.Time `json:"at"`
	Kg          float64   `json:"added_kg"`
	Days        int       `json:"days_since_last"` // 365 at most; 365 for the first on record
	First       bool      `json:"first_on_record,omitempty"`
	Annualizing Num       `json:"annualizing_percent"` // percent a year, NaN without a full charge
	Rolling     Num       `json:"rolling_percent"`
}

const year = 365

// additions turns the jobs of one unit, in order of time, into its additions
// with their rates.
func additions(jobs []Job, fullKg float64) []Addition {
	var out []Addition
	for i := 0; i < len(jobs); {
		day, kg := jobs[i].End, 0.0
		for ; i < len(jobs) && sameDay(jobs[i].End, day); i++ {
			kg += jobs[i].NetKg()
		}
		if kg > leastKg {
			out = append(out, Addition{At: day, Kg: kg})
		}
	}
	for i := range out {
		a := &out[i]
		a.Days, a.First = year, i == 0
		if i > 0 {
			a.Days = min(daysBetween(out[i-1].At, a.At), year)
		}
		sum := 0.0
		for k := i; k >= 0 && daysBetween(out[k].At, a.At) < year; k-- {
			sum += out[k].Kg
		}
		a.Annualizing = Num(annualizing(a.Kg, fullKg, float64(a.Days)))
		a.Rolling = Num(rolling(sum, fullKg))
	}
	return out
}

// leastKg is what a hose and a scale can feign; less is no addition.
const leastKg = 0.005

func sameDay(a, b time.Time) bool {
	return a.Year() == b.Year() && a.YearDay() == b.YearDay()
}

// daysBetween counts calendar days.
func daysBetween(a, b time.Time) int {
	day := func(t time.Time) time.Time {
		return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
	}
	return int(math.Round(day(b).Sub(day(a)).Hours() / 24))
}
