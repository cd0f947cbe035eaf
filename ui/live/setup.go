package live

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"chargehand/charge"
	q "chargehand/charge/quantity"
	"chargehand/refrigerants"
	"chargehand/ui/form"
	"chargehand/ui/part"
	"chargehand/ui/say"
)

// setupSheet says what the unit is. Only the refrigerant is needed. Opened
// later it amends: only what was typed is entered.
type setupSheet struct {
	blank
	old charge.Setup
	new bool
}

// A setup field of the form: how it is read, in the units in force.
type setupField struct {
	name, label, hint string
	choices           func() []string
	unit              func(u q.System) q.Unit
	parse             func(b *charge.Setup, text string, u q.Unit) error
	show              func(b *charge.Setup) string
}

func mass(at func(*charge.Setup) *q.Mass) (func(*charge.Setup, string, q.Unit) error, func(*charge.Setup) string) {
	return func(b *charge.Setup, t string, u q.Unit) (err error) { *at(b), err = q.ParseMassIn(t, u); return },
		func(b *charge.Setup) string { return at(b).String() }
}

func length(at func(*charge.Setup) *q.Length) (func(*charge.Setup, string, q.Unit) error, func(*charge.Setup) string) {
	return func(b *charge.Setup, t string, u q.Unit) (err error) { *at(b), err = q.ParseLengthIn(t, u); return },
		func(b *charge.Setup) string { return at(b).String() }
}

func difference(at func(*charge.Setup) *q.TemperatureDifference) (func(*charge.Setup, string, q.Unit) error, func(*charge.Setup) string) {
	return func(b *charge.Setup, t string, u q.Unit) (err error) {
			*at(b), err = q.ParseTemperatureDifferenceIn(t, u)
			return
		},
		func(b *charge.Setup) string { return at(b).String() }
}

func text(at func(*charge.Setup) *charge.Text) (func(*charge.Setup, string, q.Unit) error, func(*charge.Setup) string) {
	return func(b *charge.Setup, t string, _ q.Unit) error { return at(b).UnmarshalText([]byte(t)) },
		func(b *charge.Setup) string { return strings.Join(strings.Fields(string(*at(b))), " ") }
}

