package journal

import (
	"errors"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"syscall"
	"time"
)

// memory is a disk in memory that keeps apart what a program sees from what
// would survive a power cut, and that can fail on demand.
//
// It promises no more than POSIX does: of writes and truncations not yet synced, any
// part may be on the disk, block by block, in any order, with zeros in the holes; a name
// is there for sure only after a sync of its folder.
type memory struct {
	names   map[string]*inode // as seen by programs
	durable map[string]*inode // as on the disk
	locked  map[string]bool

	ops    int                             // operations so far that change something
	before func(op int, what string) error // a failure to inject, nil for none
	room   int                             // bytes that still fit, < 0: no limit
	rng    *rand.Rand
	block  int
}

type inode struct {
	seen    []byte
	safe    []byte
	pending []change // since the last sync
}

type change struct {
	off  int64 // of data; or the new size of a truncation
	data []byte
	cut  bool
}

func newMemory() *memory {
	return &memory{names: map[string]*inode{}, durable: map[string]*inode{}, locked: map[string]bool{}, room: -1,
		rng: rand.New(rand.NewPCG(1, 2)), block: 16}
}

// op counts an operation and lets a test make it fail. powerCut is thrown by before.
func (m *memory) op(what string) error {
	m.ops++
	if m.before != nil {
		return m.before(m.ops, what)
	}
	return nil
}

var errPower = errors.New("power cut")

// cutPower gives the disk as it may be after power comes back.
func (m *memory) cutPower() *memory {
	n := newMemory()
	n.rng, n.block = m.rng, m.block
	after := map[*inode]*inode{}
	survive := func(i *inode) *inode {
		if after[i] == nil {
			b := m.settle(i)
			after[i] = &inode{seen: b, safe: append([]byte(nil), b...)}
		}
		return after[i]
	}
	for name, i := range m.durable {
		n.names[name] = survive(i)
	}
	for name, i := range m.names {
		if n.names[name] == nil && m.durable[name] == nil && m.rng.IntN(2) == 0 {
			n.names[name] = survive(i)
		}
	}
	for name, i := range n.names {
		n.durable[name] = i
	}
	return n
}

// settle applies a part of the pending changes to the safe content.
func (m *memory) settle(i *inode) []byte {
	b := append([]byte(nil), i.safe...)
	for _, c := range i.pending {
		switch m.rng.IntN(4) {
		case 0: // not at all
		case 1: // whole
			b = c.apply(b)
		case 2: // the beginning
			if !c.cut {
				b = change{off: c.off, data: c.data[:m.rng.IntN(len(c.data)+1)]}.apply(b)
			}
		case 3: // the size first, then some of the blocks
			if c.cut {
				b = c.apply(b)
				continue
			}
			end := int(c.off) + len(c.data)
			if len(b) < end {
				b = append(b, make([]byte, end-len(b))...)
			}
			for at := 0; at < len(c.data); {
				// Blocks are aligned on the disk, not with the write.
				next := min(len(c.data), at+m.block-(int(c.off)+at)%m.block)
				if m.rng.IntN(2) == 0 {
					copy(b[int(c.off)+at:], c.data[at:next])
				}
				at = next
			}
		}
	}
	return b
}

func (c change) apply(b []byte) []byte {
	if c.cut {
		if int(c.off) <= len(b) {
			return b[:c.off]
		}
		return append(b, make([]byte, int(c.off)-len(b))...)
	}
	if end := int(c.off) + len(c.data); len(b) < end {
		b = append(b, make([]byte, end-len(b))...)
	}
	copy(b[c.off:], c.data)
	return b
}

type memInfo struct {
	name string
	i    *inode
}

func (f memInfo) Name() string     { return f.name }
func (f memInfo) Size() int64      { return int64(len(f.i.seen)) }
func (memInfo) Mode() fs.FileMode  { return 0o600 }
func (memInfo) ModTime() time.Time { return time.Time{} }
func (memInfo) IsDir() bool        { return false }
func (f memInfo) Sys() any         { return f.i }

