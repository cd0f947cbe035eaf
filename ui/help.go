package ui

import (
	"chargehand/ui/part"
	"chargehand/ui/screen"
)

// helpKey takes a key while the help is open: it pages, any other key shuts it.
func (a *App) helpKey(key string) {
	switch key {
	case "down", "j", " ", "pgdown", "enter":
		if a.helpTop+a.h < len(a.helpLines()) {
			a.helpTop += max(a.h/2, 1)
		} else if key != "down" && key != "j" {
			a.help = false
		}
	case "up", "k", "pgup":
		a.helpTop = max(a.helpTop-max(a.h/2, 1), 0)
	default:
		a.help = false
	}
}

// helpLines is the full help of the page, wrapped to the width.
func (a *App) helpLines() []string {
	th := a.look.Theme
	out := []string{th.Strong.Render("Keys") + "   space goes on, q goes back"}
	sections := append(a.page.Help(), screen.Section{Head: "Everywhere", Keys: [][2]string{
		{"?", "this help"}, {"ctrl-z", "to the shell, fg comes back"}, {"ctrl-c", "end; every entry is on disk already"},
	}})
	for _, s := range sections {
		out = append(out, "", th.Label.Render(s.Head))
		k := 0
		for _, p := range s.Keys {
			k = max(k, min(part.Width(p[0]), a.w/3))
		}
		for _, p := range s.Keys {
			key := p[0]
			rest := part.Wrap(p[1], max(a.w-k-4, 8))
			if part.Width(key) > k { // a long example stands on its own line
				out = append(out, "  "+th.Key.Render(part.Clip(key, a.w-2)))
				key = ""
			}
			for i, l := range rest {
				if i > 0 {
					key = ""
				}
				out = append(out, "  "+th.Key.Render(part.Pad(key, k))+"  "+l)
			}
		}
	}
	out = append(out, "")
	for _, l := range part.Wrap("The maker's charging chart, the data plate and local codes take precedence over anything shown here. Certified persons only; never vent.", a.w) {
		out = append(out, th.Faint.Render(l))
	}
	for i := range out {
		out[i] = part.Clip(out[i], a.w)
	}
	return out
}
