package ledger

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"time"
)

// Options of a book. The zero Options counts CO2 equivalents by AR4.
type Options struct {
	Report  string   // AR4 or AR5
	Process []string // units that are industrial process refrigeration
}

// Book gathers jobs. It is not safe for concurrent use.
type Book struct {
	opts    Options
	jobs    []Job
	skipped []Skip
}

// Skip is a file that was left out, with the reason.
type Skip struct {
	File string `json:"file"`
	Why  string `json:"why"`
}

// NewBook starts an empty book.
func NewBook(o Options) *Book {
	if o.Report == "" {
		o.Report = AR4
	}
	return &Book{opts: o}
}

// Add enters one job.
func (b *Book) Add(j Job) { b.jobs = append(b.jobs, j) }

// Skip notes a file that could not be read.
func (b *Book) Skip(file, why string) { b.skipped = append(b.skipped, Skip{file, why}) }

// Num is a figure that JSON writes as null when it is not known.
type Num float64

// MarshalJSON writes null for NaN and otherwise a plain number of at most six
// significant digits after the point.
func (n Num) MarshalJSON() ([]byte, error) {
	x := float64(n)
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return []byte("null"), nil
	}
	return json.Marshal(math.Round(x*1e6) / 1e6)
}

// Flow is refrigerant across the scale.
type Flow struct {
	InKg    float64 `json:"in_kg"`
	OutKg   float64 `json:"out_kg"`
	CO2eIn  Num     `json:"in_t_co2e"`
	CO2eOut Num     `json:"out_t_co2e"`
}

// NetKg is in minus out.
func (f Flow) NetKg() float64 { return f.InKg - f.OutKg }

func (f *Flow) add(j Job, report string) {
	f.InKg += j.AddedKg
	f.OutKg += j.RecoveredKg
	if j.AddedKg > 0 {
		f.CO2eIn += Num(co2e(j.Refrigerant, j.AddedKg, report))
	}
	if j.RecoveredKg > 0 {
		f.CO2eOut += Num(co2e(j.Refrigerant, j.RecoveredKg, report))
	}
}

// UnitAccount is one unit over all its jobs.
type UnitAccount struct {
	Unit        string     `json:"unit"`
	Refrigerant string     `json:"refrigerant"` // of the newest job
	Use         Use        `json:"use"`
	Jobs        int        `json:"jobs"`
	First       time.Time  `json:"first"`
	Last        time.Time  `json:"last"`
	FullKg      Num        `json:"full_charge_kg"`
	Flow        Flow       `json:"flow"`
	Additions   []Addition `json:"additions"`
	Findings    int        `json:"findings,omitempty"`
	Serious     int        `json:"serious,omitempty"`
	Threshold   *Threshold `json:"threshold,omitempty"` // nil where no rule is known
	Applies     bool       `json:"threshold_applies"`   // large enough for the rule
	Over        bool       `json:"over_threshold"`      // the newest rate is over it, whether it applies or not
	Chronic     bool       `json:"chronic,omitempty"`   // 125 % of the full charge in one calendar year
	Says        []string   `json:"says"`
}

// again counts the additions of the year that ended with the newest.
func (u UnitAccount) again() int {
	if len(u.Additions) == 0 {
		return 0
	}
	n, last := 0, u.Additions[len(u.Additions)-1].At
	for _, a := range u.Additions {
		if daysBetween(a.At, last) < year {
			n++
		}
	}
	return n
}

// RefrigerantAccount is one refrigerant over all jobs.
type RefrigerantAccount struct {
	Refrigerant string `json:"refrigerant"`
	Jobs        int    `json:"jobs"`
	GWP         Num    `json:"gwp"`
	GWPSource   string `json:"gwp_source,omitempty"`
	Flow        Flow   `json:"flow"`
}

// MonthAccount is one refrigerant in one calendar month.
type MonthAccount struct {
	Month       string `json:"month"` // "2026-06"
	Refrigerant string `json:"refrigerant"`
	Jobs        int    `json:"jobs"`
	Flow        Flow   `json:"flow"`
}

// Report is what a book amounts to.
type Report struct {
	Journals     int                  `json:"journals"`
	GWPReport    string               `json:"gwp_report"`
	Total        Flow                 `json:"total"`
	Units        []UnitAccount        `json:"units"`
	Refrigerants []RefrigerantAccount `json:"refrigerants"`
	Months       []MonthAccount       `json:"months"`
	Cylinders    []CylinderAccount    `json:"cylinders"`
	Jobs         []Job                `json:"jobs"` // in order of time
	Skipped      []Skip               `json:"skipped"`
	Cautions     []string             `json:"cautions"`
}

// guidance is said with every leak rate.
var guidance = []string{
	"Leak rates and thresholds are guidance: the current text of the rule, its exemptions and the owner's chosen method decide.",
	"No rate is due after a retrofit, a new installation or a seasonal adjustment; a journal does not tell these apart from a leak.",
	"The full charge is the data plate with its line set; a charge that was never verified by weight makes every rate as uncertain.",
}

