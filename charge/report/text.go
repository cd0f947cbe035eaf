package report

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"chargehand/charge"
	"chargehand/charge/audit"
	"chargehand/charge/plain"
	q "chargehand/charge/quantity"
)

// Markdown writes the pages as CommonMark.
func Markdown(w io.Writer, pages []Page) error {
	var b strings.Builder
	for i, p := range pages {
		if i > 0 {
			b.WriteString("\n---\n\n")
		}
		fmt.Fprintf(&b, "# Charge report: %s\n\n%s, %s to %s\n\n**%s**\n\n## The unit\n\n", md(p.Title), p.Started.Format("2 January 2006"),
			p.Started.Format("15:04"), p.Ended.Format("15:04"), md(p.Outcome))
		for _, f := range p.Facts {
			fmt.Fprintf(&b, "- %s: %s\n", md(f.Name), md(f.Value))
		}
		b.WriteString("\n## Weighed\n\n")
		if len(p.Ledger) == 0 {
			b.WriteString("Nothing was weighed in or out.\n")
		} else {
			b.WriteString("| time | amount | net in | cylinder |\n| --- | ---: | ---: | ---: |\n")
			for _, l := range p.Ledger {
				fmt.Fprintf(&b, "| %s | %s | %s | %s |\n", l.At.Format("15:04"), signed(l.Kg, p.Units), signed(l.NetKg, p.Units), md(l.Cylinder))
			}
			fmt.Fprintf(&b, "\n%s in, %s out, %s net\n", signed(p.AddedKg, p.Units), signed(p.RecoveredKg, p.Units), signed(p.NetKg, p.Units))
		}
		b.WriteString("\n## Findings\n\n")
		if len(p.Findings) == 0 {
			b.WriteString("None.\n")
		}
		for _, f := range p.Findings {
			at := ""
			if f.N > 0 {
				at = fmt.Sprintf(" (event %d, %s)", f.N, f.At.Format("15:04"))
			}
			fmt.Fprintf(&b, "- **%s**: %s%s. %s *%s*\n", f.Severity, md(f.Title), at, md(f.Says), md(f.Source))
		}
		b.WriteString("\n## The job, step by step\n\n")
		for _, e := range p.Steps() {
			text := md(e.What)
			if e.Voided {
				text = "~~" + text + "~~ (taken back)"
			}
			fmt.Fprintf(&b, "- %s %s\n", e.At.Format("15:04"), text)
			if e.Means != "" {
				fmt.Fprintf(&b, "  - %s\n", md(e.Means))
			}
			if e.Told != "" {
				fmt.Fprintf(&b, "  - told: %s\n", md(e.Told))
			}
		}
		b.WriteString("\n## Cautions\n\n")
		for _, c := range p.Cautions {
			fmt.Fprintf(&b, "- %s\n", md(c))
		}
		fmt.Fprintf(&b, "\nJournal %s: %s.\n", md(p.File), md(p.Chain))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// md makes a text mean itself in CommonMark.
func md(s string) string {
	var b strings.Builder
	for _, r := range plain.Line(s) {
		if strings.ContainsRune("\\`*_{}[]<>#|~&!", r) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}

// CSV writes one row an event, numbers with their unit in the column's name.
func CSV(w io.Writer, pages []Page) error {
	sc := scaleOf(q.US)
	if len(pages) > 0 {
		sc = scaleOf(pages[0].Units)
	}
	t, m := sc.perK, sc.perKg
	c := csv.NewWriter(w)
	_ = c.Write([]string{"file", "unit", "n", "at", "kind", "taken_back", "entered", "superheat_" + sc.kelvin, "subcooling_" + sc.kelvin, "over_outdoor_" + sc.kelvin, "split_" + sc.kelvin,
		"settled", "weighed_" + sc.mass, "net_" + sc.mass, "action", "amount_" + sc.mass, "orifice", "valve", "verdict", "findings"})
	for _, p := range pages {
		by := map[int][]string{}
		for _, f := range p.Findings {
			by[f.N] = append(by[f.N], f.Rule)
		}
		net := 0.0
		for _, e := range p.Story {
			row := make([]string, 20)
			copy(row, []string{plain.Cell(p.File), plain.Cell(p.Title), strconv.Itoa(e.N), e.At.Format(time.RFC3339), string(e.Kind), strconv.FormatBool(e.Voided), plain.Cell(e.What)})
			if !e.Voided {
				switch b := e.Body.(type) {
				case *charge.Weighing:
					net += b.Amount.Kilograms()
					row[12] = num(b.Amount.Kilograms() * m)
				case *charge.Reading:
					d := e.Advice.Derived
					row[7], row[8], row[9], row[10] = num(d.SuperheatK*t), num(d.SubcoolingK*t), num(d.OverOutdoorK*t), num(d.SplitK*t)
					row[11] = strconv.FormatBool(d.Settled)
				}
				row[14] = string(e.Advice.Action)
				row[15] = num(e.Advice.AmountKg * m)
				row[16], row[17], row[18] = num(e.Advice.Belief.FixedOrifice), num(e.Advice.Belief.ExpansionValve), string(e.Advice.Belief.Verdict)
			}
			row[13] = num(net * m)
			row[19] = strings.Join(by[e.N], " ")
			_ = c.Write(row)
		}
	}
	c.Flush()
	return c.Error()
}

func num(x float64) string {
	if !finite(x) {
		return ""
	}
	return strconv.FormatFloat(math.Round(x*1000)/1000, 'f', -1, 64)
}

// JSON writes a list of the pages, numbers with their unit in the name and
// null where they are not known.
func JSON(w io.Writer, pages []Page) error {
	type object = map[string]any
	list := make([]object, 0, len(pages))
	for _, p := range pages {
		sc := scaleOf(p.Units)
		k, kg, t, m := sc.kelvin, sc.mass, sc.perK, sc.perKg
		story := make([]object, 0, len(p.Story))
		for _, e := range p.Story {
			o := object{"n": e.N, "at": e.At.Format(time.RFC3339), "kind": e.Kind, "entered": e.What}
			if e.Voided {
				o["taken_back"] = true
			}
			if e.Kind == charge.KindReading && !e.Voided {
				d := e.Advice.Derived
				o["superheat_"+k], o["subcooling_"+k], o["settled"] = value(d.SuperheatK*t), value(d.SubcoolingK*t), d.Settled
				o["action"], o["amount_"+kg], o["told"] = e.Advice.Action, value(e.Advice.AmountKg*m), e.Told
			}
			story = append(story, o)
		}
		facts := object{}
		for _, f := range p.Facts {
			facts[f.Name] = f.Value
		}
		findings := p.Findings
		if findings == nil {
			findings = []audit.Finding{}
		}
		list = append(list, object{"file": p.File, "unit": p.Title, "started": p.Started.Format(time.RFC3339), "ended": p.Ended.Format(time.RFC3339),
			"closed": p.Closed, "outcome": p.Outcome, "facts": facts, "added_" + kg: value(p.AddedKg * m), "recovered_" + kg: value(p.RecoveredKg * m),
			"net_" + kg: value(p.NetKg * m), "chain_whole": p.ChainWhole, "chain": p.Chain, "findings": findings, "story": story, "cautions": p.Cautions})
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(list)
}

func value(x float64) any {
	if !finite(x) {
		return nil
	}
	return math.Round(x*1000) / 1000
}
