package replay

import (
	"fmt"
	"path/filepath"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge"
	q "chargehand/charge/quantity"
	"chargehand/ui/fork"
	"chargehand/ui/live"
	"chargehand/ui/part"
	"chargehand/ui/say"
	"chargehand/ui/screen"
)

// Screen is the replay screen.
type Screen struct {
	look   *screen.Look
	path   string
	w, h   int
	record *Record
	fail   string
	events []charge.Event // while the record is worked out
	early  []string       // keys that came meanwhile
	at     int            // the step shown; len(Steps) is the break of the chain
	said   string
}

// New is the replay screen of the journal at path.
func New(look *screen.Look, path string) *Screen { return &Screen{look: look, path: path} }

// Init reads the journal.
func (s *Screen) Init() tea.Cmd { return s.load() }

// SetSize gives the screen its box.
func (s *Screen) SetSize(w, h int) { s.w, s.h = w, h }

// Typing is false: letters are keys here.
func (s *Screen) Typing() bool { return false }

// Say shows a sentence at the foot.
func (s *Screen) Say(text string) { s.said = text }

// last is the highest place one may step to.
func (s *Screen) last() int {
	n := len(s.record.Steps) - 1
	if s.record.Broken != "" {
		n++
	}
	return max(n, 0)
}

// Update takes a message.
func (s *Screen) Update(msg tea.Msg) tea.Cmd {
	switch m := msg.(type) {
	case read:
		return s.read(m)
	case loaded:
		return s.loaded(m)
	case screen.LookChanged:
		return s.load()
	case tea.KeyMsg:
		return s.keyPress(m)
	}
	return nil
}

func (s *Screen) keyPress(m tea.KeyMsg) tea.Cmd {
	if m.Paste {
		return nil
	}
	if m.Type == tea.KeyRunes && len(m.Runes) > 1 {
		var cmds []tea.Cmd
		for i := range m.Runes {
			cmds = append(cmds, s.key(string(m.Runes[i])))
		}
		return tea.Batch(cmds...)
	}
	return s.key(m.String())
}

func (s *Screen) key(k string) tea.Cmd {
	switch k {
	case "q", "x", "esc":
		return screen.Send(screen.Home{})
	case "m":
		return screen.Send(screen.Units{})
	case "t":
		return screen.Send(screen.Restyle{})
	}
	if s.record == nil {
		if s.fail == "" && len(s.early) < screen.KeptKeys {
			s.early = append(s.early, k)
		}
		return nil
	}
	s.said = ""
	switch k {
	case "right", "down", "l", "j", " ", "enter", "tab":
		s.at = min(s.at+1, s.last())
	case "left", "up", "h", "k", "backspace", "shift+tab":
		s.at = max(s.at-1, 0)
	case "pgdown", "d":
		s.at = min(s.at+5, s.last())
	case "pgup", "u":
		s.at = max(s.at-5, 0)
	case "home", "g":
		s.at = 0
	case "end", "G":
		s.at = s.last()
	case "f":
		s.jump(1)
	case "b":
		s.jump(-1)
	}
	return nil
}

// jump goes to the next step worth a look, round the end.
func (s *Screen) jump(by int) {
	n := s.last() + 1
	for i := 1; i <= n; i++ {
		k := ((s.at+by*i)%n + n) % n
		if k >= len(s.record.Steps) || s.record.flagged(k) {
			s.at = k
			return
		}
	}
	s.said = "No step is marked."
}

// View draws the screen.
func (s *Screen) View() string {
	if s.w <= 0 || s.h <= 0 {
		return ""
	}
	var body []string
	switch {
	case s.fail != "":
		body = part.Wrap("The record cannot be read: "+s.fail, s.w)
	case s.record == nil && len(s.events) > 0:
		return live.Opening(s.look, s.events, s.w, s.h)
	case s.record == nil:
		body = []string{"reading the record …"}
	case len(s.record.Steps) == 0:
		body = part.Wrap("There is nothing to replay. "+s.record.Broken+s.record.Torn, s.w)
	default:
		body = s.body()
	}
	if len(body) > s.h-1 {
		body = body[:s.h-1]
	}
	for len(body) < s.h-1 {
		body = append(body, "")
	}
	keys := [][2]string{{"l", "next"}, {"h", "back"}, {"f", "next marked"}, {"b", "marked before"}, {"g G", "first, last"}, {"q", "leave"}}
	if s.w < 60 {
		keys = [][2]string{{"l", "next"}, {"h", "back"}, {"f", "marked"}, {"q", "leave"}}
	}
	body = append(body, live.Hints(s.look, keys, s.w))
	return strings.Join(body, "\n")
}