// Report works the accounts out. Units come with those over their threshold
// first, then by what went in.
func (b *Book) Report() Report {
	jobs := slices.Clone(b.jobs)
	sort.SliceStable(jobs, func(i, k int) bool {
		if c := jobs[i].End.Compare(jobs[k].End); c != 0 {
			return c < 0
		}
		return jobs[i].File < jobs[k].File
	})
	r := Report{Journals: len(jobs), GWPReport: b.opts.Report, Skipped: slices.Clone(b.skipped), Cautions: guidance,
		Cylinders: cylinders(jobs), Jobs: jobs}
	sort.Slice(r.Skipped, func(i, k int) bool { return r.Skipped[i].File < r.Skipped[k].File })

	byUnit := map[string][]Job{}
	byRef := map[string]*RefrigerantAccount{}
	byMonth := map[[2]string]*MonthAccount{}
	for _, j := range jobs {
		r.Total.add(j, b.opts.Report)
		byUnit[j.Unit] = append(byUnit[j.Unit], j)
		ref := byRef[j.Refrigerant]
		if ref == nil {
			ref = &RefrigerantAccount{Refrigerant: j.Refrigerant, GWP: Num(math.NaN())}
			if x, source, ok := gwp(j.Refrigerant, b.opts.Report); ok {
				ref.GWP, ref.GWPSource = Num(x), source
			}
			byRef[j.Refrigerant] = ref
		}
		ref.Jobs++
		ref.Flow.add(j, b.opts.Report)
		k := [2]string{j.End.Format("2006-01"), j.Refrigerant}
		m := byMonth[k]
		if m == nil {
			m = &MonthAccount{Month: k[0], Refrigerant: k[1]}
			byMonth[k] = m
		}
		m.Jobs++
		m.Flow.add(j, b.opts.Report)
	}
	for unit, js := range byUnit {
		r.Units = append(r.Units, b.account(unit, js))
	}
	sort.Slice(r.Units, func(i, k int) bool {
		a, c := r.Units[i], r.Units[k]
		if x, y := a.Over && a.Applies, c.Over && c.Applies; x != y {
			return x
		}
		if a.Flow.InKg != c.Flow.InKg {
			return a.Flow.InKg > c.Flow.InKg
		}
		return a.Unit < c.Unit
	})
	for _, x := range byRef {
		r.Refrigerants = append(r.Refrigerants, *x)
	}
	sort.Slice(r.Refrigerants, func(i, k int) bool { return r.Refrigerants[i].Refrigerant < r.Refrigerants[k].Refrigerant })
	for _, x := range byMonth {
		r.Months = append(r.Months, *x)
	}
	sort.Slice(r.Months, func(i, k int) bool {
		if c := strings.Compare(r.Months[i].Month, r.Months[k].Month); c != 0 {
			return c < 0
		}
		return r.Months[i].Refrigerant < r.Months[k].Refrigerant
	})
	return r
}

// account is one unit; its jobs come in order of time.
func (b *Book) account(unit string, js []Job) UnitAccount {
	last := js[len(js)-1]
	u := UnitAccount{Unit: unit, Refrigerant: last.Refrigerant, Jobs: len(js), First: js[0].Start, Last: last.End,
		FullKg: Num(math.NaN()), Use: useOf(last.Application)}
	if slices.Contains(b.opts.Process, unit) {
		u.Use = IndustrialProcess
	}
	refs := map[string]bool{}
	for _, j := range js {
		u.Flow.add(j, b.opts.Report)
		u.Findings += j.Findings
		u.Serious += j.SeriousFinds
		if !math.IsNaN(float64(j.FullKg)) {
			u.FullKg = j.FullKg
		}
		refs[j.Refrigerant] = true
	}
	if u.Serious > 0 {
		u.Says = append(u.Says, fmt.Sprintf("serious findings in its journals: %d", u.Serious))
	}
	if unit == "" {
		u.Says = append(u.Says, "journals without a unit label cannot be told apart: no leak rate")
		return u
	}
	full := float64(u.FullKg)
	u.Additions = additions(js, full)
	if len(refs) > 1 {
		u.Says = append(u.Says, "journals name more than one refrigerant: the unit was converted, or a label was used twice")
	}
	if n := u.again(); n > 1 {
		u.Says = append(u.Says, fmt.Sprintf("topped up %d times within a year", n))
	}
	if len(u.Additions) == 0 {
		return u
	}
	if math.IsNaN(full) {
		u.Says = append(u.Says, "no data plate charge on record: no leak rate")
		return u
	}
	t, ok := thresholdOf(last.Refrigerant, u.Use)
	if !ok {
		return u
	}
	newest := u.Additions[len(u.Additions)-1]
	u.Threshold, u.Applies = &t, t.applies(full)
	u.Over = float64(newest.Annualizing) > t.Percent || float64(newest.Rolling) > t.Percent
	if u.Over && u.Applies { // a small unit's rate stands in the table and needs no alarm
		u.Says = append(u.Says, fmt.Sprintf("leak rate over %.0f %% a year: %s", t.Percent, t.Section))
		if t.Except != "" {
			u.Says = append(u.Says, t.Except)
		}
	}
	byYear := map[int]float64{}
	for _, a := range u.Additions {
		byYear[a.At.Year()] += a.Kg
		if byYear[a.At.Year()] >= chronicPercent/100.0*full {
			u.Chronic = true
		}
	}
	if u.Chronic && u.Applies {
		part, _, _ := strings.Cut(t.Section, "(")
		u.Says = append(u.Says, fmt.Sprintf("%d %% of its full charge or more in one calendar year: such an appliance is reported (%s)", chronicPercent, part))
	}
	return u
}
