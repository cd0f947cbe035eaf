package replay

import (
	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge"
	"chargehand/charge/journal"
)

// A record is loaded in two steps, so that its entries are on the screen while
// what they amount to is worked out.

// read brings what the file holds.
type read struct {
	path   string
	lines  []journal.Line
	report *journal.Report
	err    error
}

// loaded brings the record.
type loaded struct {
	path   string
	record *Record
}

func (s *Screen) load() tea.Cmd {
	path := s.path
	return func() tea.Msg {
		lines, report, err := journal.Read(path)
		return read{path, lines, report, err}
	}
}

func (s *Screen) read(m read) tea.Cmd {
	if m.path != s.path {
		return nil
	}
	if m.err != nil {
		s.fail = m.err.Error()
		return nil
	}
	s.events = make([]charge.Event, len(m.lines))
	for i := range m.lines {
		s.events[i] = m.lines[i].Event
	}
	units := s.look.Units
	return func() tea.Msg { return loaded{m.path, of(m.path, m.lines, m.report, units)} }
}

// loaded takes the record, unless the units were switched meanwhile: then
// another is on its way. Keys that came early are pressed now.
func (s *Screen) loaded(m loaded) tea.Cmd {
	if m.path != s.path || m.record.Units != s.look.Units {
		return nil
	}
	s.record, s.events = m.record, nil
	s.at = min(s.at, s.last())
	var cmds []tea.Cmd
	for _, k := range s.early {
		cmds = append(cmds, s.key(k))
	}
	s.early = nil
	return tea.Batch(cmds...)
}