func (s *Screen) body() []string {
	r, w, h := s.record, s.w, s.h-1
	th := s.look.Theme
	place := fmt.Sprintf("step %d of %d", min(s.at+1, len(r.Steps)), len(r.Steps))
	head := part.Ends(r.Title(), "replay · "+place, w)
	if r.Broken != "" {
		head = part.Ends(r.Title(), "replay · "+place+" · CHAIN BROKEN", w)
	}
	var said []string
	if s.said != "" {
		said = part.Wrap(s.said, w)
	}
	rail := s.rail(w)
	if s.at >= len(r.Steps) {
		text := []string{live.Headline(s.look, "THE CHAIN BREAKS HERE", w), ""}
		text = append(text, part.Wrap("At "+r.Broken+". What comes after is not shown.", w)...)
		return part.Stack(w, h, part.Block{Lines: []string{head}, Rank: 1, Least: 1},
			part.Block{Lines: text, Rank: 0, Least: 3, Gap: true}, part.Block{Lines: rail, Rank: 3, Least: 3, Gap: true})
	}
	st := r.Steps[s.at]
	a := st.Told
	u := s.look.Units

	left := []string{th.Label.Render(fmt.Sprintf("entered at %s: %s", s.look.Clock(st.Event.At), st.Event.Kind()))}
	right := []string{th.Label.Render("told")}
	lw, rw := w, w
	two := w >= 76
	if two {
		lw = max(w*2/5, 34)
		rw = w - lw - 3
	}
	left = append(left, part.Pairs(lw-2, func(x string) string { return "  " + x }, entered(st.Event)...)...)
	if d := derived(a, u); d != "" && st.Event.Kind() == charge.KindReading {
		for _, l := range part.Wrap("→ "+d, lw) {
			left = append(left, th.Strong.Render(l))
		}
	}
	if st.Voided {
		left = append(left, "taken back later")
	}
	if t := r.against(s.at); t != "" {
		left = append(left, part.Wrap("done: "+t, lw)...)
	}
	for _, f := range r.Findings[st.Event.N] {
		for _, l := range part.Wrap(fmt.Sprintf("%s, %s: %s", f.Severity, f.Title, f.Says), lw) {
			left = append(left, th.Mind.Render(l))
		}
	}
	right = append(right, live.Headline(s.look, say.Headline(a, a.At, u), rw))
	right = append(right, live.Why(&a, rw, 4)...)
	right = append(right, live.Minds(s.look, &a, rw, 12)...)
	if a.Derived.N > 0 {
		right = append(right, part.Pairs(rw, th.Label.Render,
			[2]string{"weighed in", say.Total(a, r.Setup, u)}, [2]string{"inside", say.Belief(a.Belief)})...)
		if t := say.Trouble(a, rw >= 50); t != "" {
			right = append(right, part.Pairs(rw, th.Label.Render, [2]string{"trouble   ", t})...)
		}
	}
	d := r.Fork(s.at)
	land := part.Wrap(d.Land(), w)
	if st.Event.Kind() != charge.KindReading {
		land = nil
	}

	var blocks []part.Block
	blocks = append(blocks, part.Block{Lines: []string{head}, Rank: 1, Least: 1})
	if two {
		both := part.Columns(3, []int{lw, rw}, left, right)
		blocks = append(blocks, part.Block{Lines: both, Rank: 1, Least: min(len(both), 12), Gap: true})
	} else {
		blocks = append(blocks, part.Block{Lines: left, Rank: 1, Least: min(len(left), 5), Gap: true},
			part.Block{Lines: right, Rank: 1, Least: min(len(right), 4)})
	}
	used := 1 // gaps go first
	for _, b := range blocks {
		used += len(b.Lines)
	}
	if len(d.Points) > 0 {
		tall := max(min(h-used-len(rail)-len(land), 24), 4)
		blocks = append(blocks, part.Block{Lines: fork.Draw(d, min(w, 110), tall, th), Rank: 3, Least: 2, Gap: true},
			part.Block{Lines: land, Rank: 4})
	}
	blocks = append(blocks, part.Block{Lines: rail, Rank: 2, Least: 3, Gap: true}, part.Block{Lines: said, Rank: 1, Least: 1})
	return part.Stack(w, h, blocks...)
}

