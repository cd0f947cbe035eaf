package scenario

import (
	"fmt"
	"math"
	"time"

	"chargehand/charge"
	q "chargehand/charge/quantity"
	"chargehand/charge/rig"
)

// Grade is what a trainer would say of the run. The rule:
//
//	not sound            the job ended wrong (outside the band, the wrong cause, charged
//	                     what should have been left or the other way round), something
//	                     that had to be put right was not, or a grave misstep was made:
//	                     refrigerant weighed into a fault or against a running leak,
//	                     superheat really under 2 °F, or a serious finding of the audit
//	sound, with remarks  it ended right without a grave misstep, but with a lesser one,
//	                     or in more than twice the increments of the shortest sound path
//	                     (and two more than it at least), or in more than twice its time
//	                     (and half an hour more at least)
//	sound                neither
type Grade string

const (
	Sound        Grade = "sound"
	SoundRemarks Grade = "sound, with remarks"
	NotSound     Grade = "not sound"
)

// Figures of the grade.
const (
	floodingK    = 2.0 * 5 / 9  // superheat under this is liquid to the compressor
	landedSlackK = 1.0 * 5 / 9  // instruments may be out by this much
	superBandK   = 5.0 * 5 / 9  // California appendix RA3.2, installer
	subBandK     = 3.0 * 5 / 9  // the same
	subDefaultK  = 10.0 * 5 / 9 // common practice where the plate is silent
	faultCounts  = 0.15         // a fault this severe is one
	settleTakes  = 12 * time.Minute
	firstRunning = 15 * time.Minute
	scaleSlackKg = 0.005 // what a scale can feign
	stepOfPlate  = 0.10  // never more in one step, common practice
)

// Wrong is a misstep of the run.
type Wrong struct {
	N     int       `json:"n,omitempty"` // the event, 0 for the whole run
	At    time.Time `json:"at,omitzero"`
	What  string    `json:"what"`
	Sign  string    `json:"sign"` // when it could have been seen, and by what
	Grave bool      `json:"grave"`
}

// Path is a way through the lesson.
type Path struct {
	Minutes    float64 `json:"minutes"`
	Increments int     `json:"increments"`
	NetKg      float64 `json:"net_kg"`
	Says       string  `json:"says"`
}

// CurvePoint is the settled answer of the hidden system at a charge, in the
// weather of the end and with the faults that were left.
type CurvePoint struct {
	NetKg       float64 `json:"net_kg"` // what would have been weighed in
	SuperheatK  float64 `json:"superheat_K"`
	SubcoolingK float64 `json:"subcooling_K"`
}

// Debrief is what was hidden, what was done, and what would have been shorter.
type Debrief struct {
	Lesson   string       `json:"lesson"`
	Title    string       `json:"title"`
	Teaches  string       `json:"teaches"`
	Seed     uint64       `json:"seed"`
	Grade    Grade        `json:"grade"`
	Why      []string     `json:"why"`
	Hidden   []string     `json:"hidden"`
	Ended    string       `json:"ended"`
	Landed   bool         `json:"landed"`
	Taken    Path         `json:"taken"`
	Shortest Path         `json:"shortest"`
	Missteps []Wrong      `json:"missteps"`
	Curve    []CurvePoint `json:"curve"`
	Units    q.System     `json:"-"`
}

// Debrief judges a run that is done.
func (r *Run) Debrief() (Debrief, error) {
	if !r.Done() {
		return Debrief{}, fmt.Errorf("the run is not over: finish it first")
	}
	d := Debrief{Lesson: r.lesson.Name, Title: r.lesson.Title, Teaches: r.lesson.Teaches, Seed: r.opt.Seed, Units: r.opt.Units, Hidden: r.hiddenWords()}
	final, err := r.sys.Steady(r.plant.ChargeKg(), r.weather(), r.faults)
	if err != nil {
		return d, err
	}
	d.Taken = r.taken()
	if d.Shortest, err = r.shortest(); err != nil {
		return d, err
	}
	d.Curve = r.curve()
	j := judge{r: r, d: &d, final: final}
	j.ending()
	j.wrongs()
	j.grade()
	return d, nil
}

func (r *Run) taken() Path {
	p := Path{Minutes: r.now.Sub(r.lesson.Start).Minutes()}
	for i, e := range r.events {
		w, ok := e.Body.(*charge.Weighing)
		if !ok || r.voided(i) {
			continue
		}
		p.Increments++
		p.NetKg += w.Amount.Kilograms()
	}
	p.Says = fmt.Sprintf("%s, %s net", times(p.Increments, "increment"), r.net(p.NetKg))
	return p
}

func (r *Run) voided(i int) bool { return r.session.Steps()[i].Voided }

func times(n int, what string) string {
	switch n {
	case 0:
		return "no " + what
	case 1:
		return "one " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func (r *Run) net(kg float64) string {
	if math.Abs(kg) < 0.0005 {
		return "nothing"
	}
	if kg < 0 {
		return r.mass(-kg) + " out"
	}
	return r.mass(kg) + " in"
}

// band is where a charge has to land, NaN where there is no target.
func (r *Run) band(of charge.TargetOf, c rig.Conditions) (low, high float64) {
	g := r.lesson.Goal
	switch {
	case !math.IsNaN(g.LowK) && of == g.Of:
		return g.LowK, g.HighK
	case of == charge.OfSubcooling:
		mid := r.session.Setup().TargetSubcooling.Kelvins()
		if math.IsNaN(mid) {
			mid = subDefaultK
		}
		return mid - subBandK, mid + subBandK
	default:
		if mid := r.session.Setup().TargetSuperheat.Kelvins(); !math.IsNaN(mid) {
			return mid - superBandK, mid + superBandK
		}
		t := charge.TargetSuperheat(c.OutdoorK, c.ReturnWetK)
		if !t.Defined {
			return math.NaN(), math.NaN()
		}
		return t.Low, t.High
	}
}
