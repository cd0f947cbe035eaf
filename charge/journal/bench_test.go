package journal

import (
	"path/filepath"
	"testing"
)

func BenchmarkAppend(b *testing.B) {
	j, _, err := Open(filepath.Join(b.TempDir(), "j"))
	if err != nil {
		b.Fatal(err)
	}
	defer j.Close()
	fill(b, j, 1)
	e := nth(b, 4)
	for b.Loop() {
		if _, err := j.Append(e); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkVerify20(b *testing.B) {
	_, data := write(b, 20)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, r := Verify(data); !r.Intact() {
			b.Fatal(r)
		}
	}
}