// rail is the line of time with the marked steps, and the steps round the one
// shown.
func (s *Screen) rail(w int) []string {
	r := s.record
	th := s.look.Theme
	out := []string{s.line(w)}
	around := 3
	if s.h < 36 { // the fork needs the room more
		around = 2
	}
	from := max(min(s.at-around, len(r.Steps)-2*around-1), 0)
	for i := from; i < min(from+2*around+1, len(r.Steps)); i++ {
		st := r.Steps[i]
		mark := "  "
		if i == s.at {
			mark = "> "
		}
		told := r.Steps[i]
		told.Now = told.Told
		text := fmt.Sprintf("%s%2d %s  %s", mark, st.Event.N, s.look.Clock(st.Event.At), live.Words(s.look, told))
		if st.Voided {
			text += ", taken back"
		}
		note := ""
		if fs := r.Findings[st.Event.N]; len(fs) > 0 {
			worst := fs[0]
			for _, f := range fs {
				if f.Severity > worst.Severity {
					worst = f
				}
			}
			note = worst.Severity.String() + ": " + worst.Title
			if len(fs) > 1 {
				note += fmt.Sprintf(", and %d more", len(fs)-1)
			}
		}
		text = part.Ends(part.Clip(text, max(w-part.Width(note)-2, 24)), note, w)
		if note != "" && !strings.HasSuffix(text, note) {
			text = part.Clip(text, w-2) + " !"
		}
		if i == s.at {
			text = th.Strong.Render(text)
		}
		out = append(out, text)
	}
	if r.Broken != "" && from+2*around+1 >= len(r.Steps) {
		mark := "  "
		if s.at >= len(r.Steps) {
			mark = "> "
		}
		out = append(out, th.Mind.Render(part.Clip(mark+"   the chain breaks here", w)))
	}
	return out
}

// line is the scrub line: one mark a step, in order; ! for those worth a look.
func (s *Screen) line(w int) string {
	r := s.record
	n := len(r.Steps)
	from, to := s.look.Clock(r.Steps[0].Event.At), s.look.Clock(r.Steps[n-1].Event.At)
	tail := fmt.Sprintf(" %s to %s, %d marked", from, to, r.flags())
	room := max(w-part.Width(tail)-1, 10)
	cells := make([]rune, room)
	dash, step, here := '─', '┬', '●'
	if s.look.Theme.ASCII {
		dash, step, here = '-', '+', '@'
	}
	for i := range cells {
		cells[i] = dash
	}
	col := func(i int) int {
		if n == 1 {
			return 0
		}
		return min(i*(room-1)/(n-1), room-1)
	}
	for i := range n {
		if c := col(i); cells[c] == dash {
			cells[c] = step
		}
		if r.flagged(i) {
			cells[col(i)] = '!'
		}
	}
	if r.Broken != "" {
		cells[room-1] = 'X'
	}
	cells[col(min(s.at, n-1))] = here
	return part.Clip(string(cells)+tail, w)
}

func derived(a charge.Advice, u q.System) string {
	d := a.Derived
	if d.N == 0 {
		return ""
	}
	return fmt.Sprintf("evaporating %s, condensing %s: superheat %s, subcooling %s",
		say.Temperature(d.EvaporatingK, u), say.Temperature(d.CondensingK, u), say.Number(d.SuperheatK, u), say.Number(d.SubcoolingK, u))
}

// Name is the file's name without its folder.
func (s *Screen) Name() string { return filepath.Base(s.path) }

// Help is all the keys.
func (s *Screen) Help() []screen.Section {
	return []screen.Section{{Head: "In the replay", Keys: [][2]string{
		{"l, space, →", "next step"}, {"h, ←", "step back"}, {"d u", "five steps on, back"}, {"g G", "first, last"},
		{"f", "next step worth a look, marked ! on the line"}, {"b", "the one before"},
		{"m", "switch units"}, {"t", "theme"}, {"q", "leave"},
	}}}
}