func setupFields() []setupField {
	var fs []setupField
	add := func(f setupField, parse func(*charge.Setup, string, q.Unit) error, show func(*charge.Setup) string) {
		f.parse, f.show = parse, show
		fs = append(fs, f)
	}
	words := func(n int, word func(int) string) func() []string {
		return func() []string {
			out := make([]string, n)
			for i := range out {
				out[i] = say.Words(word(i))
			}
			return out
		}
	}
	choice := func(name, label, hint string, list func() []string, set func(*charge.Setup, []byte) error, get func(*charge.Setup) string) {
		add(setupField{name: name, label: label, hint: hint, choices: list},
			func(b *charge.Setup, t string, _ q.Unit) error {
				return set(b, []byte(strings.ReplaceAll(t, " ", "-")))
			},
			func(b *charge.Setup) string { return say.Words(get(b)) })
	}
	p, v := text(func(b *charge.Setup) *charge.Text { return &b.Refrigerant })
	add(setupField{name: "refrigerant", label: "refrigerant", hint: "as on the data plate"}, p, v)
	p, v = text(func(b *charge.Setup) *charge.Text { return &b.Unit })
	add(setupField{name: "unit", label: "unit", hint: "what you call it"}, p, v)
	add(setupField{name: "capacity", label: "capacity", hint: "", unit: q.System.PowerUnit},
		func(b *charge.Setup, t string, u q.Unit) (err error) {
			b.Capacity, err = q.ParsePowerIn(t, u)
			return
		},
		func(b *charge.Setup) string { return b.Capacity.String() })
	p, v = mass(func(b *charge.Setup) *q.Mass { return &b.NameplateCharge })
	add(setupField{name: "nameplate_charge", label: "data plate charge", hint: "8-4 is 8 lb 4 oz", unit: q.System.CylinderUnit}, p, v)
	choice("device", "metering device", "if seen; else it will be learnt", words(3, func(i int) string { return string(charge.Devices()[i]) }),
		func(b *charge.Setup, t []byte) error { return b.Device.UnmarshalText(t) }, func(b *charge.Setup) string { return string(b.Device) })
	p, v = difference(func(b *charge.Setup) *q.TemperatureDifference { return &b.TargetSubcooling })
	add(setupField{name: "target_subcooling", label: "maker's subcooling", hint: "from the plate or chart", unit: q.System.DifferenceUnit}, p, v)
	p, v = difference(func(b *charge.Setup) *q.TemperatureDifference { return &b.TargetSuperheat })
	add(setupField{name: "target_superheat", label: "maker's superheat", hint: "from the plate or chart", unit: q.System.DifferenceUnit}, p, v)
	p, v = length(func(b *charge.Setup) *q.Length { return &b.Elevation })
	add(setupField{name: "elevation", label: "elevation", hint: "gauges read low up high", unit: q.System.LengthUnit}, p, v)
	choice("application", "cools", "", words(3, func(i int) string { return string(charge.Applications()[i]) }),
		func(b *charge.Setup, t []byte) error { return b.Application.UnmarshalText(t) }, func(b *charge.Setup) string { return string(b.Application) })
	choice("arrangement", "arrangement", "", words(4, func(i int) string { return string(charge.Arrangements()[i]) }),
		func(b *charge.Setup, t []byte) error { return b.Arrangement.UnmarshalText(t) }, func(b *charge.Setup) string { return string(b.Arrangement) })
	p, v = mass(func(b *charge.Setup) *q.Mass { return &b.CylinderStart })
	add(setupField{name: "cylinder_start", label: "cylinder on scale", hint: "before the first ounce", unit: q.System.CylinderUnit}, p, v)
	p, v = text(func(b *charge.Setup) *charge.Text { return &b.CylinderRefrigerant })
	add(setupField{name: "cylinder_refrigerant", label: "cylinder holds", hint: "as its label says"}, p, v)
	p, v = length(func(b *charge.Setup) *q.Length { return &b.LineLength })
	add(setupField{name: "line_length", label: "line set", hint: "one way", unit: q.System.LengthUnit}, p, v)
	p, v = length(func(b *charge.Setup) *q.Length { return &b.FactoryLineLength })
	add(setupField{name: "factory_line_length", label: "line set on plate", hint: "the plate charge covers", unit: q.System.LengthUnit}, p, v)
	p, v = length(func(b *charge.Setup) *q.Length { return &b.LiquidLineOD })
	add(setupField{name: "liquid_line_od", label: "liquid line", hint: "outside, 3/8", unit: q.System.DiameterUnit}, p, v)
	add(setupField{name: "barometer", label: "barometer", hint: "outranks elevation", unit: q.System.BarometerUnit},
		func(b *charge.Setup, t string, u q.Unit) (err error) {
			b.Barometer, err = q.ParsePressureIn(t, u)
			return
		},
		func(b *charge.Setup) string { return b.Barometer.String() })
	p, v = text(func(b *charge.Setup) *charge.Text { return &b.Technician })
	add(setupField{name: "technician", label: "technician", hint: ""}, p, v)
	return fs
}

func newSetup(s *Screen) *setupSheet {
	p := s.desk.Picture()
	t := &setupSheet{old: p.Setup, new: !p.Began()}
	if t.new {
		t.old = s.presets
	}
	f := form.New()
	f.List = true
	for _, sf := range setupFields() {
		fd := form.Field{Name: sf.name, Label: sf.label, Hint: sf.hint, Default: sf.show(&t.old)}
		switch {
		case sf.choices != nil:
			fd.Type, fd.Choices = form.Choice, sf.choices()
			if fd.Default == "" {
				fd.Default = fd.Choices[0]
			}
		case sf.unit == nil:
			fd.Type = form.Free
		default:
			fd.Unit = unitName(sf.unit(s.look.Units))
		}
		if fd.Type != form.Choice && fd.Default != "" && sf.name != "refrigerant" {
			fd.Hint = "- takes it back"
		}
		f.Fields = append(f.Fields, fd)
	}
	t.form = f
	return t
}

func unitName(u q.Unit) string {
	if u == q.PoundOunce {
		return "lb-oz"
	}
	return string(u)
}

func (t *setupSheet) title() string {
	if t.new {
		return "new job"
	}
	return "amend the setup"
}