func (m *memory) Lstat(name string) (fs.FileInfo, error) {
	if filepath.Ext(name) == "" { // folders need no more than to be there
		return memInfo{name, &inode{}}, nil
	}
	if i := m.names[name]; i != nil {
		return memInfo{name, i}, nil
	}
	return nil, fs.ErrNotExist
}

func (m *memory) SameFile(a, b fs.FileInfo) bool            { return a.Sys() == b.Sys() }
func (m *memory) MkdirAll(path string, _ fs.FileMode) error { return m.op("mkdir") }

func (m *memory) OpenFile(name string, flag int, _ fs.FileMode) (file, error) {
	i := m.names[name]
	switch {
	case i == nil && flag&os.O_CREATE == 0:
		return nil, fs.ErrNotExist
	case i != nil && flag&os.O_EXCL != 0:
		return nil, fs.ErrExist
	case i == nil:
		if err := m.op("create"); err != nil {
			return nil, err
		}
		i = &inode{}
		m.names[name] = i
	}
	return &memFile{m, i, name}, nil
}

func (m *memory) SyncDir(dir string) error {
	if err := m.op("sync folder"); err != nil {
		return err
	}
	for name, i := range m.names {
		if filepath.Dir(name) == dir {
			m.durable[name] = i
		}
	}
	for name := range m.durable {
		if filepath.Dir(name) == dir && m.names[name] == nil {
			delete(m.durable, name)
		}
	}
	return nil
}

func (m *memory) Lock(name string) (func() error, error) {
	if m.locked[name] {
		return nil, ErrLocked
	}
	m.locked[name] = true
	return func() error { delete(m.locked, name); return nil }, nil
}

type memFile struct {
	m    *memory
	i    *inode
	name string
}

func (f *memFile) Stat() (fs.FileInfo, error) { return memInfo{f.name, f.i}, nil }
func (f *memFile) Close() error               { return nil }

func (f *memFile) ReadAt(p []byte, off int64) (int, error) {
	if off >= int64(len(f.i.seen)) {
		return 0, io.EOF
	}
	n := copy(p, f.i.seen[off:])
	if n < len(p) {
		return n, io.EOF
	}
	return n, nil
}

func (f *memFile) change(c change) {
	f.i.seen = c.apply(f.i.seen)
	c.data = append([]byte(nil), c.data...)
	f.i.pending = append(f.i.pending, c)
}

func (f *memFile) WriteAt(p []byte, off int64) (int, error) {
	err := f.m.op("write")
	if errors.Is(err, errPower) {
		f.change(change{off: off, data: p}) // in any part
		panic(errPower)
	}
	if err != nil {
		n := f.m.rng.IntN(len(p) + 1)
		f.change(change{off: off, data: p[:n]})
		return n, err
	}
	if f.m.room >= 0 {
		if grows := int(off) + len(p) - len(f.i.seen); grows > f.m.room {
			n := max(0, len(p)-(grows-f.m.room))
			f.m.room = 0
			f.change(change{off: off, data: p[:n]})
			return n, syscall.ENOSPC
		} else if grows > 0 {
			f.m.room -= grows
		}
	}
	f.change(change{off: off, data: p})
	return len(p), nil
}

func (f *memFile) Truncate(size int64) error {
	err := f.m.op("truncate")
	if errors.Is(err, errPower) {
		f.change(change{off: size, cut: true})
		panic(errPower)
	}
	if err != nil {
		return err
	}
	if f.m.room >= 0 {
		f.m.room += max(0, len(f.i.seen)-int(size))
	}
	f.change(change{off: size, cut: true})
	return nil
}

func (f *memFile) Sync() error {
	if err := f.m.op("sync"); err != nil {
		if errors.Is(err, errPower) {
			panic(errPower)
		}
		// A failed sync may have written any part, and the rest will not be
		// tried again by the next one.
		f.i.safe = f.m.settle(f.i)
		f.i.pending = nil
		return err
	}
	// What an earlier failed sync dropped stays dropped: only changes since.
	for _, c := range f.i.pending {
		f.i.safe = c.apply(f.i.safe)
	}
	f.i.pending = nil
	return nil
}
