// Command benchcheck compares two files of benchmark output and fails when a
// benchmark got slower beyond noise: its fastest new run is slower than the
// slowest old one by more than a tenth, or it allocates more. One that is gone
// fails too: record a new baseline where that was meant.
//
//	benchcheck OLD NEW
package main

import (
	"bufio"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// slack is what machines of one kind differ by between days.
const slack = 1.10

// processors is what the testing package adds to a name.
var processors = regexp.MustCompile(`-\d+$`)

type runs struct{ ns, allocs []float64 }

func main() {
	if len(os.Args) != 3 {
		fmt.Fprintln(os.Stderr, "benchcheck: give the old and the new file")
		os.Exit(2)
	}
	old, now := read(os.Args[1]), read(os.Args[2])
	names := make([]string, 0, len(now))
	for name := range now {
		names = append(names, name)
	}
	slices.Sort(names)
	slower := 0
	for _, name := range names {
		b, n := old[name], now[name]
		if b == nil {
			fmt.Printf("new     %s\n", name)
			continue
		}
		switch {
		case slices.Min(n.ns) > slack*slices.Max(b.ns):
			fmt.Printf("SLOWER  %s: %.4g ns, was %.4g\n", name, slices.Min(n.ns), slices.Max(b.ns))
			slower++
		case len(n.allocs) > 0 && len(b.allocs) > 0 && slices.Min(n.allocs) > slack*slices.Max(b.allocs):
			fmt.Printf("ALLOCS  %s: %.0f, were %.0f\n", name, slices.Min(n.allocs), slices.Max(b.allocs))
			slower++
		}
	}
	for name := range old {
		if now[name] == nil {
			fmt.Printf("GONE    %s\n", name)
			slower++
		}
	}
	fmt.Printf("%d benchmarks compared, %d worse\n", len(names), slower)
	if slower > 0 {
		os.Exit(1)
	}
}

// read collects the runs of each benchmark, by package and name.
func read(path string) map[string]*runs {
	f, err := os.Open(path)
	if err != nil {
		fmt.Fprintln(os.Stderr, "benchcheck:", err)
		os.Exit(2)
	}
	defer f.Close()
	all := make(map[string]*runs)
	pkg := ""
	for s := bufio.NewScanner(f); s.Scan(); {
		line := s.Text()
		if p, ok := strings.CutPrefix(line, "pkg: "); ok {
			pkg = p
			continue
		}
		w := strings.Fields(line)
		if len(w) < 4 || !strings.HasPrefix(w[0], "Benchmark") {
			continue
		}
		name := pkg + "." + processors.ReplaceAllString(w[0], "")
		r := all[name]
		if r == nil {
			r = new(runs)
			all[name] = r
		}
		for i := 2; i+1 < len(w); i += 2 {
			v, err := strconv.ParseFloat(w[i], 64)
			switch {
			case err != nil:
			case w[i+1] == "ns/op":
				r.ns = append(r.ns, v)
			case w[i+1] == "allocs/op":
				r.allocs = append(r.allocs, v)
			}
		}
	}
	for name, r := range all {
		if len(r.ns) == 0 {
			delete(all, name)
		}
	}
	return all
}
