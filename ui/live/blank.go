package live

import (
	tea "github.com/charmbracelet/bubbletea"

	"chargehand/ui/form"
)

// blank is what the sheets that are filled in have in common: the fields, and
// what is wrong with them.
type blank struct {
	form *form.Form
	msg  string
}

func blankOf(fields ...form.Field) blank { return blank{form: form.New(fields...)} }

func (b *blank) fields() *form.Form  { return b.form }
func (b *blank) problem(text string) { b.msg = text }

// typed hands a key to the fields. What was wrong is forgotten with the next
// character; Accept says that there is something to enter.
func (b *blank) typed(k tea.KeyMsg) form.Outcome {
	out := b.form.Key(k)
	if out == form.Typing {
		b.msg = ""
	}
	return out
}
