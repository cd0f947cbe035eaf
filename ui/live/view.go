package live

import (
	"strings"

	"chargehand/ui/fork"
	"chargehand/ui/part"
	"chargehand/ui/say"
)

// View draws the screen in its box. Three layouts: one narrow column, two
// columns, three columns.
func (s *Screen) View() string {
	if s.w <= 0 || s.h <= 0 {
		return ""
	}
	return strings.Join(s.Lines(s.w, s.h), "\n")
}

// Lines draws the screen in at most w by h cells.
func (s *Screen) Lines(w, h int) []string {
	p := s.shown()
	a := &p.Advice
	th := s.look.Theme
	if s.full != nil {
		return s.fullView(w, h)
	}
	var blocks []part.Block
	add := func(b part.Block) { blocks = append(blocks, b) }

	if s.world != nil {
		add(part.Block{Lines: s.world.Strip(w), Rank: 1, Least: 1})
	}
	add(part.Block{Lines: []string{s.head(w)}, Rank: 1, Least: 1})
	if p.Began() {
		head := []string{Headline(s.look, s.headline(a), w)}
		if h >= 40 && w >= 60 && !th.ASCII && s.sheet == nil {
			for _, l := range bigHead(s.headline(a), w) {
				if len(head) == 1 {
					head = append(head, "")
				}
				head = append(head, th.Strong.Render(l))
			}
		}
		add(part.Block{Lines: head, Rank: 0, Least: 1, Gap: h >= 24})
		add(part.Block{Lines: Why(a, w, 3), Rank: 2, Least: 1})
	}
	if s.sheet != nil {
		rule := "── " + s.sheet.title() + " "
		if th.ASCII {
			rule = "-- " + s.sheet.title() + " "
		}
		lines := []string{th.Label.Render(part.Clip(rule, w))}
		lines = append(lines, s.sheet.lines(s, w, max(min(h-7, 20), 4))...)
		add(part.Block{Lines: lines, Rank: 1, Least: min(len(lines), 6), Gap: true})
	}
	foot := s.foot(w)
	if p.Began() {
		used := 0
		for _, b := range blocks {
			used += len(b.Lines)
		}
		minds := Minds(s.look, a, w, s.mindRows(w))
		cautions := Cautions(s.look, a, w, s.cautionRows(w, h))
		add(part.Block{Lines: minds, Rank: 3, Least: min(len(minds), 3), Gap: h >= 30})
		add(part.Block{Lines: cautions, Rank: 3, Least: len(cautions)})
		used += len(minds) + len(cautions)
		switch {
		case w < 60:
			s.narrow(add, w)
		case w < 76:
			s.single(add, w, h)
		case w < 150:
			s.double(add, w, h-used-len(foot))
		default:
			s.triple(add, w, h-used-len(foot))
		}
	}
	body := part.Stack(w, h-len(foot), blocks...)
	for len(body) < h-len(foot) {
		body = append(body, "")
	}
	return append(body, foot...)
}

// mindRows is how many lines questions and doubts may take: few while an entry
// is being typed.
func (s *Screen) mindRows(w int) int {
	switch {
	case s.sheet != nil:
		return 2
	case w < 60:
		return 8
	default:
		return 7
	}
}

// cautionRows is how many lines cautions may take; none while an entry is
// being typed, since they were read before.
func (s *Screen) cautionRows(w, h int) int {
	switch {
	case s.sheet != nil:
		return 0
	case h >= 30:
		return 4
	case w < 60:
		return 3
	default:
		return 2
	}
}

// head is the job on the left, the air on the right.
func (s *Screen) head(w int) string {
	p := s.desk.Picture()
	if !p.Began() {
		return part.Clip("chargehand", w)
	}
	right := say.Altitude(p.Setup)
	if c := say.Conditions(p.Advice.Derived, s.look.Units); c != "" {
		right = c + " · " + right
	}
	left := say.Unit(p.Setup)
	if part.Width(left)+part.Width(right)+2 > w {
		right = say.Conditions(p.Advice.Derived, s.look.Units)
	}
	return part.Ends(left, right, w)
}

func (s *Screen) cylinder() string {
	if p := s.desk.Picture(); p.Cylinder.IsValid() {
		return "should show " + cylinderText(p.Cylinder.Kilograms(), s.look.Units)
	}
	return ""
}

func clipLines(lines []string, n int) []string { return lines[:min(len(lines), n)] }

// data is the fork's data, with the scale kept still.
func (s *Screen) data() fork.Data {
	p := s.shown()
	d := Fork(p.Steps, p.Units)
	if s.units != int(p.Units) {
		s.scale, s.units = fork.Scale{}, int(p.Units)
	}
	s.scale = d.Grow(s.scale)
	d.Scale = s.scale
	return d
}

// narrow: a phone. Text only, the trace for the fork.
func (s *Screen) narrow(add func(part.Block), w int) {
	p := s.shown()
	a := &p.Advice
	if t := s.wait(w - 8); t != "" {
		add(part.Block{Lines: []string{s.look.Theme.Label.Render("waiting ") + t}, Rank: 2, Least: 1})
	}
	d := s.data()
	lines := fork.Trace(d, w)
	add(part.Block{Lines: lines, Rank: 3, Least: min(2, len(lines)), Gap: true})
	if l := part.Wrap(d.Land(), w); len(l) > 0 && s.sheet == nil {
		add(part.Block{Lines: l, Rank: 5})
	}
	inside := part.Wrap("weighed in: "+say.Total(*a, p.Setup, s.look.Units), w)
	if a.Action != "" {
		inside = append(inside, part.Wrap("inside: "+say.Belief(a.Belief), w)...)
	}
	add(part.Block{Lines: inside, Rank: 3, Least: 1})
	if t := say.Trouble(*a, false); t != "" {
		add(part.Block{Lines: part.Wrap("trouble: "+t, w), Rank: 4})
	}
	add(part.Block{Lines: rooms(s.look, a, w, 5), Rank: 4, Least: 2})
	add(part.Block{Lines: []string{checked(p.Checks, w)}, Rank: 6})
	s.table(add, w, 6)
}

