package scenario

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"chargehand/charge/plain"
)

// A scenario file is read twice over: first into a tree that remembers on which
// line everything stands, then from the tree into a Scenario. So every
// complaint can name its line and its field.

// Problem is one thing wrong with a scenario file.
type Problem struct {
	Line  int    // from 1
	Field string // "hidden.faults.restriction", "" for the file
	Value string // as written, cut when long
	Why   string // what is wrong and what to do
}

func (p Problem) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "line %d: ", p.Line)
	if p.Field != "" {
		b.WriteString(p.Field)
		if p.Value != "" {
			fmt.Fprintf(&b, " %q", p.Value)
		}
		b.WriteString(": ")
	}
	b.WriteString(p.Why)
	return b.String()
}

// Problems is everything found wrong with one file, in order of its lines.
type Problems []Problem

func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.Error()
	}
	return strings.Join(lines, "\n")
}

const (
	maxFile  = 256 << 10
	maxDepth = 12
	maxNodes = 5000
)

// node is one JSON value with its line.
type node struct {
	line   int
	path   string // of clipped names, fit for a message
	kind   string // "object", "list", "text", "number", "true or false", "null"
	text   string
	num    float64
	flag   bool
	fields []member
	items  []*node
}

type member struct {
	name string
	line int
	at   *node
}

// treeReader walks the tokens of one file.
type treeReader struct {
	data  []byte
	dec   *json.Decoder
	nodes int
}

// parseTree reads the file's bytes. The mark that some editors put in front of
// UTF-8 is passed over.
func parseTree(data []byte) (*node, error) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	switch {
	case len(data) > maxFile:
		return nil, Problems{{Line: 1, Why: fmt.Sprintf("the file is larger than %d kB: shorten it", maxFile>>10)}}
	case !utf8.Valid(data):
		return nil, Problems{{Line: 1, Why: "the file is not UTF-8 text: save it as UTF-8"}}
	case len(bytes.TrimSpace(data)) == 0:
		return nil, Problems{{Line: 1, Why: "the file is empty: write one JSON object"}}
	}
	r := &treeReader{data: data, dec: json.NewDecoder(bytes.NewReader(data))}
	r.dec.UseNumber()
	n, err := r.value("", 0)
	if err != nil {
		return nil, err
	}
	if _, err := r.dec.Token(); err != io.EOF {
		return nil, Problems{{Line: r.line(), Why: "there is something after the JSON object: take it away"}}
	}
	return n, nil
}

// line is where the decoder stands.
func (r *treeReader) line() int {
	at := min(int(r.dec.InputOffset()), len(r.data))
	return 1 + bytes.Count(r.data[:at], []byte{'\n'})
}

func (r *treeReader) broken(err error) error {
	line := r.line()
	var s *json.SyntaxError
	if errors.As(err, &s) {
		line = 1 + bytes.Count(r.data[:min(max(int(s.Offset)-1, 0), len(r.data))], []byte{'\n'})
	}
	why := "the JSON breaks off: a bracket or quotation mark is not closed"
	if s != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
		why = "not valid JSON (" + s.Error() + "): look for a missing comma or quotation mark"
	}
	return Problems{{Line: line, Why: why}}
}

func (r *treeReader) value(path string, depth int) (*node, error) {
	if r.nodes++; depth > maxDepth || r.nodes > maxNodes {
		return nil, Problems{{Line: r.line(), Field: path, Why: "nested too deeply or too long for a scenario"}}
	}
	tok, err := r.dec.Token()
	if err != nil {
		return nil, r.broken(err)
	}
	n := &node{line: r.line(), path: path}
	switch v := tok.(type) {
	case json.Delim:
		if v == '{' {
			n.kind = "object"
			return n, r.object(n, depth)
		}
		n.kind = "list"
		for i := 0; r.dec.More(); i++ {
			item, err := r.value(path+"["+strconv.Itoa(i)+"]", depth+1)
			if err != nil {
				return nil, err
			}
			n.items = append(n.items, item)
		}
		if _, err := r.dec.Token(); err != nil {
			return nil, r.broken(err)
		}
	case string:
		n.kind, n.text = "text", v
	case json.Number:
		n.kind, n.text = "number", v.String()
		if n.num, err = v.Float64(); err != nil {
			return nil, Problems{{Line: n.line, Field: path, Value: clip(n.text), Why: "is not a number that can be used"}}
		}
	case bool:
		n.kind, n.flag = "true or false", v
	default:
		n.kind = "null"
	}
	return n, nil
}

func (r *treeReader) object(n *node, depth int) error {
	seen := map[string]bool{}
	for r.dec.More() {
		tok, err := r.dec.Token()
		if err != nil {
			return r.broken(err)
		}
		name, _ := tok.(string)
		line := r.line()
		path := clip(name)
		if n.path != "" {
			path = n.path + "." + path
		}
		if seen[name] {
			return Problems{{Line: line, Field: path, Why: "is given twice: keep one"}}
		}
		seen[name] = true
		at, err := r.value(path, depth+1)
		if err != nil {
			return err
		}
		n.fields = append(n.fields, member{name, line, at})
	}
	if _, err := r.dec.Token(); err != nil {
		return r.broken(err)
	}
	return nil
}

// clip is a text of the file as a message may quote it.
func clip(s string) string { return plain.Clip(s, 60) }
