package live

import (
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge"
	"chargehand/ui/form"
	"chargehand/ui/say"
	"chargehand/ui/screen"
)

// binding is one key of the log screen. The hints at the foot, the help and
// what a key does come from the same list.
type binding struct {
	key.Binding
	help string
	do   func(*Screen) tea.Cmd
	on   func(*Screen) bool // nil: always
	rank int                // hints are shown in this order as they fit; 0 only in the help
}

// bind makes a binding of a word and its keys, the first of which is shown.
func bind(word string, keys ...string) key.Binding {
	return key.NewBinding(key.WithKeys(keys...), key.WithHelp(keys[0], word))
}

func open(f func(*Screen) sheet) func(*Screen) tea.Cmd {
	return func(s *Screen) tea.Cmd {
		s.sheet = f(s)
		s.said = ""
		return nil
	}
}

func began(s *Screen) bool { return s.desk.Picture().Began() }
func going(s *Screen) bool { return began(s) && !s.desk.Picture().Closed }

var bindings = []binding{
	{bind("", "enter"), "do what the headline says: weigh, read, look", (*Screen).obvious, going, 0},
	{bind("reading", "r"), "enter a reading", open(func(s *Screen) sheet { return newReading(s) }), going, 1},
	{bind("weigh", "w"), "enter what was weighed in, or recovered", open(func(s *Screen) sheet { return newWeigh(s) }), going, 1},
	{bind("checks", "c"), "filter, coils, fans, leak search: what was found", open(func(s *Screen) sheet { return newChecks(s) }), going, 2},
	{bind("note", "n"), "a remark for the record", open(func(s *Screen) sheet { return newNote(s) }), began, 4},
	{bind("undo", "u"), "take the last entry back", (*Screen).undo, began, 3},
	{bind("amend", "e"), "correct an earlier entry, or take it back", (*Screen).amend, began, 4},
	{bind("setup", "s"), "amend the setup: refrigerant, device, data plate, elevation", open(func(s *Screen) sheet { return newSetup(s) }), began, 5},
	{bind("override", "o"), "set a question or a soft rule aside, with a reason and a name", (*Screen).override, going, 5},
	{bind("finish", "f"), "close the job", open(func(s *Screen) sheet { return newFinish(s) }), going, 5},
	{bind("in full", "i"), "the advice in full: reasons, causes, every rule and its source", func(s *Screen) tea.Cmd { s.full = &full{}; return nil }, began, 3},
	{bind("save again", "!"), "write again what is not on disk", func(s *Screen) tea.Cmd { return s.desk.Retry() }, func(s *Screen) bool { return s.desk.Picture().Unsaved > 0 }, 1},
	{bind("look back", "p"), "replay this job from its first entry", func(s *Screen) tea.Cmd { return screen.Send(screen.Replay{Path: s.Path()}) }, func(s *Screen) bool { return began(s) && s.Path() != "" && !s.desk.Busy() }, 0},
	{bind("units", "m"), "switch between °F, psig, oz and °C, barg, g", func(*Screen) tea.Cmd { return screen.Send(screen.Units{}) }, nil, 0},
	{bind("theme", "t"), "dark, light, high contrast, none", func(*Screen) tea.Cmd { return screen.Send(screen.Restyle{}) }, nil, 0},
	{bind("bell", "b"), "ring when a wait is over, or stay silent", func(s *Screen) tea.Cmd {
		s.look.Bell = !s.look.Bell
		if s.look.Bell {
			s.tell(false, "A bell will ring when the wait is over.")
		} else {
			s.tell(false, "No bell.")
		}
		return nil
	}, nil, 0},
	{bind("leave", "q", "esc"), "leave; the job can be gone on with at any time", func(*Screen) tea.Cmd { return screen.Send(screen.Home{}) }, nil, 3},
}

// keyPress takes one key message.
func (s *Screen) keyPress(k tea.KeyMsg) tea.Cmd {
	if s.full != nil {
		s.fullKey(k)
		return nil
	}
	if s.sheet != nil {
		return s.sheetKey(k)
	}
	if k.Type == tea.KeyRunes && len(k.Runes) > 1 {
		if k.Paste {
			return s.pasted(k)
		}
		// Fast typing comes as one message of several characters: take them one by one.
		var cmds []tea.Cmd
		for i := range k.Runes {
			one := tea.KeyMsg{Type: tea.KeyRunes, Runes: k.Runes[i : i+1]}
			if k.Runes[i] == ' ' {
				one.Type = tea.KeySpace
			}
			cmds = append(cmds, s.keyPress(one))
		}
		return tea.Batch(cmds...)
	}
	name := k.String()
	if s.world != nil {
		if cmd, used := s.world.Key(s, name); used {
			return cmd
		}
	}
	for i := range bindings {
		if b := &bindings[i]; key.Matches(k, b.Binding) && (b.on == nil || b.on(s)) {
			return b.do(s)
		}
	}
	// A digit begins a reading: nobody has to press a key for the commonest entry.
	if k.Type == tea.KeyRunes && len(k.Runes) == 1 && k.Runes[0] >= '0' && k.Runes[0] <= '9' && going(s) {
		s.sheet = newReading(s)
		s.said = ""
		return s.sheetKey(k)
	}
	return nil
}