// table adds the entries, the newest kept when there is not room for all.
func (s *Screen) table(add func(part.Block), w, rank int) {
	head, lines := s.entries(w)
	if len(lines) == 0 {
		return
	}
	add(part.Block{Lines: []string{head}, Rank: rank, Gap: true})
	add(part.Block{Lines: lines, Rank: rank, Least: 2, Tail: true})
}

// entries draws the table; while an entry is being picked, rows beyond it are
// left out so that it stays in view.
func (s *Screen) entries(w int) (string, []string) {
	p := s.shown()
	pick := -1
	if _, ok := s.sheet.(*amendSheet); ok {
		pick = s.pick
	}
	head, lines := Entries(s.look, p.Steps, p.Barometer, w, pick, p.Unsaved)
	if pick >= 0 {
		lines = lines[:min(pick+3, len(lines))]
	}
	return head, lines
}

// single: 60 to 75 columns, one under the other.
func (s *Screen) single(add func(part.Block), w, h int) {
	p := s.shown()
	a := &p.Advice
	add(part.Block{Lines: status(s.look, a, p.Setup, s.cylinder(), s.wait(w-12), w), Rank: 3, Least: 3, Gap: true})
	d := s.data()
	chart := fork.Draw(d, w, max(min(h/3, 14), 8), s.look.Theme)
	add(part.Block{Lines: chart, Rank: 4, Gap: true})
	if l := part.Wrap(d.Land(), w); len(l) > 0 {
		add(part.Block{Lines: l, Rank: 5})
	}
	add(part.Block{Lines: rooms(s.look, a, w, 6), Rank: 5, Gap: true})
	add(part.Block{Lines: []string{checked(p.Checks, w)}, Rank: 6})
	s.table(add, w, 5)
}

// double: the fork on the left, the state of things on the right, entries below.
func (s *Screen) double(add func(part.Block), w, room int) {
	p := s.shown()
	a := &p.Advice
	right := max(w*2/5, 32)
	if w >= 100 {
		right = min(right, 52)
	}
	left := w - right - 2
	_, lines := s.entries(w)
	least := 4
	if s.h > 24 {
		least = 5
	}
	table := min(len(lines)+1, max(room/4, least))
	if s.sheet != nil {
		table = min(table, 4)
	}
	if p.Advice.Derived.N == 0 {
		// Before the first reading there is little to say of it all: one column.
		add(part.Block{Lines: status(s.look, a, p.Setup, s.cylinder(), "", w), Rank: 4, Least: 1, Gap: true})
		add(part.Block{Lines: []string{checked(p.Checks, w)}, Rank: 5})
		s.table(add, w, 5)
		return
	}
	d := s.data()
	var land []string
	if s.sheet == nil {
		land = part.Wrap(d.Land(), w)
	}
	tall := max(min(room-table-len(land)-1, 26), 8)
	var l []string
	if len(d.Points) > 0 {
		l = fork.Draw(d, left, tall, s.look.Theme)
	}
	r := status(s.look, a, p.Setup, s.cylinder(), s.wait(right-12), right)
	if n := tall - len(r) - 1; n >= 2 {
		if n >= 6 {
			r = append(r, "")
		}
		r = append(r, rooms(s.look, a, right, min(n, 8))...)
	}
	if len(r) < tall {
		r = append(r, checked(p.Checks, right))
	}
	rows := part.Columns(2, []int{left, right}, l, clipLines(r, tall))
	if len(l) == 0 {
		rows = clipLines(r, tall)
	}
	add(part.Block{Lines: rows, Rank: 4, Least: min(len(rows), 8), Gap: true})
	add(part.Block{Lines: land, Rank: 4})
	s.table(add, w, 5)
}

// triple: fork, state of things, entries side by side.
func (s *Screen) triple(add func(part.Block), w, room int) {
	p := s.shown()
	a := &p.Advice
	tall := max(min(room-1, 44), 8)
	mid := 46
	right := min(max(w*9/20, 78), 92)
	left := w - mid - right - 6
	d := s.data()
	var l []string
	if len(d.Points) > 0 {
		land := part.Wrap(d.Land(), left)
		l = append(fork.Draw(d, left, min(max(tall-len(land)-1, 8), 30), s.look.Theme), land...)
	}
	m := status(s.look, a, p.Setup, s.cylinder(), s.wait(mid-12), mid)
	m = append(m, "")
	m = append(m, rooms(s.look, a, mid, max(min(tall-len(m)-2, 12), 2))...)
	m = append(m, "")
	m = append(m, part.Wrap(checked(p.Checks, 400), mid)...)
	head, lines := s.entries(right)
	if n := tall - 1; len(lines) > n {
		lines = lines[len(lines)-n:]
	}
	e := append([]string{head}, lines...)
	widths := []int{left, mid, right}
	if len(l) == 0 {
		add(part.Block{Lines: clipLines(part.Columns(3, []int{mid, w - mid - 3}, m, e), tall), Rank: 4, Least: 6, Gap: true})
		return
	}
	add(part.Block{Lines: clipLines(part.Columns(3, widths, l, m, e), tall), Rank: 4, Least: 6, Gap: true})
}
