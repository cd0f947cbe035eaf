package form

import (
	"chargehand/ui/part"
	"chargehand/ui/theme"
)

// cellText draws the value: defaults in round brackets, what was typed bare,
// the field with the cursor in square ones, with a mark where the next
// character goes. Shape tells them apart, colour only helps.
func (fd *Field) cellText(focus bool, th theme.Theme, w int) string {
	if !focus {
		switch {
		case fd.used && !fd.empty():
			return th.Strong.Render(part.Clip(fd.in.Value(), w))
		case fd.Default != "":
			return th.Faint.Render("(" + part.Clip(fd.Default, w-2) + ")")
		default:
			return th.Faint.Render("·")
		}
	}
	if fd.Type == Choice {
		v := fd.Value()
		if v == "" {
			v = " "
		}
		return "[" + th.Cursor.Render(part.Clip(v, w-2)) + "]"
	}
	if !fd.used {
		if fd.Default == "" {
			return "[" + th.Cursor.Render("_") + "]"
		}
		return "[" + th.Cursor.Render("_") + th.Faint.Render(part.Clip(fd.Default, w-3)) + "]"
	}
	before, after := fd.text()
	if w > 6 {
		before = part.CutLeft(before, w-4)
	}
	return "[" + th.Strong.Render(before) + th.Cursor.Render("_") + part.Clip(after, max(w-3-part.Width(before), 0)) + "]"
}

// Lines draws the form in at most w by h cells.
func (f *Form) Lines(w, h int, th theme.Theme) []string {
	if w <= 0 || h <= 0 {
		return nil
	}
	if f.List {
		return f.list(w, h, th)
	}
	var lines []string
	line, n, focus := "", 0, 0
	for i := range f.Fields {
		fd := &f.Fields[i]
		cell := fd.cellText(i == f.At, th, max(min(w-part.Width(fd.Label)-1, 60), 6))
		text := th.Label.Render(fd.Label) + " " + cell
		k := part.Width(text)
		if n > 0 && (n+3+k > w || fd.Break) {
			lines = append(lines, line)
			line, n = "", 0
		}
		if n > 0 {
			line, n = line+"   ", n+3
		}
		line, n = line+text, n+k
		if i == f.At {
			focus = len(lines)
		}
	}
	lines = append(lines, line)
	return window(lines, focus, h)
}

// list draws one field a line, with those above and below marked when the
// window is too low for all.
func (f *Form) list(w, h int, th theme.Theme) []string {
	k := 0
	for i := range f.Fields {
		k = max(k, part.Width(f.Fields[i].Label))
	}
	k = min(k, w/2)
	lines := make([]string, len(f.Fields))
	for i := range f.Fields {
		fd := &f.Fields[i]
		mark := "  "
		if i == f.At {
			mark = "> "
		}
		s := mark + th.Label.Render(part.Pad(fd.Label, k)) + "  " + fd.cellText(i == f.At, th, max(w-k-6, 6))
		if fd.Unit != "" && part.Width(s)+1+part.Width(fd.Unit) <= w {
			s += " " + th.Faint.Render(fd.Unit)
		}
		if i == f.At && fd.Hint != "" && part.Width(s)+3+part.Width(fd.Hint) <= w {
			s += "   " + th.Faint.Render(fd.Hint)
		}
		lines[i] = part.Clip(s, w)
	}
	return window(lines, f.At, h)
}

// window shows h lines around the one with the cursor.
func window(lines []string, at, h int) []string {
	if len(lines) <= h {
		return lines
	}
	from := min(max(at-h/2, 0), len(lines)-h)
	return lines[from : from+h]
}
