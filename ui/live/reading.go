package live

import (
	"fmt"
	"math"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge"
	"chargehand/refrigerants"
	"chargehand/ui/desk"
	"chargehand/ui/form"
	"chargehand/ui/part"
	"chargehand/ui/say"
)

// readingSheet is the quick row: numbers only, in the order of the hoses and
// clamps, the last values standing as defaults.
type readingSheet struct {
	blank
	last    *charge.Reading // whose values are the defaults, nil for none
	amends  *charge.Event   // the entry it replaces, nil for a new one
	gen     int
	doubts  []charge.Doubt
	refused *charge.Refusal
	fluid   *refrigerants.Refrigerant
}

// previewed brings what a reading being typed would be doubted for.
type previewed struct {
	gen     int
	doubts  []charge.Doubt
	refused *charge.Refusal
}

func newReading(s *Screen) *readingSheet {
	r := &readingSheet{last: s.desk.Picture().Last}
	r.build(s)
	return r
}

func amendReading(s *Screen, e charge.Event, b *charge.Reading) *readingSheet {
	r := &readingSheet{last: b, amends: &e}
	r.build(s)
	return r
}

func (r *readingSheet) build(s *Screen) {
	p := s.desk.Picture()
	r.fluid, _ = refrigerants.Lookup(string(p.Setup.Refrigerant))
	f := form.New()
	for _, sl := range slots {
		if sl.only != "" && p.Setup.Arrangement != sl.only {
			continue
		}
		fd := form.Field{Name: sl.name, Label: sl.label}
		switch sl.kind {
		case "glass":
			fd.Type = form.Choice
			for _, g := range charge.Glasses() {
				fd.Choices = append(fd.Choices, string(g))
			}
		case "text":
			fd.Type = form.Free
		}
		fd.Break = sl.name == "outdoor" || sl.name == "supply_dry_bulb"
		if r.last != nil && (sl.stands || r.amends != nil) {
			fd.Default = shown(r.last, sl, s)
		}
		f.Fields = append(f.Fields, fd)
	}
	r.form = f
}

// reading makes the event body of what stands in the row. Values nobody
// touched are taken over exactly as they were entered before. bad names the
// first field that cannot be read.
func (r *readingSheet) reading(s *Screen) (b *charge.Reading, typed int, bad string, err error) {
	b = &charge.Reading{}
	for i := range r.form.Fields {
		fd := &r.form.Fields[i]
		sl := slotOf(fd.Name)
		if !fd.Typed() {
			if fd.Default != "" && r.last != nil {
				copyField(b, r.last, sl)
			}
			continue
		}
		text := fd.Value()
		if text == "" {
			continue
		}
		typed++
		if e := parseInto(b, sl, text, s); e != nil && err == nil {
			bad, err = fd.Name, e
		}
	}
	return b, typed, bad, err
}

func (r *readingSheet) title() string {
	if r.amends != nil {
		return fmt.Sprintf("amend entry %d", r.amends.N)
	}
	return "reading"
}

func (r *readingSheet) key(s *Screen, k tea.KeyMsg) ([]charge.Event, form.Outcome) {
	fd := &r.form.Fields[r.form.At]
	if fd.Type != form.Free && leaves(k) {
		return nil, form.Back
	}
	if out := r.typed(k); out != form.Accept {
		return nil, out
	}
	b, typed, bad, err := r.reading(s)
	switch {
	case err != nil:
		r.msg = sentence(parseWords(err))
		r.form.Focus(bad)
		return nil, form.Ignored
	case typed == 0:
		r.msg = "Nothing was typed yet: type at least one number, the rest may stand. x leaves."
		return nil, form.Ignored
	}
	return s.replacing(r.amends, b), form.Accept
}

// leaves reports the keys that leave a sheet where letters are not text.
func leaves(k tea.KeyMsg) bool {
	return k.Type == tea.KeyRunes && !k.Paste && len(k.Runes) == 1 && (k.Runes[0] == 'x' || k.Runes[0] == 'q')
}

