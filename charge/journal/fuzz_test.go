package journal

import (
	"bytes"
	"testing"

	"chargehand/charge"
)

// Any bytes as a file: no panic; what verifies is a chain that really is one;
// a whole file and its report agree.
func FuzzVerify(f *testing.F) {
	_, data := write(f, 4)
	f.Add(data)
	f.Add(data[:len(data)-20])
	f.Add(append(bytes.Clone(data), make([]byte, 30)...))
	f.Add([]byte(opening))
	f.Add([]byte("{}\n{}\n"))
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, data []byte) {
		lines, r := Verify(data)
		if len(lines) != r.Lines || r.Bytes > int64(len(data)) {
			t.Fatal("the report miscounts")
		}
		if r.Intact() && r.Bytes != int64(len(data)) {
			t.Fatal("intact, but not all of it")
		}
		_ = r.String()
		prev, at := zeros, 0
		for i, l := range lines {
			if l.N != i+1 || !bytes.HasPrefix(data[at:], l.Raw) || !bytes.Contains(l.Raw, []byte(prev)) {
				t.Fatalf("line %d does not follow", i+1)
			}
			at += len(l.Raw) + 1
			prev = hash(l.Raw)
		}
		if r.Head != prev {
			t.Fatal("wrong head")
		}
	})
}

// Any event that can be read can be written, or is refused; what is written
// reads back with the same content.
func FuzzAppend(f *testing.F) {
	f.Add([]byte(`{"kind":"note","at":"2026-06-01T08:00:00Z","text":"x","more":{"a":[1,2]}}`))
	f.Add([]byte(`{"kind":"reading","at":"2026-06-01T08:00:00.5+02:00","suction_pressure":"118psig","suction_line":"58 ºF","Prev":"x"}`))
	f.Add([]byte(`{"kind":"weighed","at":"2026-06-01T08:00:00Z","amount":"-1 lb 4 oz","n":12}`))
	f.Fuzz(func(t *testing.T, line []byte) {
		e, err := charge.ParseEvent(line)
		if err != nil {
			return
		}
		l, err := encode(e, 2, zeros)
		if err != nil {
			return
		}
		if bytes.IndexByte(l.Raw, '\n') >= 0 {
			t.Fatalf("a line feed in %q", l.Raw)
		}
		back, err := decode(l.Raw, 2, zeros)
		if err != nil {
			t.Fatal(err)
		}
		again, err := encode(back.Event, 2, zeros)
		if err != nil || !bytes.Equal(again.Raw, l.Raw) {
			t.Fatalf("%q is written again as %q (%v)", l.Raw, again.Raw, err)
		}
	})
}
