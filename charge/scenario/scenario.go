package scenario

import (
	"time"

	"chargehand/charge"
	q "chargehand/charge/quantity"
	"chargehand/charge/rig"
)

// Format is what a scenario file names in its first field.
const Format = "chargehand-scenario/1"

// Scenario is one lesson: what the apprentice is told, what is hidden, what
// can be looked at, when it is done and what it teaches.
type Scenario struct {
	Name    string // "restriction", as a file is named
	Title   string
	Teaches string
	Story   []string // paragraphs
	Start   time.Time
	Plate   bool         // the data plate can be read: its charge is that of the sized system
	Setup   charge.Setup // what is known on arrival
	Hidden  Hidden
	Weather []Weather // in order of time; between two points it moves evenly
	Trouble []Trouble // instruments that lie
	Items   []Item    // what may be inspected, in the order offered
	Goal    Goal
	Misstep Misstep
}

// Hidden is the system as it is.
type Hidden struct {
	Spec          rig.Spec
	ChargePercent float64 // of the data plate charge the rig finds for itself
	Faults        rig.Faults
	LeakKgPerHour float64
}

// Weather is a point of the day.
type Weather struct {
	Minute                           float64 // since the start
	OutdoorK, ReturnDryK, ReturnWetK float64
}

// Trouble is an instrument that does not show what it should.
type Trouble struct {
	Reading string  // name of the field of a reading: "suction_line"
	Offset  float64 // K or Pa, added
	On      string  // the pipe or air the sensor is on instead: "liquid-line", "discharge-line", "outdoor-air"
	Share   float64 // how much of it is felt, 1 is all
}

// Item is something to look at on the roof or indoors.
type Item struct {
	Name    string            // one of charge.Items, or a word of the scenario's own: "data-plate"
	Says    string            // what is seen
	State   charge.CheckState // for charge.Items: ok or faulty
	Minutes float64
	Shows   *charge.Setup // what the look makes known: the device, the plate
	Fix     *Fix          // nil when it cannot be put right today
}

// Known reports whether the item is one of the check list.
func (i *Item) Known() bool {
	for _, k := range charge.Items() {
		if string(k) == i.Name {
			return true
		}
	}
	return false
}

// Fix is what putting an item right does.
type Fix struct {
	Says    string
	Minutes float64
	Faults  map[string]float64 // new severities
	Mends   []string           // readings whose trouble ends
	Stops   bool               // the leak
}

// GoalKind is what counts as done.
type GoalKind string

const (
	ChargeIt GoalKind = "charge" // land in the band
	LeaveIt  GoalKind = "leave"  // do not charge, and say why
)

// Goal is what counts as done.
type Goal struct {
	Kind    GoalKind
	Of      charge.TargetOf // of a charge: superheat or subcooling
	LowK    float64         // a band of its own; NaN: the tool's target for the true device
	HighK   float64
	MustFix []string // items that must be put right
	Causes  []string // of a leave: any of these names is right
	Says    string   // one sentence for the debrief
}

// Misstep is the mistake a lesson teaches to avoid, with moves that make it.
type Misstep struct {
	What string // "charged a restriction"
	Sign string // what could have been seen, and when
	Play []Move
}

// Move is one action.
type Move struct {
	Do      string // read, weigh, wait, inspect, fix, finish
	Amount  q.Mass
	Minutes float64
	Item    string
	Verdict GoalKind // of finish: charge (it is done) or leave
	Cause   string
}
