package trial

import (
	"math"
	"slices"

	"chargehand/charge"
)

// Share is a count out of how many. A Share of none has no value.
type Share struct {
	Count int `json:"count"`
	Of    int `json:"of"`
}

// Value is the share, NaN out of none.
func (s Share) Value() float64 {
	if s.Of == 0 {
		return math.NaN()
	}
	return float64(s.Count) / float64(s.Of)
}

func (s *Share) add(hit bool) {
	s.Of++
	if hit {
		s.Count++
	}
}

// Metrics is how the jobs of one policy ended.
type Metrics struct {
	Landed          Share            `json:"landed"`            // said stop in the target band
	InBand          Share            `json:"in_band"`           // in the band at the end, however it ended
	VerdictRight    Share            `json:"verdict_right"`     // of those given at the end
	VerdictEver     Share            `json:"verdict_ever"`      // a wrong verdict at some time
	VerdictGiven    Share            `json:"verdict_given"`     // of jobs with three increments or more
	VerdictAt       float64          `json:"verdict_at_median"` // increments when the final, right verdict first stood
	Overshot        Share            `json:"overshot"`          // past the band after an addition
	Unsafe          Share            `json:"unsafe"`            // jobs with an addition that floods
	Refused         Share            `json:"refused"`           // chargeable, given up
	Unfinished      Share            `json:"unfinished"`        // ran into a limit
	Increments      float64          `json:"increments_median"`
	Increments95    float64          `json:"increments_p95"`
	Minutes         float64          `json:"minutes_median"`
	Caught          Share            `json:"caught"` // not to be charged, and nothing went in
	CaughtBy        map[string]Share `json:"caught_by_fault"`
	Superheat       Share            `json:"band_superheat"`  // settled readings inside the forecast's 5 to 95 %
	Subcooling      Share            `json:"band_subcooling"` //
	SuperheatMoved  Share            `json:"band_superheat_after_weighing"`
	SubcoolingMoved Share            `json:"band_subcooling_after_weighing"`
	Reliability     []Bin            `json:"reliability"`
	Failures        []Failure        `json:"failures"`
}

// Bin is one step of the reliability of the device probability: how often the likelier device was right when its
// probability lay in [From, To).
type Bin struct {
	From  float64 `json:"from"`
	To    float64 `json:"to"`
	Mean  float64 `json:"mean_probability"`
	Right Share   `json:"right"`
}

// Failure names a job that did not end as it should.
type Failure struct {
	System     string  `json:"system"`
	Device     string  `json:"device"`
	Fault      string  `json:"fault,omitempty"`
	End        string  `json:"end"`
	Increments int     `json:"increments"`
	OffK       float64 `json:"off_K"` // true settled superheat (orifice) or subcooling (valve) less the middle of its band
	Overshot   bool    `json:"overshot,omitempty"`
	Misnamed   bool    `json:"misnamed,omitempty"` // the other device was named at some time
	Rule       string  `json:"rule,omitempty"`     // the rule or gate that ended it; empty when the belief did
}

func (r *result) failure(name, device, end string) Failure {
	return Failure{System: name, Device: device, Fault: r.fault, End: end, Increments: r.increments,
		OffK: r.off, Overshot: r.overshot, Misnamed: r.everWrong, Rule: r.rule}
}

var binEdges = []float64{0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.99, 1.0000001}

// measure sums results up.
func measure(names []string, rs []result) Metrics {
	m := Metrics{CaughtBy: map[string]Share{}}
	for i := 1; i < len(binEdges); i++ {
		m.Reliability = append(m.Reliability, Bin{From: binEdges[i-1], To: min(binEdges[i], 1)})
	}
	var at, inc, mins []float64
	for i, r := range rs {
		dev := charge.FixedOrifice
		if r.valve {
			dev = charge.ExpansionValve
		}
		end := string(r.end)
		if end == "" {
			end = "limit"
		}
		if r.fault != "" {
			m.Caught.add(r.caught)
			s := m.CaughtBy[r.fault]
			s.add(r.caught)
			m.CaughtBy[r.fault] = s
			if !r.caught {
				m.Failures = append(m.Failures, r.failure(names[i], string(dev), end))
			}
			continue
		}
		m.Landed.add(r.landed)
		m.InBand.add(r.inBand)
		m.VerdictEver.add(r.everWrong)
		m.Overshot.add(r.overshot)
		m.Unsafe.add(r.unsafe > 0)
		m.Refused.add(r.end == charge.Correct)
		m.Unfinished.add(r.end == "")
		given := r.verdict != charge.DeviceUnknown
		if given {
			m.VerdictRight.add(r.verdict == dev)
			if r.verdict == dev {
				at = append(at, float64(r.verdictAt))
			}
		}
		if r.increments >= 3 {
			m.VerdictGiven.add(given)
		}
		inc = append(inc, float64(r.increments))
		mins = append(mins, r.minutes)
		for _, b := range r.bands {
			m.Superheat.add(b.superheat)
			m.Subcooling.add(b.subcooling)
			if b.moved {
				m.SuperheatMoved.add(b.superheat)
				m.SubcoolingMoved.add(b.subcooling)
			}
		}
		for _, b := range r.beliefs {
			for k := range m.Reliability {
				if b.p >= binEdges[k] && b.p < binEdges[k+1] {
					m.Reliability[k].Right.add(b.right)
					m.Reliability[k].Mean += b.p
				}
			}
		}
		if !r.landed || r.overshot || r.everWrong {
			m.Failures = append(m.Failures, r.failure(names[i], string(dev), end))
		}
	}
	for k := range m.Reliability {
		if n := m.Reliability[k].Right.Of; n > 0 {
			m.Reliability[k].Mean /= float64(n)
		}
	}
	m.VerdictAt, m.Increments, m.Increments95, m.Minutes = quantile(at, 0.5), quantile(inc, 0.5), quantile(inc, 0.95), quantile(mins, 0.5)
	return m
}

// quantile interpolates between order statistics; zero of none.
func quantile(v []float64, p float64) float64 {
	if len(v) == 0 {
		return 0
	}
	v = slices.Clone(v)
	slices.Sort(v)
	x := p * float64(len(v)-1)
	i := int(x)
	return v[i] + (x-float64(i))*(v[min(i+1, len(v)-1)]-v[i])
}
