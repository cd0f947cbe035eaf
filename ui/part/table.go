package part

import "strings"

// Column of a table: a head, how its cells lie, and how dear it is when the
// terminal is too narrow for all.
type Column struct {
	Head string
	Left bool // text; numbers lie at the right
	Rank int  // the highest rank is dropped first; 0 never
	Max  int  // clip cells to this width, 0 for no limit
}

// Table lays out rows in at most width cells and returns the head line and one
// line a row. Column widths come from what is in them; what does not fit is
// dropped by rank, whole columns at a time; a last column that is Left takes
// what is over.
func Table(width int, cols []Column, rows [][]string) (head string, lines []string) {
	const gap = 2
	w := make([]int, len(cols))
	on := make([]bool, len(cols))
	for i, c := range cols {
		for _, r := range rows {
			if i < len(r) {
				w[i] = max(w[i], Width(r[i]))
			}
		}
		on[i] = w[i] > 0 || c.Rank == 0 // an empty column is not worth its room
		w[i] = max(w[i], Width(c.Head))
		if c.Max > 0 {
			w[i] = min(w[i], max(c.Max, Width(c.Head)))
		}
	}
	last := func() int {
		for i := len(cols) - 1; i >= 0; i-- {
			if on[i] {
				return i
			}
		}
		return -1
	}
	total := func(flex bool) int {
		n, l := -gap, last()
		for i := range cols {
			if !on[i] {
				continue
			}
			if flex && i == l && cols[i].Left {
				n += gap + min(w[i], max(Width(cols[i].Head), 8))
			} else {
				n += gap + w[i]
			}
		}
		return n
	}
	for total(true) > width {
		drop := -1
		for i, c := range cols {
			if on[i] && c.Rank > 0 && (drop < 0 || c.Rank >= cols[drop].Rank) {
				drop = i
			}
		}
		if drop < 0 {
			break
		}
		on[drop] = false
	}
	if l := last(); l >= 0 && cols[l].Left {
		if over := total(false) - width; over > 0 {
			w[l] = max(w[l]-over, 0)
		}
	}
	line := func(cell func(int) string) string {
		var b strings.Builder
		for i, c := range cols {
			if !on[i] {
				continue
			}
			if b.Len() > 0 {
				b.WriteString(strings.Repeat(" ", gap))
			}
			if c.Left {
				b.WriteString(Pad(cell(i), w[i]))
			} else {
				b.WriteString(Right(cell(i), w[i]))
			}
		}
		return Clip(strings.TrimRight(b.String(), " "), width)
	}
	head = line(func(i int) string { return cols[i].Head })
	for _, r := range rows {
		lines = append(lines, line(func(i int) string {
			if i < len(r) {
				return r[i]
			}
			return ""
		}))
	}
	return head, lines
}
