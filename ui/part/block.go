package part

// Block is some lines of a screen that stand or go together when the terminal
// is too low for all of them.
type Block struct {
	Lines []string
	Rank  int // what matters least has the highest rank and goes first
	Least int // lines to keep when shrinking; 0 means it may go altogether
	Tail  bool
	Gap   bool // an empty line before it, when there is room for all gaps of this rank
}

// Stack puts blocks one under the other in at most height lines of at most
// width cells. Blocks of the highest rank shrink, then go, first; gaps go
// before any line does.
func Stack(width, height int, blocks ...Block) []string {
	if width <= 0 || height <= 0 {
		return nil
	}
	bs := append([]Block(nil), blocks...)
	total := func() int {
		n := 0
		for _, b := range bs {
			n += len(b.Lines)
		}
		return n
	}
	over := total() - height
	for rank := highest(bs); over > 0 && rank >= 0; rank-- {
		for i := len(bs) - 1; i >= 0 && over > 0; i-- {
			if bs[i].Rank != rank || len(bs[i].Lines) == 0 {
				continue
			}
			keep := max(bs[i].Least, len(bs[i].Lines)-over)
			if keep < len(bs[i].Lines) {
				over -= len(bs[i].Lines) - keep
				bs[i].Lines = cut(bs[i], keep)
			}
		}
		// Still too tall: blocks of this rank go altogether, save the first two
		// ranks, which say what to do.
		for i := len(bs) - 1; i >= 0 && over > 0 && rank > 1; i-- {
			if bs[i].Rank == rank && len(bs[i].Lines) > 0 {
				over -= len(bs[i].Lines)
				bs[i].Lines = nil
			}
		}
	}
	room := height - total()
	gaps := make(map[int]bool)
	for rank := 0; rank <= highest(bs); rank++ {
		n := 0
		for i, b := range bs {
			if b.Rank == rank && b.Gap && len(b.Lines) > 0 && i > 0 {
				n++
			}
		}
		if n <= room {
			gaps[rank], room = true, room-n
		}
	}
	var out []string
	for _, b := range bs {
		if len(b.Lines) == 0 {
			continue
		}
		if b.Gap && gaps[b.Rank] && len(out) > 0 {
			out = append(out, "")
		}
		for _, l := range b.Lines {
			out = append(out, Clip(l, width))
		}
	}
	if len(out) > height {
		out = out[:height]
	}
	return out
}

func highest(bs []Block) int {
	n := 0
	for _, b := range bs {
		n = max(n, b.Rank)
	}
	return n
}

func cut(b Block, keep int) []string {
	if b.Tail && keep > 0 {
		return b.Lines[len(b.Lines)-keep:]
	}
	return b.Lines[:keep]
}