// preview asks, beside the typing, what the reading would be doubted for.
func (r *readingSheet) preview(s *Screen) tea.Cmd {
	r.gen++
	b, typed, _, err := r.reading(s)
	if err != nil || typed == 0 {
		r.doubts, r.refused = nil, nil
		return nil
	}
	gen, p, e := r.gen, *s.desk.Picture(), s.at(b)
	if r.amends != nil {
		p.Last = nil
	}
	return func() tea.Msg {
		doubts, refused := desk.Preview(&p, e)
		return previewed{gen, doubts, refused}
	}
}

// lines draws the row, what it amounts to, and what is doubtful about it.
func (r *readingSheet) lines(s *Screen, w, h int) []string {
	th := s.look.Theme
	foot := r.live(s, w)
	out := r.form.Lines(w, max(h-len(foot), 2), th)
	return append(out, foot...)
}

// live is the derived line under the row, and the doubts.
func (r *readingSheet) live(s *Screen, w int) []string {
	th := s.look.Theme
	var out []string
	b, _, _, err := r.reading(s)
	if r.msg != "" {
		for _, l := range part.Wrap(r.msg, w) {
			out = append(out, th.Mind.Render(l))
		}
		return out
	}
	if err != nil {
		for _, l := range part.Wrap(parseWords(err), w) {
			out = append(out, th.Mind.Render(l))
		}
		return out
	}
	if !r.form.Touched() && r.amends == nil {
		if asked := say.List(readFields(s.advice().Needs), 4); asked != "" {
			for _, l := range part.Wrap("asked for: "+asked, w) {
				out = append(out, th.Faint.Render(l))
			}
		}
	}
	if text := derivedWords(r.fluid, b, s); text != "" {
		for i, l := range part.Wrap(text, w-2) {
			if i == 0 {
				out = append(out, "→ "+th.Strong.Render(l))
			} else {
				out = append(out, "  "+th.Strong.Render(l))
			}
		}
	}
	if r.refused != nil {
		for _, l := range part.Wrap(Refusal(r.refused), w) {
			out = append(out, th.Mind.Render(l))
		}
	}
	for i, d := range r.doubts {
		if i == 2 {
			out = append(out, th.Mind.Render(fmt.Sprintf("and %d more doubts", len(r.doubts)-2)))
			break
		}
		for _, l := range part.Wrap(doubtWords(d), w) {
			out = append(out, th.Mind.Render(l))
		}
	}
	return out
}

// readFields are those of the needs that are read, in words.
func readFields(needs []string) []string {
	var out []string
	for _, n := range needs {
		if slotOf(n).name != "" {
			out = append(out, say.FieldWords(n))
		}
	}
	return out
}

func doubtWords(d charge.Doubt) string {
	head := say.FieldWords(d.Field)
	if d.Value != "" {
		head += " " + d.Value
	}
	return strings.TrimSpace(head) + "? " + sentence(d.Why)
}

// derivedWords says what the row amounts to so far.
func derivedWords(fluid *refrigerants.Refrigerant, b *charge.Reading, s *Screen) string {
	if fluid == nil {
		return ""
	}
	u, bar := s.look.Units, s.desk.Picture().Barometer
	evap, cond := math.NaN(), math.NaN()
	if b.SuctionPressure.IsValid() {
		if t, err := fluid.DewTemperature(b.SuctionPressure.Absolute(bar)); err == nil {
			evap = t
		}
	}
	if b.LiquidPressure.IsValid() {
		if t, err := fluid.BubbleTemperature(b.LiquidPressure.Absolute(bar)); err == nil {
			cond = t
		}
	}
	var sat, der []string
	if !math.IsNaN(evap) {
		sat = append(sat, "evaporating "+say.Temperature(evap, u))
		if b.SuctionLine.IsValid() {
			der = append(der, "superheat "+say.Number(b.SuctionLine.Kelvin()-evap, u))
		}
	}
	if !math.IsNaN(cond) {
		sat = append(sat, "condensing "+say.Temperature(cond, u))
		if b.LiquidLine.IsValid() {
			der = append(der, "subcooling "+say.Number(cond-b.LiquidLine.Kelvin(), u))
		}
	}
	text := strings.Join(sat, ", ")
	if len(der) > 0 {
		text += ": " + strings.Join(der, ", ")
	}
	return text
}

func (r *readingSheet) keys() [][2]string {
	return [][2]string{{"space", "next"}, {"enter", "record"}, {"x", "leave"}}
}
