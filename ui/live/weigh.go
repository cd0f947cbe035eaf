package live

import (
	"fmt"
	"math"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge"
	q "chargehand/charge/quantity"
	"chargehand/ui/form"
	"chargehand/ui/part"
	"chargehand/ui/say"
)

// weighSheet takes what crossed the scale; the advised amount stands as default.
type weighSheet struct {
	blank
	amends  *charge.Event
	advised float64 // kg, signed, 0 for none
	asked   string  // the amount that was asked about, as typed
}

// slipTimes is how many times the amount advised looks like a slip: of the
// decimal point, or of another unit.
const slipTimes = 5

func newWeigh(s *Screen) *weighSheet {
	a := s.advice()
	w := &weighSheet{}
	switch a.Action {
	case charge.Add:
		w.advised = a.AmountKg
	case charge.Recover:
		w.advised = -a.AmountKg
	}
	w.build(s, nil)
	return w
}

func amendWeigh(s *Screen, e charge.Event, b *charge.Weighing) *weighSheet {
	w := &weighSheet{amends: &e}
	w.build(s, b)
	return w
}

func (w *weighSheet) build(s *Screen, old *charge.Weighing) {
	u := s.look.Units
	amount := form.Field{Name: "amount", Label: "weighed in", Hint: "minus for recovered"}
	cylinder := form.Field{Name: "cylinder", Label: "cylinder now"}
	phase := form.Field{Name: "phase", Label: "as", Type: form.Choice, Choices: []string{string(charge.LiquidPhase), string(charge.VaporPhase)}}
	switch {
	case old != nil:
		amount.Default, cylinder.Default, phase.Default = old.Amount.String(), old.Cylinder.String(), string(old.Phase)
	case w.advised != 0:
		amount.Default = say.Mass(math.Abs(w.advised), u)
		if w.advised < 0 {
			amount.Default = "-" + amount.Default
		}
	}
	w.form = form.New(amount, cylinder, phase)
}

func (w *weighSheet) title() string {
	if w.amends != nil {
		return fmt.Sprintf("amend entry %d", w.amends.N)
	}
	return "weighed"
}

func (w *weighSheet) weighing(s *Screen) (*charge.Weighing, string, error) {
	b := &charge.Weighing{}
	var err error
	if text := w.form.Value("amount"); text != "" {
		if b.Amount, err = q.ParseMassIn(text, s.look.Units.MassUnit()); err != nil {
			return nil, "amount", err
		}
	}
	if text := w.form.Value("cylinder"); text != "" {
		if b.Cylinder, err = q.ParseMassIn(text, s.look.Units.CylinderUnit()); err != nil {
			return nil, "cylinder", err
		}
	}
	b.Phase = charge.Phase(w.form.Value("phase"))
	return b, "", nil
}

func (w *weighSheet) key(s *Screen, k tea.KeyMsg) ([]charge.Event, form.Outcome) {
	if leaves(k) {
		return nil, form.Back
	}
	if out := w.typed(k); out != form.Accept {
		return nil, out
	}
	b, bad, err := w.weighing(s)
	switch {
	case err != nil:
		w.msg = sentence(parseWords(err))
		w.form.Focus(bad)
		return nil, form.Ignored
	case !b.Amount.IsValid():
		w.msg = "Type the amount first: a number of " + string(s.look.Units.MassUnit()) + ", with a minus where it was recovered."
		w.form.Focus("amount")
		return nil, form.Ignored
	case w.slipped(b):
		w.asked = w.form.Value("amount")
		w.msg = fmt.Sprintf("%s where %s was advised? Enter once more records it; or type it again.",
			say.Signed(b.Amount.Kilograms(), s.look.Units), say.Signed(w.advised, s.look.Units))
		w.form.Focus("amount")
		return nil, form.Ignored
	}
	return s.replacing(w.amends, b), form.Accept
}

// slipped reports an amount that is many times the advised one and was not asked
// about yet.
func (w *weighSheet) slipped(b *charge.Weighing) bool {
	return w.advised != 0 && math.Abs(b.Amount.Kilograms()) >= slipTimes*math.Abs(w.advised) && w.form.Value("amount") != w.asked
}

func (w *weighSheet) lines(s *Screen, width, h int) []string {
	th, u := s.look.Theme, s.look.Units
	p := s.desk.Picture()
	out := w.form.Lines(width, max(h-2, 1), th)
	mind := func(text string) {
		for _, l := range part.Wrap(text, width) {
			out = append(out, th.Mind.Render(l))
		}
	}
	if w.msg != "" {
		mind(w.msg)
		return out
	}
	b, _, err := w.weighing(s)
	if err != nil {
		mind(parseWords(err))
		return out
	}
	kg := b.Amount.Kilograms()
	if math.IsNaN(kg) {
		out = append(out, th.Faint.Render(part.Clip("a bare number is "+string(u.MassUnit())+"; a minus means recovered", width)))
		return out
	}
	before := p.Advice.TotalKg
	if w.amends != nil {
		if old, ok := w.amends.Body.(*charge.Weighing); ok {
			before -= old.Amount.Kilograms()
		}
	}
	text := "recovered " + say.Mass(-kg, u)
	if kg >= 0 {
		text = "in " + say.Mass(kg, u)
	}
	after := p.Advice
	after.TotalKg, after.AddedKg, after.RecoveredKg = before+kg, 0, 0
	text += ": total " + say.Total(after, p.Setup, u)
	for i, l := range part.Wrap(text, width-2) {
		lead := "  "
		if i == 0 {
			lead = "→ "
		}
		out = append(out, lead+th.Strong.Render(l))
	}
	if w.advised > 0 && kg > w.advised*1.02+0.0015 {
		mind(fmt.Sprintf("%s where %s was advised.", say.Mass(kg, u), say.Mass(w.advised, u)))
	}
	if cyl := p.Cylinder.Kilograms(); !math.IsNaN(cyl) && w.amends == nil {
		should := cyl - kg
		if got := b.Cylinder.Kilograms(); !math.IsNaN(got) && math.Abs(got-should) > 0.03 {
			mind(fmt.Sprintf("The cylinder should show %s after this: check both numbers.", cylinderText(should, u)))
		} else if math.IsNaN(got) {
			out = append(out, th.Faint.Render(part.Clip("the cylinder should show "+cylinderText(should, u), width)))
		}
	}
	return out
}

func cylinderText(kg float64, u q.System) string {
	if u == q.US {
		return q.FormatPoundsOunces(kg)
	}
	return say.Mass(kg, u)
}

func (w *weighSheet) keys() [][2]string {
	return [][2]string{{"enter", "record"}, {"space", "next"}, {"-", "recovered"}, {"x", "leave"}}
}