// pasted takes a row of numbers pasted on the bare screen as a reading.
func (s *Screen) pasted(k tea.KeyMsg) tea.Cmd {
	if !going(s) || len(k.Runes) == 0 || k.Runes[0] < '0' || k.Runes[0] > '9' {
		s.tell(false, "Nothing was pasted: a row of numbers would be taken as a reading.")
		return nil
	}
	s.sheet = newReading(s)
	return s.sheetKey(k)
}

func (s *Screen) sheetKey(k tea.KeyMsg) tea.Cmd {
	if s.ticket != 0 {
		if _, ok := s.sheet.(stays); !ok {
			return nil // the entry is under way
		}
	}
	sh := s.sheet
	events, out := sh.key(s, k)
	if out != form.Back {
		s.leaving = false
	}
	switch out {
	case form.Back:
		if f := s.form(); f != nil && f.Touched() && !s.leaving {
			s.leaving = true
			sh.problem("This is not entered yet: the same key again leaves without it.")
			return nil
		}
		s.sheet, s.leaving = nil, false
		if !began(s) {
			return screen.Send(screen.Home{})
		}
		return nil
	case form.Accept:
		if a := s.action; a != nil {
			s.action = nil
			return s.Act(a)
		}
		if len(events) > 0 {
			return s.enter(events...)
		}
	case form.Typing:
		if r, ok := sh.(*readingSheet); ok {
			return r.preview(s)
		}
	}
	return nil
}

// obvious does what the headline says.
func (s *Screen) obvious() tea.Cmd {
	switch s.obviousWord() {
	case "weigh":
		s.sheet = newWeigh(s)
	case "checks":
		s.sheet = newChecks(s)
	case "finish":
		s.sheet = newFinish(s)
	default:
		s.sheet = newReading(s)
	}
	s.said = ""
	return nil
}

// obviousWord names what Enter does.
func (s *Screen) obviousWord() string {
	a := s.advice()
	switch a.Action {
	case charge.Add, charge.Recover:
		return "weigh"
	case charge.Correct:
		return "checks"
	case charge.Stop:
		return "finish"
	case charge.Measure:
		if items := say.Items(a.Needs); len(items) > 0 && len(items) == len(a.Needs) {
			return "checks"
		}
	}
	return "reading"
}

// Hints are the keys that work now, the most wanted first.
func (s *Screen) hints() [][2]string {
	if s.sheet != nil {
		return s.sheet.keys()
	}
	var out [][2]string
	if s.world != nil {
		return s.world.Keys()
	}
	if going(s) {
		out = append(out, [2]string{"enter", s.obviousWord()})
	}
	for rank := 1; rank <= 5; rank++ {
		for _, b := range bindings {
			if b.rank == rank && (b.on == nil || b.on(s)) && !(going(s) && b.Help().Desc == s.obviousWord()) {
				out = append(out, [2]string{b.Help().Key, b.Help().Desc})
			}
		}
	}
	return out
}

// Help is all the keys.
func (s *Screen) Help() []screen.Section {
	var keys [][2]string
	for _, b := range bindings {
		keys = append(keys, [2]string{b.Help().Key, b.help})
	}
	if s.world != nil {
		return []screen.Section{{Head: "On the simulated roof", Keys: s.world.Keys()}}
	}
	return []screen.Section{
		{Head: "On the log", Keys: keys},
		{Head: "In a row of numbers", Keys: [][2]string{
			{"118 317 58.4 92.1", "suction, liquid, suction line, liquid line, in this order; a comma is a decimal sign too"},
			{"space, tab", "next field; what stands in brackets is kept"},
			{"enter", "enter the row"},
			{"backspace", "rub out; in an empty field, back to the one before"},
			{"118 kPag", "a unit may be typed behind a number where it is another one"},
			{"x, esc", "leave without entering"},
		}},
	}
}
