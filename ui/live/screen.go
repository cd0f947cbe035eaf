// Package live is the log screen: one question, what do I do now?, answered in
// a sentence at the top, with everything that bears on it below.
//
// The screen has sheets: a reading, a weighing, the checks, the setup and so
// on, each a few fields under the headline. Only one is open at a time; while
// it is open it gets every key. Entries go to the desk, which applies them and
// puts them on disk; the screen shows what the desk has acknowledged.
//
// Keys of the sheets and of the screen are in keys.go, the layouts in view.go:
// narrow below 60 columns, normal, wide from 120. Blocks that do not fit the
// height go by rank, the least important first; the headline never does.
package live

import (
	"fmt"
	"path/filepath"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge"
	"chargehand/ui/desk"
	"chargehand/ui/fork"
	"chargehand/ui/form"
	"chargehand/ui/say"
	"chargehand/ui/screen"
)

// Screen is the log screen of one session.
type Screen struct {
	look *screen.Look
	desk *desk.Desk
	w, h int

	sheet   sheet
	ticket  int    // of the entry the open sheet waits for, 0 when none
	said    string // what happened last, in words
	mind    bool   // said is a warning
	pick    int    // entry under the cursor while amending, an index into Steps
	scale   fork.Scale
	units   int // scale belongs to these units
	rung    time.Time
	ticking bool
	full    *full        // the advice in full, nil while shut
	leaving bool         // asked once whether to leave a sheet half filled in
	presets charge.Setup // what a new job begins with: elevation, technician

	world  World        // the simulated roof, nil on a real one
	action func() error // what the open sheet wants done instead of an entry
}

// World is a simulated roof beside the log, as the train screen gives one.
type World interface {
	// Strip is drawn on top.
	Strip(w int) []string
	// Key gets every key of the bare screen first.
	Key(s *Screen, k string) (cmd tea.Cmd, used bool)
	// Keys are the hints for them.
	Keys() [][2]string
	// Hides reports whether the tool's advice is kept back until asked for.
	Hides() bool
	// Now is the time on the roof.
	Now() time.Time
	// Done is told of every answer of the desk.
	Done(s *Screen, d *desk.Done) tea.Cmd
}

// sheet is a form under the headline.
type sheet interface {
	title() string
	// key takes a key; events is what to enter, when the outcome is Accept.
	key(s *Screen, k tea.KeyMsg) (events []charge.Event, out form.Outcome)
	lines(s *Screen, w, h int) []string
	keys() [][2]string
	problem(string)
}

// New is the log screen at a desk. A session not yet begun opens on its setup.
// presets stand as defaults in a new one.
func New(look *screen.Look, d *desk.Desk, presets charge.Setup) *Screen {
	s := &Screen{look: look, desk: d, presets: presets}
	if !d.Picture().Began() {
		s.sheet = newSetup(s)
	}
	if n := d.Notices(); len(n) > 0 {
		s.tell(true, strings.Join(n, " "))
	} else if d.Picture().Began() {
		s.tell(false, fmt.Sprintf("Going on where it was left: %s in %s.", Count(len(d.Picture().Steps), "entry", "entries"), filepath.Base(d.Path())))
	}
	return s
}

// SetWorld puts a simulated roof beside the log.
func (s *Screen) SetWorld(w World) { s.world = w }

// now is the time of day: of the clock, or of the simulated roof.
func (s *Screen) now() time.Time {
	if s.world != nil {
		return s.world.Now()
	}
	return s.look.Now()
}

// Act runs an action in the desk's queue.
func (s *Screen) Act(action func() error) tea.Cmd {
	ticket, cmd := s.desk.Do(action)
	s.ticket = ticket
	return cmd
}

// Open opens a sheet of a simulated roof.
func (s *Screen) Open(sh Sheet) { s.sheet, s.said = sh, "" }

// Desk is where the screen's entries go.
func (s *Screen) Desk() *desk.Desk { return s.desk }

// SetSize gives the screen its box.
func (s *Screen) SetSize(w, h int) { s.w, s.h = w, h }

// Typing reports whether any character is text now, so that the root keeps its
// keys to itself.
func (s *Screen) Typing() bool {
	f := s.form()
	return f != nil && f.Fields[f.At].Type == form.Free
}

// HalfTyped reports whether something was typed that is not entered.
func (s *Screen) HalfTyped() bool {
	f := s.form()
	return f != nil && f.Touched()
}

// form is that of the open sheet, nil where it has none.
func (s *Screen) form() *form.Form {
	if sh, ok := s.sheet.(interface{ fields() *form.Form }); ok {
		return sh.fields()
	}
	return nil
}

