package charge

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strconv"
	"time"
	"unicode/utf16"
	"unicode/utf8"

	q "chargehand/charge/quantity"
)

// AppendAnswer writes the advice as the feed's one line of JSON, without its
// line feed. Numbers carry the unit in their name: _F and _oz, or _C, _K and _g
// in SI, pressures and ratios likewise; a number not known is left out.
func AppendAnswer(dst []byte, a *Advice, units q.System) []byte {
	w := writer{b: dst, si: units == q.SI}
	w.open("")
	w.text("kind", "advice")
	w.integer("n", a.N)
	w.text("at", a.At.Format(time.RFC3339Nano))
	w.text("of", string(a.Kind))
	d := &a.Derived
	w.difference("superheat", d.SuperheatK)
	w.difference("subcooling", d.SubcoolingK)
	w.temperature("evaporating", d.EvaporatingK)
	w.temperature("condensing", d.CondensingK)
	w.difference("split", d.SplitK)
	w.difference("condensing_over_outdoor", d.OverOutdoorK)
	w.difference("return_over_evaporating", d.ReturnOverEvapK)
	w.difference("approach", d.ApproachK)
	w.difference("drop_leg_subcooling", d.DropLegSubcoolingK)
	w.number("compression_ratio", d.CompressionRatio, 2)
	w.temperature("return_wet_bulb", d.ReturnWetK)
	if d.N > 0 {
		w.integer("reading_n", d.N)
		w.boolean("settled", d.Settled)
	}
	w.open("belief")
	w.number("fixed_orifice", a.Belief.FixedOrifice, 4)
	w.number("expansion_valve", a.Belief.ExpansionValve, 4)
	w.text("verdict", string(a.Belief.Verdict))
	w.boolean("stated", a.Belief.Stated)
	w.close()
	w.target("target", a.Target)
	w.target("if_orifice", a.IfOrifice)
	w.target("if_valve", a.IfValve)
	w.text("action", string(a.Action))
	w.boolean("done", a.Done)
	w.mass("amount", a.AmountKg)
	w.number("wait_min", a.Wait.Minutes(), 1)
	if !a.WaitUntil.IsZero() {
		w.text("wait_until", a.WaitUntil.Format(time.RFC3339Nano))
	}
	w.bands("forecast", a.Forecast.Both)
	w.bands("forecast_if_orifice", a.Forecast.IfOrifice)
	w.bands("forecast_if_valve", a.Forecast.IfValve)
	w.mass("total", a.TotalKg)
	w.mass("added", a.AddedKg)
	w.mass("recovered", a.RecoveredKg)
	w.list("stops", len(a.Stops), func(i int) {
		w.text("rule", a.Stops[i].Rule)
		w.text("says", a.Stops[i].Says)
	})
	w.list("gates", len(a.Gates), func(i int) {
		w.text("gate", a.Gates[i].Name)
		w.text("asks", a.Gates[i].Asks)
	})
	w.texts("needs", a.Needs)
	w.list("causes", len(a.Causes), func(i int) {
		c := &a.Causes[i]
		w.text("cause", c.Name)
		w.number("p", c.P, 3)
		w.text("evidence", c.Evidence)
		w.text("look", c.Look)
	})
	w.list("doubts", len(a.Doubts), func(i int) {
		x := &a.Doubts[i]
		w.text("field", x.Field)
		w.text("value", x.Value)
		w.text("why", x.Why)
		w.boolean("grave", x.Grave)
	})
	w.list("rules", len(a.Rules), func(i int) { w.rule(&a.Rules[i]) })
	w.texts("cautions", a.Cautions)
	w.texts("why", a.Why)
	w.boolean("closed", a.Closed)
	w.close()
	return w.b
}

// AppendRefusal writes a refused line of the feed as JSON, without its line
// feed. line counts the lines read, from 1.
func AppendRefusal(dst []byte, line int, err error) []byte {
	w := writer{b: dst}
	w.open("")
	w.text("kind", "refused")
	w.integer("line", line)
	var r *Refusal
	if errors.As(err, &r) {
		w.text("field", r.Field)
		if r.Value != "" {
			w.text("value", r.Value)
		}
		w.text("why", r.Why)
	} else {
		w.text("field", "")
		w.text("why", err.Error())
	}
	w.close()
	return w.b
}

// writer appends JSON members to b.
type writer struct {
	b  []byte
	si bool
}

func (w *writer) name(name string) {
	if n := len(w.b); n > 0 && w.b[n-1] != '{' && w.b[n-1] != '[' {
		w.b = append(w.b, ',')
	}
	if name != "" {
		w.b = append(append(append(w.b, '"'), name...), '"', ':')
	}
}

func (w *writer) open(name string) {
	if name == "" {
		w.b = append(w.b, '{')
		return
	}
	w.name(name)
	w.b = append(w.b, '{')
}

func (w *writer) close() { w.b = append(w.b, '}') }

func (w *writer) text(name, s string) {
	w.name(name)
	w.quote(s)
}

