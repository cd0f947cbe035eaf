package charge

import (
	"fmt"
	"slices"
	"strings"
)

// Withdrawn names fields of a setup that were given before and no longer hold,
// with spaces between: "target_subcooling capacity". The refrigerant cannot be
// withdrawn, only replaced.
type Withdrawn string

func (w Withdrawn) IsZero() bool                 { return w == "" }
func (w Withdrawn) MarshalText() ([]byte, error) { return []byte(w), nil }

func (w *Withdrawn) UnmarshalText(b []byte) error {
	if len(b) > maxText {
		return fmt.Errorf("longer than %d characters: shorten it", maxText)
	}
	known := withdrawable()
	names := strings.Fields(string(b))
	for _, name := range names {
		if !slices.Contains(known, name) {
			return fmt.Errorf("use fields of a setup with spaces between: %s", strings.Join(known, ", "))
		}
	}
	*w = Withdrawn(strings.Join(names, " "))
	return nil
}

// Names reports whether a field is among those withdrawn.
func (w Withdrawn) Names(name string) bool {
	return slices.Contains(strings.Fields(string(w)), name)
}

// withdrawable lists the fields that may be named.
func withdrawable() []string {
	var names []string
	for _, f := range new(Setup).fields() {
		if f.name != "refrigerant" && f.name != "withdrawn" {
			names = append(names, f.name)
		}
	}
	return names
}

// Amended is s without the fields that by withdraws and with those it gives laid
// over it: what a later Setup does to an earlier one. A journal can be summed up
// with it where the whole fold would cost too much.
func (s Setup) Amended(by *Setup) Setup {
	s.amend(by)
	return s
}

// amend takes from s the fields that by withdraws and lays over it those it gives.
func (s *Setup) amend(by *Setup) {
	var out Setup
	mine, theirs, to := s.fields(), by.fields(), out.fields()
	for i, f := range theirs {
		switch {
		case f.name == "withdrawn": // done with, once amended
			continue
		case f.at.IsZero() && by.Withdrawn.Names(f.name):
			continue
		case f.at.IsZero():
			f = mine[i]
		}
		if f.at.IsZero() {
			continue
		}
		text, err := f.at.MarshalText()
		if err == nil {
			err = to[i].at.UnmarshalText(text)
		}
		if err != nil {
			panic("charge: a setup field does not survive its own text: " + f.name)
		}
	}
	*s = out
}