// Path is the journal's file.
func (s *Screen) Path() string { return s.desk.Path() }

// Init starts the clock where one runs.
func (s *Screen) Init() tea.Cmd { return s.tick() }

func (s *Screen) tell(mind bool, text string) { s.said, s.mind = text, mind }

// Say shows a sentence at the foot of the screen.
func (s *Screen) Say(text string) { s.tell(false, text) }

func (s *Screen) advice() *charge.Advice { return &s.desk.Picture().Advice }

// left is what remains of a wait; running is false where none is.
func (s *Screen) left() (left, of time.Duration, running bool) {
	a := s.advice()
	if a.WaitUntil.IsZero() || a.Closed {
		return 0, 0, false
	}
	left = a.WaitUntil.Sub(s.now())
	of = a.Wait
	if of <= 0 {
		of = a.WaitUntil.Sub(a.At)
	}
	return max(left, 0), max(of, left), true
}

// tick asks for the next second while a wait runs.
func (s *Screen) tick() tea.Cmd {
	if left, _, running := s.left(); !running || left <= 0 || s.ticking || s.world != nil {
		return nil
	}
	s.ticking = true
	return s.look.Second()
}

// Bell is the message that rings once.
type Bell struct{}

// Update takes a message.
func (s *Screen) Update(msg tea.Msg) tea.Cmd {
	switch m := msg.(type) {
	case tea.KeyMsg:
		return s.keyPress(m)
	case desk.Done:
		done, cmd := s.desk.Update(m)
		if done == nil {
			return nil
		}
		return tea.Batch(cmd, s.done(done), s.tick())
	case previewed:
		if r, ok := s.sheet.(*readingSheet); ok && r.gen == m.gen {
			r.doubts, r.refused = m.doubts, m.refused
		}
	case screen.Tick:
		s.ticking = false
		a := s.advice()
		if left, _, running := s.left(); running && left <= 0 && s.rung != a.WaitUntil {
			s.rung = a.WaitUntil
			s.tell(false, "The wait is over.")
			if s.look.Bell {
				return screen.Send(Bell{})
			}
		}
		return s.tick()
	case screen.LookChanged:
		return s.desk.Refold(s.look.Units)
	}
	return nil
}

// done takes the desk's answer to an entry.
func (s *Screen) done(d *desk.Done) tea.Cmd {
	mine := d.Ticket == s.ticket && s.ticket != 0
	switch {
	case d.Fault != nil:
		s.tell(true, fmt.Sprintf("That entry was too much for the advice (%v). It was left out; all entries before it stand.", d.Fault))
	case d.Refused != nil:
		text := Refusal(d.Refused)
		if mine && s.sheet != nil {
			s.ticket = 0
			s.sheet.problem(text)
			if f := s.form(); f != nil {
				f.Focus(d.Refused.Field)
			}
			return nil
		}
		s.tell(true, text)
	case d.Err != nil:
		s.tell(true, "NOT ON DISK: "+sentence(d.Err.Error())+" ! tries again.")
	default:
		if d.Picture.Unsaved == 0 && s.mind {
			s.tell(false, "")
		}
	}
	if mine {
		s.ticket = 0
		if st, ok := s.sheet.(stays); ok && d.Refused == nil {
			st.problem("")
		} else {
			s.sheet = nil
		}
	}
	if s.world != nil {
		return s.world.Done(s, d)
	}
	return nil
}

// stays is a sheet that is open for the next entry after one was taken.
type stays interface {
	sheet
	stays()
}

// Refusal puts a refusal in words: field, value, remedy.
func Refusal(r *charge.Refusal) string {
	switch {
	case r.Field == "":
		return sentence(r.Why)
	case r.Value == "":
		return sentence(say.FieldWords(r.Field) + " " + r.Why)
	default:
		return sentence(say.FieldWords(r.Field) + " " + r.Value + " " + r.Why)
	}
}

func sentence(s string) string {
	if s == "" {
		return s
	}
	s = strings.ToUpper(s[:1]) + s[1:]
	if !strings.ContainsAny(s[len(s)-1:], ".?!") {
		s += "."
	}
	return s
}

// enter sends events that belong together to the desk.
func (s *Screen) enter(events ...charge.Event) tea.Cmd {
	ticket, cmd := s.desk.Submit(events...)
	s.ticket = ticket
	return cmd
}

// at stamps a body with the present time.
func (s *Screen) at(b charge.Body) charge.Event {
	return charge.Event{At: s.now().Truncate(time.Second), Body: b}
}
