package journal

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
)

// Report says what was found in a journal and what was done about it.
type Report struct {
	Path  string
	Lines int    // lines that verify
	Bytes int64  // their length: where the chain ends
	Head  string // SHA-256 of the last of them, hex; 64 zeros if there is none

	Torn      int    // bytes after the chain that are an unfinished write
	SavedAs   string // where Open copied them before cutting them off
	Completed bool   // the last line lacked only its line feed; Open added it

	Damage *DamageError // where the chain breaks, nil if it does not
	After  int          // lines from there on that prove nothing

	Unknown []string // fields this version does not know, with their line
}

// Intact reports that the file was whole: nothing torn, nothing broken.
func (r *Report) Intact() bool { return r.Torn == 0 && !r.Completed && r.Damage == nil }

// String is the report for people, one finding a line.
func (r *Report) String() string {
	var b strings.Builder
	head := r.Head
	if len(head) > 16 {
		head = head[:16]
	}
	fmt.Fprintf(&b, "%d events verified, the chain ends at byte %d with %s", r.Lines, r.Bytes, head)
	switch {
	case r.SavedAs != "":
		fmt.Fprintf(&b, "\nthe last write was cut short: %d bytes that were never acknowledged were moved to %q", r.Torn, r.SavedAs)
	case r.Torn > 0:
		fmt.Fprintf(&b, "\nthe last write is unfinished: %d bytes after the chain were never acknowledged", r.Torn)
	case r.Completed:
		b.WriteString("\nthe last line was whole but lacked its line feed")
	}
	if r.Damage != nil {
		fmt.Fprintf(&b, "\nthe chain breaks at line %d (byte %d): %s; from there on %d lines prove nothing",
			r.Damage.Line, r.Damage.Offset, r.Damage.Why, r.After)
	}
	for _, u := range r.Unknown {
		b.WriteString("\n" + u)
	}
	return b.String()
}

// Read verifies the journal at path without locking or changing it and gives
// the lines up to where the chain ends. Damage is in the report, not an
// error: an error means that the file could not be read at all.
func Read(path string) ([]Line, *Report, error) { return read(disk{}, path) }

func read(fsys filesystem, path string) ([]Line, *Report, error) {
	fi, err := look(fsys, path)
	if err != nil {
		return nil, nil, err
	}
	if fi == nil {
		return nil, nil, fmt.Errorf("journal %q: %w", path, fs.ErrNotExist)
	}
	f, err := openPlain(fsys, path, os.O_RDONLY, fi)
	if err != nil {
		return nil, nil, err
	}
	data, err := readAll(f)
	if err = errors.Join(err, f.Close()); err != nil {
		return nil, nil, fmt.Errorf("journal %q: %w", path, err)
	}
	lines, report := Verify(data)
	report.setPath(path)
	return lines, report, nil
}

func (r *Report) setPath(path string) {
	r.Path = path
	if r.Damage != nil {
		r.Damage.Path = path
	}
}

// Verify reads the bytes of a journal. The lines share memory with data.
func Verify(data []byte) ([]Line, *Report) {
	r := &Report{Head: zeros}
	var lines []Line
	for rest := data; len(rest) > 0; rest = data[r.Bytes:] {
		end := bytes.IndexByte(rest, '\n')
		closed := end >= 0
		last := end == len(rest)-1 || !closed
		if !closed {
			end = len(rest)
		}
		raw := rest[:end:end]
		if last && tornWrite(raw, r.Lines+1, closed) {
			r.Torn = len(rest)
			break
		}
		line, err := decode(raw, r.Lines+1, r.Head)
		if err != nil {
			r.Damage = &DamageError{Line: r.Lines + 1, Offset: r.Bytes, Why: err.Error() + resaved(data, raw)}
			r.After = bytes.Count(rest, []byte{'\n'})
			if rest[len(rest)-1] != '\n' {
				r.After++
			}
			break
		}
		lines = append(lines, line)
		for _, x := range line.Event.Extra {
			r.Unknown = append(r.Unknown, fmt.Sprintf("line %d: field %.60q is not known to this version; it is kept", line.N, x.Name))
		}
		r.Lines++
		r.Head = hash(raw)
		r.Bytes += int64(end)
		if !closed {
			r.Completed = true
			break
		}
		r.Bytes++
	}
	return lines, r
}

// resaved says when an editor or a transfer left its mark in a file that does not
// verify. Such a journal is damaged all the same: its bytes are not those written.
func resaved(data, raw []byte) string {
	switch {
	case bytes.HasPrefix(data, []byte("\ufeff")):
		return "; the file begins with a byte order mark, so an editor saved it anew: bring back the original"
	case bytes.HasSuffix(raw, []byte{'\r'}):
		return "; its lines end in CR LF, so an editor or a transfer changed them: bring back the original, or copy it as a binary file"
	}
	return ""
}

// longest is more than any line we write can have.
const longest = 128 << 10

// tornWrite tells a write that was cut short from damage. What is left of such
// a write is its beginning, which is never whole JSON, or, where the file grew
// before its blocks were written, has NUL bytes in it, which JSON never has.
func tornWrite(raw []byte, n int, closed bool) bool {
	nul := bytes.IndexByte(raw, 0)
	if len(raw) > longest || closed && nul < 0 || !closed && nul < 0 && json.Valid(raw) {
		return false
	}
	if n > 1 {
		return true // the lines before prove that the file is ours
	}
	// Nothing proves that yet. Somebody's film must not be cut: only what is our
	// first line with holes in it is a torn one.
	for i, c := range raw {
		if c != 0 && (i < len(opening) && c != opening[i] || c < ' ') {
			return false
		}
	}
	return true
}
