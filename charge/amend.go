package charge

// Amended is s with the fields that are given in by laid over it: what a later
// Setup does to an earlier one. A journal can be summed up with it where the
// whole fold would cost too much.
func (s Setup) Amended(by *Setup) Setup {
	if s == (Setup{}) {
		return *by
	}
	s.amend(by)
	return s
}

// amend replaces the fields of s that are given in by.
func (s *Setup) amend(by *Setup) {
	mine, theirs := s.fields(), by.fields()
	for i, f := range theirs {
		if f.at.IsZero() {
			continue
		}
		text, err := f.at.MarshalText()
		if err == nil {
			err = mine[i].at.UnmarshalText(text)
		}
		if err != nil {
			panic("charge: a setup field does not survive its own text: " + f.name)
		}
	}
}
