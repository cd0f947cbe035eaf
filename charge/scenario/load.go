package scenario

import (
	"fmt"
	"regexp"
	"slices"
	"sort"
	"strings"

	"chargehand/charge"
)

// Parse reads a scenario file. The error is Problems: everything found wrong,
// each with its line and field.
func Parse(data []byte) (*Scenario, error) {
	tree, err := parseTree(data)
	if err != nil {
		return nil, err
	}
	r := &reader{}
	s := r.scenario(tree)
	if len(r.problems) > 0 {
		sort.SliceStable(r.problems, func(i, j int) bool { return r.problems[i].Line < r.problems[j].Line })
		return nil, r.problems
	}
	return s, nil
}

// reader takes a Scenario out of a tree and gathers what is wrong.
type reader struct{ problems Problems }

func (r *reader) say(n *node, value, format string, args ...any) {
	r.problems = append(r.problems, Problem{Line: n.line, Field: n.path, Value: clip(value), Why: fmt.Sprintf(format, args...)})
}

// object is a node's fields; unknown ones are refused when done is called.
type object struct {
	r    *reader
	at   *node
	used map[string]bool
}

func (r *reader) object(n *node) *object {
	o := &object{r: r, at: n, used: map[string]bool{}}
	if n.kind != "object" {
		r.say(n, n.text, "is a %s: write an object between { and }", n.kind)
	}
	return o
}

// get is the field, nil when absent.
func (o *object) get(name string) *node {
	o.used[name] = true
	for _, m := range o.at.fields {
		if m.name == name && m.at.kind != "null" {
			return m.at
		}
	}
	return nil
}

func (o *object) need(name string) *node {
	n := o.get(name)
	if n == nil {
		o.r.problems = append(o.r.problems, Problem{Line: o.at.line, Field: join(o.at.path, name), Why: "is missing"})
	}
	return n
}

// done refuses fields nobody asked for: a misspelt one would be lost in silence.
func (o *object) done() {
	known := make([]string, 0, len(o.used))
	for k := range o.used {
		known = append(known, k)
	}
	slices.Sort(known)
	for _, m := range o.at.fields {
		if !o.used[m.name] {
			o.r.problems = append(o.r.problems, Problem{Line: m.line, Field: clip(join(o.at.path, m.name)),
				Why: "is not a field of a scenario here: use one of " + strings.Join(known, ", ")})
		}
	}
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

const maxWords = 4000

// words is a text without control characters.
func (r *reader) words(n *node) string {
	if n == nil {
		return ""
	}
	var t charge.Text
	if n.kind != "text" {
		r.say(n, n.text, "is a %s: write text between quotation marks", n.kind)
	} else if len(n.text) > maxWords {
		r.say(n, "", "is longer than %d characters: shorten it", maxWords)
	} else if err := t.UnmarshalText([]byte(n.text)); err != nil {
		r.say(n, n.text, "%s", err)
	} else if t == "" {
		r.say(n, "", "is empty")
	}
	return string(t)
}

func (r *reader) list(n *node, most int) []*node {
	if n == nil {
		return nil
	}
	if n.kind != "list" {
		r.say(n, n.text, "is a %s: write a list between [ and ]", n.kind)
		return nil
	}
	if len(n.items) > most {
		r.say(n, "", "has more than %d entries", most)
		return nil
	}
	return n.items
}

// number is a plain number between two limits; def when absent.
func (r *reader) number(n *node, low, high, def float64) float64 {
	if n == nil {
		return def
	}
	if n.kind != "number" {
		r.say(n, n.text, "is a %s: write a plain number, %g to %g", n.kind, low, high)
		return def
	}
	if !(n.num >= low && n.num <= high) {
		r.say(n, n.text, "is out of range: %g to %g", low, high)
		return def
	}
	return n.num
}

// quantity reads a text with a unit; the zero value when absent.
func quantity[T any, P interface {
	*T
	UnmarshalText([]byte) error
}](r *reader, n *node) (v T) {
	if n == nil {
		return v
	}
	if n.kind != "text" {
		r.say(n, n.text, `is a %s: write it as text with its unit, like "88 °F" or "8 oz"`, n.kind)
		return v
	}
	if err := P(&v).UnmarshalText([]byte(n.text)); err != nil {
		r.say(n, n.text, "%s", err)
	}
	return v
}

// word is one of a list.
func (r *reader) word(n *node, of ...string) string {
	if n == nil {
		return ""
	}
	if n.kind != "text" || !slices.Contains(of, n.text) {
		r.say(n, n.text, "use one of %s", strings.Join(of, ", "))
		return ""
	}
	return n.text
}

var nameForm = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

func (r *reader) name(n *node) string {
	if n == nil {
		return ""
	}
	if n.kind != "text" || len(n.text) > 60 || !nameForm.MatchString(n.text) {
		r.say(n, n.text, `is no name: use small letters, digits and hyphens, like "dirty-condenser"`)
		return ""
	}
	return n.text
}
