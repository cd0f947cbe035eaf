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
