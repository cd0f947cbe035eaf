package ledger

import (
	"math"
	"time"
)

// CylinderAccount is one cylinder as far as weights show it: a job that starts
// at the weight an earlier one ended at, with the same refrigerant, used the
// same cylinder. Cylinders carry no number in a journal, so two of the same
// weight can be taken for one.
type CylinderAccount struct {
	Refrigerant string    `json:"refrigerant"`
	First       time.Time `json:"first"`
	Last        time.Time `json:"last"`
	Jobs        int       `json:"jobs"`
	StartKg     float64   `json:"start_kg"` // scale, gross, before the first job
	NowKg       float64   `json:"now_kg"`   // after the last
	OutKg       float64   `json:"out_kg"`   // what the scale lost
	StepsKg     float64   `json:"steps_kg"` // what the journals say went in
}

// gapKg is what left the cylinder and reached no system on record.
func (c CylinderAccount) gapKg() float64 { return c.OutKg - c.StepsKg }

// sameCylinderKg is how near two scale readings must be: an ounce and a half.
const sameCylinderKg = 0.045

// cylinders follows the weights through the jobs, which come in order of time.
func cylinders(jobs []Job) []CylinderAccount {
	var out []CylinderAccount
	open := map[string][]int{} // by refrigerant, indices into out
	for _, j := range jobs {
		start, end := float64(j.CylinderStartKg), float64(j.CylinderEndKg)
		if math.IsNaN(start) || math.IsNaN(end) {
			continue
		}
		ref := j.Refrigerant
		if j.CylinderRefrigerant != "" {
			ref = Name(j.CylinderRefrigerant)
		}
		best, nearest := -1, sameCylinderKg
		for _, k := range open[ref] {
			if d := math.Abs(out[k].NowKg - start); d <= nearest {
				best, nearest = k, d
			}
		}
		if best < 0 {
			out = append(out, CylinderAccount{Refrigerant: ref, First: j.Start, StartKg: start})
			best = len(out) - 1
			open[ref] = append(open[ref], best)
		}
		c := &out[best]
		c.Jobs++
		c.Last, c.NowKg = j.End, end
		c.OutKg += start - end
		c.StepsKg += j.AddedKg
	}
	return out
}
