package train

import (
	"fmt"
	"math"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge/scenario"
	"chargehand/ui/form"
	"chargehand/ui/live"
	"chargehand/ui/say"
)

// waitSheet asks how long to wait.
func (s *Screen) waitSheet() live.Sheet {
	def := 5.0
	a := s.live.Desk().Picture().Advice
	if left := a.WaitUntil.Sub(s.Now()); !a.WaitUntil.IsZero() && left > 0 && !s.Hides() {
		def = math.Ceil(left.Minutes())
	}
	return &live.Ask{
		Title: "wait",
		Form:  form.New(form.Field{Name: "minutes", Label: "minutes", Default: fmt.Sprintf("%.0f", def)}),
		Note:  "Time runs fast here.",
		Hint:  [][2]string{{"enter", "wait"}},
		Do: func(f *form.Form) (func() error, string, string) {
			m, err := minutes(f.Value("minutes"))
			if err != nil {
				return nil, "minutes", err.Error()
			}
			now := m
			if s.opt.Speed > 0 {
				now = min(m, s.opt.Speed)
			}
			s.waiting = m - now
			return func() error { return s.run.Wait(now) }, "", ""
		},
	}
}

// chunk lets the next second's worth of waiting pass.
func (s *Screen) chunk() tea.Cmd {
	m := min(s.waiting, max(s.opt.Speed, 0.1))
	s.waiting -= m
	return s.live.Act(func() error { return s.run.Wait(m) })
}

// lookSheet lists what may be looked at and put right.
func (s *Screen) lookSheet() live.Sheet {
	items := s.lesson.Items
	return &live.Pick{
		Title: "look, put right",
		Items: func() []live.PickItem {
			b := s.beside()
			out := make([]live.PickItem, len(items))
			for i, it := range items {
				note := fmt.Sprintf("not looked at; %.0f min", it.Minutes)
				switch {
				case b.fixed[it.Name]:
					note = "put right"
				case b.looked[it.Name]:
					note = it.Says
				}
				out[i] = live.PickItem{Text: words(it.Name), Note: note}
			}
			return out
		},
		Do: map[string]func(int) func() error{
			"enter": func(i int) func() error {
				return func() error { _, err := s.run.Inspect(items[i].Name); return err }
			},
			"f": func(i int) func() error {
				return func() error { _, err := s.run.Fix(items[i].Name); return err }
			},
		},
		Hint: [][2]string{{"enter", "look"}, {"f", "put right: clean, restore"}},
	}
}

// finishSheet closes the job: charged, or left alone for a reason.
func (s *Screen) finishSheet() live.Sheet {
	reasons := []string{}
	for _, c := range causes() {
		reasons = append(reasons, say.CauseWords(c))
	}
	f := form.New(
		form.Field{Name: "verdict", Label: "it is", Type: form.Choice, Choices: []string{"charged", "left alone"}, Default: "charged"},
		form.Field{Name: "cause", Label: "left because of", Type: form.Choice, Choices: reasons, Hint: "left and right, or a letter"},
	)
	f.List = true
	return &live.Ask{
		Title: "finish",
		Form:  f,
		Note:  "Charged: in its band, settled, done. Left alone: something other than charge is wrong; say what.",
		Hint:  [][2]string{{"enter", "close the job"}, {"tab", "next"}, {"← →", "choose"}},
		Do: func(f *form.Form) (func() error, string, string) {
			v := scenario.Verdict{Kind: scenario.ChargeIt}
			if f.Value("verdict") == "left alone" {
				v.Kind = scenario.LeaveIt
				for _, c := range causes() {
					if say.CauseWords(c) == f.Value("cause") {
						v.Cause = c
					}
				}
				if v.Cause == "" {
					return nil, "cause", "Say why it is left alone: pick a cause with the arrow keys or its first letter."
				}
			}
			return func() error { _, err := s.run.Finish(v); return err }, "", ""
		},
	}
}
