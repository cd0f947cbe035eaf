// Command numbers writes the page of honest numbers from what the tests and
// benchmarks print.
//
// A test that checks something against the world outside logs one line
//
//	evidence: SOURCE | WHAT | OURS | THEIRS | TOLERANCE
//
// and a test, benchmark or long run that measures a bar of the design logs
//
//	bar: WHAT | BAR | MEASURED | COMMAND
//
// The lines are read from standard input (go test -v, benchmark output, long
// runs) and written as one Markdown page to standard output.
package main

import (
	"bufio"
	"fmt"
	"os"
	"slices"
	"strings"
)

func main() {
	var evidence, bars [][]string
	seen := make(map[string]bool)
	in := bufio.NewScanner(os.Stdin)
	in.Buffer(nil, 1<<20)
	for in.Scan() {
		line := in.Text()
		if seen[line] {
			continue
		}
		seen[line] = true
		if row, ok := row(line, "evidence: ", 5); ok {
			evidence = append(evidence, row)
		}
		if row, ok := row(line, "bar: ", 4); ok {
			bars = append(bars, row)
		}
	}
	byText := func(a, b []string) int { return strings.Compare(strings.Join(a, "|"), strings.Join(b, "|")) }
	slices.SortFunc(evidence, byText)
	slices.SortFunc(bars, byText)

	fmt.Println("# Honest numbers")
	fmt.Println()
	fmt.Println("Written by `.ci/numbers.sh`; do not edit. Every check against something outside the project, and every bar")
	fmt.Println("with its last measured figure and the command that measures it. A bar that is missed stays in the list.")
	table("Checks against published values", []string{"source", "what", "ours", "theirs", "tolerance"}, evidence)
	table("Bars", []string{"what", "bar", "measured", "command"}, bars)
}

func row(line, mark string, n int) ([]string, bool) {
	_, rest, ok := strings.Cut(line, mark)
	if !ok {
		return nil, false
	}
	cells := strings.Split(rest, " | ")
	if len(cells) != n {
		fmt.Fprintf(os.Stderr, "numbers: %d cells instead of %d: %s\n", len(cells), n, line)
		return nil, false
	}
	return cells, true
}

func table(title string, head []string, rows [][]string) {
	fmt.Printf("\n## %s\n\n| %s |\n|%s\n", title, strings.Join(head, " | "), strings.Repeat(" --- |", len(head)))
	for _, r := range rows {
		fmt.Printf("| %s |\n", strings.Join(r, " | "))
	}
}
