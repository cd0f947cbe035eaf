package part

import "strings"

// Big writes text in letters three lines high, made of half blocks, to be read
// at arm's length; nil where it has a character without a shape or is wider
// than w cells.
func Big(text string, w int) []string {
	var rows [5]strings.Builder
	for i, r := range strings.ToUpper(text) {
		shape, ok := shapes[r]
		if !ok {
			return nil
		}
		for y := range rows {
			if i > 0 {
				rows[y].WriteByte(' ')
			}
			rows[y].WriteString(shape[y])
		}
	}
	width := rows[0].Len()
	if width == 0 || width > w {
		return nil
	}
	out := make([]string, 3)
	for l := range out {
		var b strings.Builder
		for x := range width {
			upper := rows[2*l].String()[x] == '#'
			lower := 2*l+1 < 5 && rows[min(2*l+1, 4)].String()[x] == '#'
			switch {
			case upper && lower:
				b.WriteRune('█')
			case upper:
				b.WriteRune('▀')
			case lower:
				b.WriteRune('▄')
			default:
				b.WriteByte(' ')
			}
		}
		out[l] = strings.TrimRight(b.String(), " ")
	}
	return out
}

// shapes are five dots high. They are drawn for this program.
var shapes = map[rune][5]string{
	' ': {"  ", "  ", "  ", "  ", "  "},
	'0': {"###", "# #", "# #", "# #", "###"},
	'1': {"## ", " # ", " # ", " # ", "###"},
	'2': {"###", "  #", "###", "#  ", "###"},
	'3': {"###", "  #", " ##", "  #", "###"},
	'4': {"# #", "# #", "###", "  #", "  #"},
	'5': {"###", "#  ", "###", "  #", "###"},
	'6': {"###", "#  ", "###", "# #", "###"},
	'7': {"###", "  #", "  #", " # ", " # "},
	'8': {"###", "# #", "###", "# #", "###"},
	'9': {"###", "# #", "###", "  #", "###"},
	'.': {" ", " ", " ", " ", "#"},
	',': {"  ", "  ", "  ", " #", "# "},
	':': {" ", "#", " ", "#", " "},
	'-': {"   ", "   ", "###", "   ", "   "},
	'+': {"   ", " # ", "###", " # ", "   "},
	'A': {" ## ", "#  #", "####", "#  #", "#  #"},
	'B': {"### ", "#  #", "### ", "#  #", "### "},
	'C': {" ###", "#   ", "#   ", "#   ", " ###"},
	'D': {"### ", "#  #", "#  #", "#  #", "### "},
	'E': {"####", "#   ", "### ", "#   ", "####"},
	'F': {"####", "#   ", "### ", "#   ", "#   "},
	'G': {" ###", "#   ", "# ##", "#  #", " ###"},
	'H': {"#  #", "#  #", "####", "#  #", "#  #"},
	'I': {"###", " # ", " # ", " # ", "###"},
	'J': {"  ##", "   #", "   #", "#  #", " ## "},
	'K': {"#  #", "# # ", "##  ", "# # ", "#  #"},
	'L': {"#   ", "#   ", "#   ", "#   ", "####"},
	'M': {"#   #", "## ##", "# # #", "#   #", "#   #"},
	'N': {"#  #", "## #", "# ##", "#  #", "#  #"},
	'O': {" ## ", "#  #", "#  #", "#  #", " ## "},
	'P': {"### ", "#  #", "### ", "#   ", "#   "},
	'Q': {" ## ", "#  #", "#  #", "# ##", " ###"},
	'R': {"### ", "#  #", "### ", "# # ", "#  #"},
	'S': {" ###", "#   ", " ## ", "   #", "### "},
	'T': {"###", " # ", " # ", " # ", " # "},
	'U': {"#  #", "#  #", "#  #", "#  #", " ## "},
	'V': {"# #", "# #", "# #", "# #", " # "},
	'W': {"#   #", "#   #", "# # #", "## ##", "#   #"},
	'X': {"# #", "# #", " # ", "# #", "# #"},
	'Y': {"# #", "# #", " # ", " # ", " # "},
	'Z': {"####", "  # ", " #  ", "#   ", "####"},
}