func (w *writer) quote(s string) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	_ = enc.Encode(s) // a string always encodes
	text := bytes.TrimSuffix(b.Bytes(), []byte("\n"))
	if bytes.IndexFunc(text, unprintable) < 0 {
		w.b = append(w.b, text...)
		return
	}
	// What was refused is shown as it was sent, but must not steer a terminal
	// that shows the answer: encoding/json leaves DEL, C1 and the like as they are.
	for _, r := range string(text) {
		switch {
		case !unprintable(r):
			w.b = utf8.AppendRune(w.b, r)
		case r > 0xffff:
			hi, lo := utf16.EncodeRune(r)
			w.b = fmt.Appendf(w.b, `\u%04x\u%04x`, hi, lo)
		default:
			w.b = fmt.Appendf(w.b, `\u%04x`, r)
		}
	}
}

func (w *writer) texts(name string, list []string) {
	w.name(name)
	w.b = append(w.b, '[')
	for i, s := range list {
		if i > 0 {
			w.b = append(w.b, ',')
		}
		w.quote(s)
	}
	w.b = append(w.b, ']')
}

func (w *writer) list(name string, n int, member func(int)) {
	w.name(name)
	w.b = append(w.b, '[')
	for i := range n {
		if i > 0 {
			w.b = append(w.b, ',')
		}
		w.b = append(w.b, '{')
		member(i)
		w.b = append(w.b, '}')
	}
	w.b = append(w.b, ']')
}

func (w *writer) boolean(name string, x bool) {
	w.name(name)
	w.b = strconv.AppendBool(w.b, x)
}

func (w *writer) integer(name string, n int) {
	w.name(name)
	w.b = strconv.AppendInt(w.b, int64(n), 10)
}

// number leaves out what is not known.
func (w *writer) number(name string, x float64, decimals int) {
	if !given(x) {
		return
	}
	w.name(name)
	w.figure(x, decimals)
}

func (w *writer) figure(x float64, decimals int) {
	p := math.Pow10(decimals)
	x = math.Round(x*p) / p
	w.b = strconv.AppendFloat(w.b, x+0, 'f', -1, 64)
}

func (w *writer) difference(name string, k float64) {
	if w.si {
		w.number(name+"_K", k, 2)
	} else {
		w.number(name+"_F", k/perF, 2)
	}
}

func (w *writer) temperature(name string, k float64) {
	if w.si {
		w.number(name+"_C", k-273.15, 2)
	} else {
		w.number(name+"_F", (k-zeroF)/perF, 2)
	}
}

func (w *writer) mass(name string, kg float64) {
	if w.si {
		w.number(name+"_g", kg*1e3, 1)
	} else {
		w.number(name+"_oz", kg/kgPerOz, 2)
	}
}

func (w *writer) target(name string, t Target) {
	if t.Of == "" {
		return
	}
	w.open(name)
	w.text("of", string(t.Of))
	if t.Defined {
		put := w.difference
		if t.Of == OfWeight {
			put = w.mass
		}
		put("low", t.Low)
		put("mid", t.Mid)
		put("high", t.High)
	}
	w.boolean("defined", t.Defined)
	w.text("source", t.Source)
	if t.Says != "" {
		w.text("says", t.Says)
	}
	w.close()
}

// bands are left out whole while nothing is known.
func (w *writer) bands(name string, b Bands) {
	if !given(b.Superheat[1]) && !given(b.Subcooling[1]) {
		return
	}
	w.open(name)
	suffix, per := "_F", perF
	if w.si {
		suffix, per = "_K", 1.0
	}
	for _, x := range []struct {
		name string
		v    [3]float64
	}{{"superheat", b.Superheat}, {"subcooling", b.Subcooling}} {
		if !given(x.v[0]) || !given(x.v[1]) || !given(x.v[2]) {
			continue
		}
		w.name(x.name + suffix)
		w.b = append(w.b, '[')
		for i, k := range x.v {
			if i > 0 {
				w.b = append(w.b, ',')
			}
			w.figure(k/per, 2)
		}
		w.b = append(w.b, ']')
	}
	w.close()
}

// rule writes limit, present value and room in the rule's own unit.
func (w *writer) rule(r *Rule) {
	w.text("rule", r.Name)
	w.text("title", r.Title)
	w.text("strength", string(r.Strength))
	switch r.Unit {
	case "K":
		w.difference("limit", r.Limit)
		w.difference("now", r.Now)
		w.difference("room", r.Room)
	case "temperature":
		w.temperature("limit", r.Limit)
		w.temperature("now", r.Now)
		w.difference("room", r.Room)
	case "kg":
		w.mass("limit", r.Limit)
		w.mass("now", r.Now)
		w.mass("room", r.Room)
	case "minutes":
		w.number("limit_min", r.Limit, 0)
		w.number("now_min", r.Now, 0)
		w.number("room_min", r.Room, 0)
	default:
		w.number("limit", r.Limit, 2)
		w.number("now", r.Now, 2)
		w.number("room", r.Room, 2)
	}
	w.text("source", r.Source)
	w.boolean("fired", r.Fired)
	w.boolean("set_aside", r.SetAside)
}
