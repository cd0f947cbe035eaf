package audit

import (
	"fmt"
	"sort"
	"time"

	"chargehand/charge"
	q "chargehand/charge/quantity"
)

// Severity says how much a finding should weigh with a supervisor.
type Severity int

const (
	Note    Severity = iota // worth knowing, nothing to do
	Look                    // ask the technician
	Serious                 // the record or the work is not sound as it stands
)

func (s Severity) String() string {
	switch s {
	case Serious:
		return "serious"
	case Look:
		return "look"
	default:
		return "note"
	}
}

// MarshalText writes the severity as its word.
func (s Severity) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Finding is one thing a rule saw.
type Finding struct {
	Rule     string    `json:"rule"`
	Title    string    `json:"title"`
	Severity Severity  `json:"severity"`
	N        int       `json:"n,omitempty"` // the event it is about, 0 for the whole journal
	At       time.Time `json:"at,omitzero"`
	Says     string    `json:"says"`
	Source   string    `json:"source"`
}

// Record is one finished journal as the audit sees it.
type Record struct {
	Events  []charge.Event  // in the order of the file, those taken back included
	Told    []charge.Advice // the answer to each event, or nil: then the rules that need it stay silent
	Refused []Refused       // events the fold would not take
	Chain   Chain
	Units   q.System // of the sentences
}

// Refused is an event of a journal that the fold would not take.
type Refused struct {
	Index int
	Why   string
}

// Chain is what reading the file said about its chain of hashes.
type Chain struct {
	Breaks []Break
	Torn   string // what was wrong with an unfinished last line, "" when whole
}

// Break is one place where the chain does not hold.
type Break struct {
	Line int // in the file, from 1
	Says string
}

// rule is one small question put to a journal.
type rule struct {
	Name     string
	Title    string
	Severity Severity
	Source   string
	Told     bool // needs what the technician was told, so the whole fold
	find     func(v *view, say say)
}

// say reports a finding about event i (an index; negative for the journal).
type say func(i int, format string, args ...any)

// Find puts every rule to the record. Findings come in the order of the events
// they are about, those about the whole journal first.
func Find(r Record) []Finding {
	v := newView(r)
	var out []Finding
	for i := range rules {
		rl := &rules[i]
		if rl.Told && len(r.Told) != len(r.Events) {
			continue
		}
		rl.find(v, func(i int, format string, args ...any) {
			f := Finding{Rule: rl.Name, Title: rl.Title, Severity: rl.Severity, Source: rl.Source,
				Says: fmt.Sprintf(format, args...)}
			if i >= 0 {
				f.N, f.At = v.number(i), r.Events[i].At
			}
			out = append(out, f)
		})
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].N < out[b].N })
	return out
}

// Worst is the highest severity among the findings; ok is false without any.
func Worst(fs []Finding) (worst Severity, ok bool) {
	for _, f := range fs {
		worst = max(worst, f.Severity)
	}
	return worst, len(fs) > 0
}

// Count says how many findings have the severity.
func Count(fs []Finding, s Severity) int {
	n := 0
	for _, f := range fs {
		if f.Severity == s {
			n++
		}
	}
	return n
}
