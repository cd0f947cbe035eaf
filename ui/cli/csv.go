package cli

import (
	"encoding/csv"
	"io"
	"slices"
)

// cell is one figure of a row under its machine name.
type cell struct{ name, text string }

// writeCSV writes rows (RFC 4180), with a head line wherever the names change:
// pressures and temperatures mixed have a header each.
func writeCSV(w io.Writer, rows [][]cell) error {
	c := csv.NewWriter(w)
	var head []string
	for _, r := range rows {
		names, texts := make([]string, len(r)), make([]string, len(r))
		for i, x := range r {
			names[i], texts[i] = x.name, x.text
		}
		if !slices.Equal(names, head) {
			head = names
			if err := c.Write(names); err != nil {
				return err
			}
		}
		if err := c.Write(texts); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}