func (t *setupSheet) key(s *Screen, k tea.KeyMsg) ([]charge.Event, form.Outcome) {
	fd := &t.form.Fields[t.form.At]
	if leaves(k) && (fd.Type != form.Free || t.form.At == 0 && !fd.Typed()) { // no refrigerant begins with x
		return nil, form.Back
	}
	if t.new && t.form.At == 0 && !fd.Typed() && k.Type == tea.KeyEnter {
		t.msg = "Name the refrigerant first, as on the data plate: 410A, R-22, 454B. x leaves."
		return nil, form.Ignored
	}
	if t.form.At == 0 && fd.Typed() && k.Type == tea.KeyEnter && meant(fd.Value()) == nil {
		t.msg = refrigerantWords(fd.Value())
		return nil, form.Ignored
	}
	if out := t.typed(k); out != form.Accept {
		return nil, out
	}
	b := &charge.Setup{}
	if t.new {
		*b = t.old
	}
	typed := 0
	var withdrawn []string
	for _, sf := range setupFields() {
		fd := t.field(sf.name)
		if !fd.Typed() || fd.Value() == "" {
			continue
		}
		if takesBack(fd.Value()) && sf.name != "refrigerant" {
			if sf.show(&t.old) != "" {
				withdrawn = append(withdrawn, sf.name)
			}
			continue
		}
		typed++
		u := q.Unit("")
		if sf.unit != nil {
			u = sf.unit(s.look.Units)
		}
		if err := sf.parse(b, fd.Value(), u); err != nil {
			t.msg = sentence(sf.label + ": " + parseWords(err))
			t.form.Focus(sf.name)
			return nil, form.Ignored
		}
	}
	if r := meant(string(b.Refrigerant)); r != nil {
		b.Refrigerant = charge.Text(r.Name())
	}
	if withdrawn != nil {
		w := &charge.Setup{Withdrawn: charge.Withdrawn(strings.Join(withdrawn, " "))}
		if t.new { // preferences that do not hold for this job: nothing is on record yet
			*b = b.Amended(w)
		} else {
			typed, b.Withdrawn = typed+1, w.Withdrawn
		}
	}
	if typed == 0 {
		if t.new {
			t.msg = "Name the refrigerant first, as on the data plate."
			t.form.Focus("refrigerant")
			return nil, form.Ignored
		}
		return nil, form.Back
	}
	return []charge.Event{s.at(b)}, form.Accept
}

// takesBack reports a dash alone: what was given before holds no longer.
func takesBack(text string) bool {
	switch strings.TrimSpace(text) {
	case "-", "−", "–":
		return true
	}
	return false
}

func (t *setupSheet) field(name string) *form.Field {
	for i := range t.form.Fields {
		if t.form.Fields[i].Name == name {
			return &t.form.Fields[i]
		}
	}
	return &form.Field{}
}

func (t *setupSheet) lines(s *Screen, w, h int) []string {
	th := s.look.Theme
	var foot []string
	mind := func(text string, st func(string) string) {
		for _, l := range part.Wrap(text, w) {
			foot = append(foot, st(l))
		}
	}
	if t.msg != "" {
		mind(t.msg, th.Mind.Render)
	} else if t.form.At == 0 {
		mind(refrigerantWords(t.form.Value("refrigerant")), th.Faint.Render)
	}
	if fd := t.form.Fields[t.form.At]; w < 60 && t.msg == "" && fd.Hint != "" && t.form.At > 0 {
		mind(fd.Label+": "+fd.Hint, th.Faint.Render)
	}
	out := t.form.Lines(w, max(h-len(foot), 3), th)
	return append(out, foot...)
}

// meant is the refrigerant a text stands for: by name, or because only one
// known name has it in it, as "410" has. nil when none or several do.
func meant(typed string) *refrigerants.Refrigerant {
	if strings.TrimSpace(typed) == "" {
		return nil
	}
	if r, err := refrigerants.Lookup(typed); err == nil {
		return r
	}
	if all := containing(typed); len(all) == 1 {
		return all[0]
	}
	return nil
}

func containing(typed string) []*refrigerants.Refrigerant {
	bare := strings.TrimLeft(strings.ToUpper(strings.TrimSpace(typed)), "R- ")
	var out []*refrigerants.Refrigerant
	for _, r := range refrigerants.All() {
		if strings.Contains(strings.ToUpper(r.Name()), bare) {
			out = append(out, r)
		}
	}
	return out
}

// refrigerantWords says what the name typed so far stands for.
func refrigerantWords(typed string) string {
	if r := meant(typed); r != nil {
		t := r.Name() + ", safety group " + r.SafetyGroup()
		switch r.SafetyGroup() {
		case "A2L", "A2", "A3":
			t += ": it burns. Ventilate, no ignition source, rated tools."
		}
		return t
	}
	var names []string
	for _, r := range containing(typed) {
		names = append(names, r.Name())
	}
	switch {
	case typed == "":
		return "Only the refrigerant is needed. Known: " + strings.Join(names, ", ") + "."
	case len(names) == 0:
		return "No such refrigerant is known. Type it as on the data plate: 410A, R-22, 454B."
	default:
		return "Which one: " + strings.Join(names, ", ") + "?"
	}
}

func (t *setupSheet) keys() [][2]string {
	start := "next, or start"
	if !t.new {
		start = "next, or enter"
	}
	return [][2]string{{"enter", start}, {"space", "skip"}, {"x, esc", "leave"}}
}
